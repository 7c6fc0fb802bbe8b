"""Where every link is, how fast it moves and what it carries, for B designs by N positions."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from solver.planar import Plane, Real, cross, dot, quarter_turn

_ZERO: Real = np.zeros((1, 1))
_NOWHERE: Plane = np.zeros((1, 1), dtype=np.complex128)
_UPRIGHT: Plane = np.ones((1, 1), dtype=np.complex128)


@dataclass(slots=True)
class Body:
    """One link: its pose relative to the drawn one, its rates, and the forces gathered on it.

    A point drawn at p0 is at turn·p0 + shift. Rates are per radian of lever rotation: a point
    at p moves with i·spin·p + drift (mm/rad). `moment` (N·mm) is about the origin.
    """

    turn: Plane = field(default_factory=lambda: _UPRIGHT)
    shift: Plane = field(default_factory=lambda: _NOWHERE)
    spin: Real = field(default_factory=lambda: _ZERO)
    drift: Plane = field(default_factory=lambda: _NOWHERE)
    force: Plane = field(default_factory=lambda: _NOWHERE)
    moment: Real = field(default_factory=lambda: _ZERO)

    def put(self, turn: Plane, place: Plane, drawn: Plane) -> None:
        """Turn the link and put its point drawn at `drawn` to `place`."""
        self.turn = turn
        self.shift = place - turn * drawn

    def move(self, spin: Real, place: Plane, velocity: Plane) -> None:
        """Set the rates from the spin and one point's velocity."""
        self.spin = spin
        self.drift = velocity - quarter_turn(spin * place)

    def velocity(self, place: Plane) -> Plane:
        """Velocity (mm/rad) of the link's point that is at `place`."""
        result: Plane = 1j * self.spin * place + self.drift
        return result

    def push(self, place: Plane, force: Plane) -> Real:
        """Add a force (N) acting at `place`; returns the scalar product of the two (N·mm)."""
        products = force.conj() * place
        self.force = self.force + force
        self.moment = self.moment - products.imag
        return products.real

    def moment_about(self, place: Plane) -> Real:
        """Moment (N·mm) of all gathered forces about `place`."""
        result: Real = self.moment - cross(place, self.force)
        return result


@dataclass(slots=True)
class Ground(Body):
    """The frame, which stands still whatever is put on it: nobody asks for the forces there."""

    def push(self, place: Plane, force: Plane) -> Real:
        """Take a force (N) acting at `place`; returns the scalar product of the two (N·mm)."""
        return dot(force, place)


@dataclass(frozen=True, slots=True)
class Bearing:
    """A pin: the size of the force through it (N) and the relative rotation per lever rad."""

    point: int
    load: Real
    spin: Real


@dataclass(frozen=True, slots=True)
class Slide:
    """A slider: the normal force (N) and the sliding speed (mm per lever rad)."""

    slider: int
    normal: Real
    speed: Real


@dataclass(slots=True)
class State:
    """The working store of one evaluation.

    `blocks` has the forces that act at pins in slots of the frame: they press on what slides (a
    plunger, a block), and the pin carries them on into its link. `offsets`, by (point, link), are
    what a link's own hole is off the point that it shares.
    """

    drawn: list[Plane]
    bodies: list[Body]
    theta: Real
    theta_drawn: Real
    offsets: dict[tuple[int, int], Plane] = field(default_factory=dict)
    places: dict[int, Plane] = field(default_factory=dict)
    blocks: dict[int, Plane] = field(default_factory=dict)
    bearings: list[Bearing] = field(default_factory=list)
    slides: list[Slide] = field(default_factory=list)

    def place(self, point: int, link: int) -> Plane:
        """Where a point of an already placed link is; kept for whoever asks next."""
        known = self.places.get(point)
        if known is None:
            body = self.bodies[link]
            known = body.turn * self.hole(point, link) + body.shift
            self.places[point] = known
        return known

    def hole(self, point: int, link: int) -> Plane:
        """Where a link's own hole at a point is, drawn pose: the point, off by its tolerance."""
        offset = self.offsets.get((point, link))
        return self.drawn[point] if offset is None else self.drawn[point] + offset

    def push(self, point: int, link: int, force: Plane) -> Real:
        """Let a spring, weight or load push (N) at a point of a placed link.

        Returns the scalar product of place and force (N·mm).
        """
        if point in self.blocks:
            self.blocks[point] = self.blocks[point] + force
        return self.bodies[link].push(self.place(point, link), force)

    def unwrapped(self, turn: Plane) -> Real:
        """Rotation (rad) from the drawn pose behind unit vectors (B, N), followed continuously.

        It is taken to lie within half a turn at the position nearest the drawn pose.
        """
        angle: Real = np.angle(turn)
        # Most links never pass the half turn at which the angle jumps; then it is right as it is.
        jumps = np.abs(angle[:, 1:] - angle[:, :-1]) > np.pi
        rows = np.flatnonzero(jumps.any(axis=1))
        if rows.size:
            theta, drawn = self.theta[rows], self.theta_drawn[rows]
            away = np.remainder(theta - drawn + np.pi, 2.0 * np.pi) - np.pi
            nearest = np.argmin(np.abs(away), axis=1)[:, None]
            followed = np.unwrap(angle[rows], axis=1)
            there = np.take_along_axis(followed, nearest, axis=1)
            angle[rows] = followed - 2.0 * np.pi * np.round(there / (2.0 * np.pi))
        return angle
