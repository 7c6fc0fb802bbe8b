"""Springs, weights and loads: their energy, and the forces they put on the links.

Each kind is compiled to a small object that knows its columns in the parameter vector and acts
on a whole batch. Spring forces are positive when they act as springs of their kind do:
compression pushes, extension pulls.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from solver.model import (
    FRAME,
    CompressionSpring,
    ExtensionSpring,
    Force,
    Load,
    Spring,
    TorsionSpring,
    Weight,
)
from solver.plan import Plan
from solver.planar import Plane, Real, direction, joined, length
from solver.state import State

Column = Callable[[str], Real]
"""Reads one parameter of the part as an array (B, 1)."""


@dataclass(frozen=True, slots=True)
class SpringRun:
    """One spring over the batch, arrays (B, N).

    length: spring length in mm (torsion: twist from the free angle, rad); slope: its change per
    radian of lever rotation; force: N, positive in the kind's sense (torsion: N·mm, restoring
    moment, same sign as the twist); onset: signed distance to the point where the spring lets
    go, None where it never does (the law has a corner there); turning: friction torque of its
    end pins at the lever, N·mm.
    """

    length: Real
    slope: Real
    force: Real
    onset: Real | None
    turning: Real | None


class Springlike(Protocol):
    """A compiled spring."""

    def act(self, state: State, column: Column) -> tuple[Real, SpringRun]:
        """Push on the links; return the energy (N·mm) and the run."""
        ...


@dataclass(frozen=True, slots=True)
class _Straight(ABC):
    """A spring between two anchors; indices of points and of the links that carry them."""

    name: str
    a: int
    b: int
    on_a: int
    on_b: int

    @abstractmethod
    def _law(self, length: Real, column: Column) -> tuple[Real, Real, Real, Real | None]:
        """Pull (N, negative pushes), energy, force in the kind's sense, onset."""

    def act(self, state: State, column: Column) -> tuple[Real, SpringRun]:
        place_a, place_b = state.place(self.a, self.on_a), state.place(self.b, self.on_b)
        body_a, body_b = state.bodies[self.on_a], state.bodies[self.on_b]
        line = place_b - place_a
        distance = length(line)
        size = distance - column("fittings")
        pull, energy, force, onset = self._law(size, column)
        drift = body_b.velocity(place_b) - body_a.velocity(place_a)
        share = 1.0 / np.maximum(distance, 1e-12)
        push = pull * share
        state.push(self.a, self.on_a, push * line)
        state.push(self.b, self.on_b, -push * line)
        along = line.conj() * drift
        slope = along.real * share
        grip = 0.5 * column("end_pin_diameter") * column("end_friction")
        turning = None
        if np.any(grip != 0.0):
            spin = along.imag * (share * share)
            turns = np.abs(spin - body_a.spin) + np.abs(spin - body_b.spin)
            turning = grip * np.abs(pull) * turns
        return energy, SpringRun(size, slope, force, onset, turning)


@dataclass(frozen=True, slots=True)
class _Compression(_Straight):
    captive: bool

    def _law(self, length: Real, column: Column) -> tuple[Real, Real, Real, Real | None]:
        rate = column("rate")
        press = column("free_length") - length
        active = press if self.captive else np.maximum(press, 0.0)
        force = rate * active
        return -force, 0.5 * force * active, force, None if self.captive else press


@dataclass(frozen=True, slots=True)
class _Extension(_Straight):
    def _law(self, length: Real, column: Column) -> tuple[Real, Real, Real, Real | None]:
        tension = column("initial_tension")
        stretch = length - column("free_length")
        active = np.maximum(stretch, 0.0)
        force = np.where(stretch > 0.0, tension + column("rate") * active, 0.0)
        return force, 0.5 * (tension + force) * active, force, stretch


_SIGN = {"both": 0.0, "below": -1.0, "above": 1.0}


@dataclass(frozen=True, slots=True)
class _Torsion:
    name: str
    pivot: int
    leg_a: int
    leg_b: int
    on_a: int
    on_b: int
    sign: float

    def act(self, state: State, column: Column) -> tuple[Real, SpringRun]:
        body_a, body_b = state.bodies[self.on_a], state.bodies[self.on_b]
        drawn = state.drawn
        leg_a = drawn[self.leg_a] - drawn[self.pivot]
        leg_b = drawn[self.leg_b] - drawn[self.pivot]
        relative = body_b.turn * body_a.turn.conj()
        away = np.angle(leg_b * leg_a.conj()) - column("free_angle")
        drawn_twist = np.remainder(away + np.pi, 2.0 * np.pi) - np.pi + column("turns")
        twist = drawn_twist + state.unwrapped(relative)
        active = twist if not self.sign else np.where(self.sign * twist > 0.0, twist, 0.0)
        moment = column("rate") * active
        body_a.moment = body_a.moment + moment
        body_b.moment = body_b.moment - moment
        onset = self.sign * twist if self.sign else None
        slope = body_b.spin - body_a.spin + np.zeros_like(twist)
        return 0.5 * moment * active, SpringRun(twist, slope, moment, onset, None)


def compile_spring(spring: Spring, plan: Plan) -> Springlike:
    """The batch form of a spring."""
    at = plan.points
    if isinstance(spring, TorsionSpring):
        on_a, on_b = (leg_link(plan, spring.pivot, leg) for leg in (spring.leg_a, spring.leg_b))
        legs = at[spring.leg_a], at[spring.leg_b]
        return _Torsion(spring.name, at[spring.pivot], *legs, on_a, on_b, _SIGN[spring.acts])
    ends = at[spring.a], at[spring.b]
    carriers = plan.carrier[ends[0]], plan.carrier[ends[1]]
    if isinstance(spring, CompressionSpring):
        return _Compression(spring.name, *ends, *carriers, spring.captive)
    assert isinstance(spring, ExtensionSpring)  # the union is exhausted
    return _Extension(spring.name, *ends, *carriers)


def leg_link(plan: Plan, pivot: str, leg: str) -> int:
    """The link of a torsion spring's leg: it carries `leg` and turns about `pivot`."""
    links = plan.design.links
    return next(i for i, link in enumerate(links) if pivot in link.points and leg in link.points)


@dataclass(frozen=True, slots=True)
class Steady:
    """A weight, a force or a torque: one that does not change with the position."""

    kind: str
    name: str
    point: int
    link: int

    def act(self, state: State, column: Column, pull: Callable[[], Plane]) -> Real:
        """Push on the link; return the potential energy (N·mm). `pull` is gravity, m/s²."""
        body = state.bodies[self.link]
        if self.kind == "torque":
            torque = column("torque")
            body.moment = body.moment + torque
            return -torque * state.unwrapped(body.turn)
        weighs = self.kind == "weight"
        force = column("mass") * pull() if weighs else joined(column("x"), column("y"))
        return -state.push(self.point, self.link, force)


def compile_weight(weight: Weight, plan: Plan) -> Steady:
    """The batch form of a weight."""
    point = plan.points[weight.point]
    return Steady("weight", weight.name, point, plan.carrier[point])


def compile_load(load: Load, plan: Plan) -> Steady:
    """The batch form of a load."""
    if isinstance(load, Force):
        point = plan.points[load.point]
        return Steady("force", load.name, point, plan.carrier[point])
    return Steady("torque", load.name, -1, plan.links[load.link])


@dataclass(frozen=True, slots=True)
class PlateLoad:
    """The weight of a link's plate at its centroid, which lies off the middle of `points`."""

    name: str
    link: int
    points: tuple[int, ...]

    def act(self, state: State, column: Column, pull: Callable[[], Plane]) -> Real:
        """Push on the link; return the potential energy (N·mm). `pull` is gravity, m/s²."""
        body = state.bodies[self.link]
        total = state.drawn[self.points[0]]
        for point in self.points[1:]:
            total = total + state.drawn[point]
        drawn = total / len(self.points) + joined(column("x"), column("y"))
        place = body.turn * drawn + body.shift
        return -body.push(place, column("mass") * pull())


def compile_plates(plan: Plan) -> tuple[PlateLoad, ...]:
    """The batch form of the plates of all links that move."""
    return tuple(
        PlateLoad(
            plate.link,
            plan.links[plate.link],
            tuple(plan.points[name] for name in plan.design.link(plate.link).points),
        )
        for plate in plan.design.plates
        if plate.link != FRAME
    )


def gravity(strength: Real, heading: Real) -> Plane:
    """Acceleration of free fall as a plane vector (m/s²; times kg it is N)."""
    result: Plane = strength * direction(heading)
    return result
