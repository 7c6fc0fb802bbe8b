"""Steps with a link that only slides: a plunger or bolt held in line by two pins on one slot.

The plunger keeps its direction to the link that guides it, either because two of its own points
ride in a slot there, or because its own slot holds two points of that link. What drives it is a
rod (`RodAndPlunger`) or a slot across it that holds a pin of a placed link (`CrossSlot`).

Derivations: one unknown, the run s along the guide; |q + s·e|² = r² for the rod, a linear
equation for the cross slot. Friction-free guides carry forces square to the line only, so the
force along it is the driver's.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass

import numpy as np

from solver.planar import Plane, Real, cross, dot, length, quarter_turn, square
from solver.state import Bearing, Slide, State
from solver.steps import Step, half_chord, hold


@dataclass(frozen=True, slots=True)
class Guide:
    """How a plunger is kept in line (indices).

    pins: the two sliding points; ends: the slot's two points; sliders: the two sliders; on: the
    placed link. own_slot: the slot is the plunger's and the pins belong to `on`.
    """

    plunger: int
    on: int
    pins: tuple[int, int]
    ends: tuple[int, int]
    sliders: tuple[int, int]
    own_slot: bool

    def line(self, state: State) -> tuple[Plane, Plane, Plane, Plane]:
        """Direction of the line now, turn of the plunger, a point of the line, its drawn twin.

        The drawn twin is the plunger's point that lies on the line; the two coincide for some
        run along it.
        """
        slot_of, pins_of = (self.plunger, self.on) if self.own_slot else (self.on, self.plunger)
        ends0 = [state.hole(i, slot_of) for i in self.ends]
        pins0 = [state.hole(i, pins_of) for i in self.pins]
        here, mine = (self.pins, ends0) if self.own_slot else (self.ends, pins0)
        theirs = pins0 if self.own_slot else ends0
        start, end = (state.place(i, self.on) for i in here)
        way = np.where(dot(mine[1] - mine[0], theirs[1] - theirs[0]) < 0.0, -1.0, 1.0)
        along = way * (end - start) / length(end - start)
        turn = along * length(mine[1] - mine[0]) / (mine[1] - mine[0])
        return along, turn, start, mine[0]

    def put(self, state: State, turn: Plane, place: Plane, drawn: Plane) -> None:
        """Place the plunger and what slides on it."""
        body = state.bodies[self.plunger]
        body.put(turn, place, drawn)
        for point in self.ends if self.own_slot else self.pins:
            state.place(point, self.plunger)

    def along(self, state: State) -> Plane:
        """Unit direction of the guide now."""
        first, last = (state.places[i] for i in (self.pins if self.own_slot else self.ends))
        result: Plane = (last - first) / length(last - first)
        return result

    def move(self, state: State, speed: Real) -> None:
        """Set the plunger's rates: with its guide, and `speed` (mm/rad) along the line."""
        body, guide = state.bodies[self.plunger], state.bodies[self.on]
        body.spin = guide.spin
        body.drift = guide.drift + speed * self.along(state)

    def balance(self, state: State) -> None:
        """Let the guide take what the plunger still carries: two forces square to the line."""
        body, guide = state.bodies[self.plunger], state.bodies[self.on]
        along = self.along(state)
        normal = quarter_turn(along)
        first, second = (state.places[i] for i in self.pins)
        far = -body.moment_about(first) / dot(second - first, along)
        near = -dot(body.force, normal) - far
        for pin, slider, force in zip(self.pins, self.sliders, (near, far), strict=True):
            hold(state, self.plunger, self.on, pin, -force * normal)
            place = state.places[pin]
            slip = dot(body.velocity(place) - guide.velocity(place), along)
            state.slides.append(Slide(slider, force, slip))


@dataclass(frozen=True, slots=True)
class _Driven(Step, ABC):
    guide: Guide

    def rates(self, state: State) -> None:
        self.guide.move(state, self._speed(state))

    @abstractmethod
    def _speed(self, state: State) -> Real:
        """Speed of the plunger along its guide, mm/rad."""


@dataclass(frozen=True, slots=True)
class RodAndPlunger(_Driven):
    """A rod pinned at `foot` to a placed link and at `knee` to a plunger."""

    rod: int
    foot: int
    foot_on: int
    knee: int

    @property
    def links(self) -> tuple[int, ...]:
        return (self.rod, self.guide.plunger)

    def place(self, state: State) -> Real:
        foot0, knee0 = state.hole(self.foot, self.rod), state.hole(self.knee, self.rod)
        knee1 = state.hole(self.knee, self.guide.plunger)
        arm0 = knee0 - foot0
        foot = state.place(self.foot, self.foot_on)
        along, turn, start, start0 = self.guide.line(state)
        reach = start + turn * (knee1 - start0) - foot
        offset = cross(along, reach)
        room = 1.0 - offset * offset / square(arm0)
        # Along the guide as drawn the turn is 1, so the drawn direction is along / turn.
        way = np.where(dot(along / turn, arm0) < 0.0, -1.0, 1.0)
        run = way * length(arm0) * half_chord(room) - dot(along, reach)
        knee = foot + reach + run * along
        state.places[self.knee] = knee
        state.bodies[self.rod].put((knee - foot) / arm0, foot, foot0)
        self.guide.put(state, turn, knee, knee1)
        return room

    def _speed(self, state: State) -> Real:
        foot, knee = state.places[self.foot], state.places[self.knee]
        arm, along = knee - foot, self.guide.along(state)
        start = state.bodies[self.foot_on].velocity(foot)
        carried = state.bodies[self.guide.on].velocity(knee)
        speed: Real = dot(start - carried, arm) / dot(along, arm)
        spin = cross(arm, carried + speed * along - start) / square(arm)
        state.bodies[self.rod].move(spin, foot, start)
        return speed

    def balance(self, state: State) -> None:
        rod, plunger = state.bodies[self.rod], state.bodies[self.guide.plunger]
        foot, knee = state.places[self.foot], state.places[self.knee]
        arm, along = knee - foot, self.guide.along(state)
        push = dot(plunger.force, along)
        side = (-rod.moment_about(foot) - push * cross(arm, along)) / dot(arm, along)
        force = push * along + side * quarter_turn(along)  # of the plunger on the rod
        plunger.push(knee, -force)
        state.bearings.append(Bearing(self.knee, length(force), rod.spin - plunger.spin))
        hold(state, self.rod, self.foot_on, self.foot, rod.force + force)
        self.guide.balance(state)


@dataclass(frozen=True, slots=True)
class CrossSlot(_Driven):
    """A plunger whose slot through `across` holds the point `pin` of a placed link."""

    slider: int
    pin: int
    pin_on: int
    across: tuple[int, int]

    @property
    def links(self) -> tuple[int, ...]:
        return (self.guide.plunger,)

    def place(self, state: State) -> Real:
        pin = state.place(self.pin, self.pin_on)
        along, turn, start, start0 = self.guide.line(state)
        first0, last0 = (state.hole(i, self.guide.plunger) for i in self.across)
        slot = turn * (last0 - first0) / length(last0 - first0)
        base = start + turn * (first0 - start0)
        slope = cross(slot, along)
        run = cross(slot, pin - base) / slope
        self.guide.put(state, turn, base + run * along, first0)
        for point in self.across:
            state.place(point, self.guide.plunger)
        return np.abs(slope) - _FLAT + np.zeros_like(run)

    def _cross(self, state: State) -> Plane:
        first, last = (state.places[i] for i in self.across)
        result: Plane = quarter_turn(last - first) / length(last - first)
        return result

    def _speed(self, state: State) -> Real:
        pin, normal = state.places[self.pin], self._cross(state)
        gap = state.bodies[self.pin_on].velocity(pin) - state.bodies[self.guide.on].velocity(pin)
        speed: Real = dot(gap, normal) / dot(self.guide.along(state), normal)
        return speed

    def balance(self, state: State) -> None:
        plunger, other = state.bodies[self.guide.plunger], state.bodies[self.pin_on]
        pin, normal = state.places[self.pin], self._cross(state)
        along = self.guide.along(state)
        force = -dot(plunger.force, along) / dot(normal, along)
        hold(state, self.guide.plunger, self.pin_on, self.pin, -force * normal)
        plunger.push(pin, force * normal)
        slot = quarter_turn(normal)
        slip = dot(plunger.velocity(pin) - other.velocity(pin), slot)
        state.slides.append(Slide(self.slider, force, slip))
        self.guide.balance(state)


_FLAT = 1e-6
"""Sine of the angle between slot and guide below which the slot counts as lying along it."""
