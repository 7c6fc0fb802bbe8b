"""Closed-form steps that place one or two links from those already placed (Assur dyads).

A step knows three things of its links: where they are (`place`), how fast they move per radian
of lever rotation (`rates`), and what their pins carry (`balance`, called in reverse order, so
that each step hands its reactions down to the links it stands on).

The way a dyad is put together (knee left or right of the line between its outer pins) is read
off the drawn pose and kept through the whole throw: a linkage cannot change it without being
taken apart, except in a position where it locks.

Derivations: loop closure of two circles, or of a circle and a line; velocities from rigid-body
motion v = iωp + w; reactions from moment balance of each link about its outer pin.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass

import numpy as np

from solver.planar import Plane, Real, cross, dot, joined, length, quarter_turn, square
from solver.state import Bearing, Slide, State

LOCK_TOLERANCE = 1e-10
"""How far (relative, squared lengths) a loop may fail to close and still count as just reaching.

It absorbs rounding only: 1e-10 of a squared 100 mm is a gap of 0.5 µm in a flat toggle.
"""


@dataclass(frozen=True, slots=True)
class Step(ABC):
    """Places `links` (indices) in turn; `point`s and links are indices into the plan's lists."""

    @property
    @abstractmethod
    def links(self) -> tuple[int, ...]:
        """The links that this step places."""

    @abstractmethod
    def place(self, state: State) -> Real:
        """Set the links' turn and shift.

        Returns the room left before the loop stops closing, (B, N), dimensionless squared
        length: below zero the links do not reach (they are put where they come nearest).
        """

    @abstractmethod
    def rates(self, state: State) -> None:
        """Set the links' spin and drift per radian of lever rotation."""

    @abstractmethod
    def balance(self, state: State) -> None:
        """Find the reactions, note the bearings, and hand the forces on."""


def hold(
    state: State, link: int, onto: int, point: int, force: Plane, through: Plane | None = None
) -> None:
    """Let `link` press on `onto` with `force` by a pin at `point`; note the bearing.

    `through` is what the pin itself carries where that is another force.
    """
    state.bodies[onto].push(state.places[point], force)
    spin = state.bodies[link].spin - state.bodies[onto].spin
    state.bearings.append(Bearing(point, length(force if through is None else through), spin))


def half_chord(room: Real) -> Real:
    """Square root of the room left; zero where the loop does not close."""
    result: Real = np.sqrt(np.maximum(room, 0.0))
    return result


@dataclass(frozen=True, slots=True)
class PinPinPin(Step):
    """Two links pinned to each other at `knee`, and each to a placed link at `foot`/`head`."""

    first: int
    second: int
    foot: int
    knee: int
    head: int
    foot_on: int
    head_on: int

    @property
    def links(self) -> tuple[int, ...]:
        return (self.first, self.second)

    def place(self, state: State) -> Real:
        knee1, knee2 = state.hole(self.knee, self.first), state.hole(self.knee, self.second)
        arm1 = knee1 - state.hole(self.foot, self.first)
        arm2 = knee2 - state.hole(self.head, self.second)
        foot, head = state.place(self.foot, self.foot_on), state.place(self.head, self.head_on)
        span = head - foot
        squared = square(span)
        with np.errstate(divide="ignore", invalid="ignore"):
            along = 0.5 + 0.5 * (square(arm1) - square(arm2)) / squared
            room = square(arm1) / squared - along * along
        drawn_span = state.drawn[self.head] - state.drawn[self.foot]
        side = np.where(cross(drawn_span, arm1) < 0.0, -1.0, 1.0)
        knee = foot + span * joined(along, side * half_chord(room))
        state.places[self.knee] = knee
        state.bodies[self.first].put((knee - foot) * (1.0 / arm1), knee, knee1)
        state.bodies[self.second].put((knee - head) * (1.0 / arm2), knee, knee2)
        return room

    def rates(self, state: State) -> None:
        foot, knee, head = (state.places[i] for i in (self.foot, self.knee, self.head))
        arm1, arm2 = knee - foot, knee - head
        speed1 = state.bodies[self.foot_on].velocity(foot)
        speed2 = state.bodies[self.head_on].velocity(head)
        closing = (speed2 - speed1) * (1.0 / cross(arm1, arm2))
        state.bodies[self.first].move(dot(closing, arm2), foot, speed1)
        state.bodies[self.second].move(dot(closing, arm1), head, speed2)

    def balance(self, state: State) -> None:
        first, second = state.bodies[self.first], state.bodies[self.second]
        foot, knee, head = (state.places[i] for i in (self.foot, self.knee, self.head))
        arm1, arm2 = knee - foot, knee - head
        moment1, moment2 = first.moment_about(foot), second.moment_about(head)
        # Force of the second link on the first at the knee:
        #   moment1 + arm1 × force = 0  and  moment2 - arm2 × force = 0.
        share = -1.0 / cross(arm1, arm2)
        force = (moment1 * share) * arm2 + (moment2 * share) * arm1
        state.bearings.append(Bearing(self.knee, length(force), first.spin - second.spin))
        hold(state, self.first, self.foot_on, self.foot, first.force + force)
        hold(state, self.second, self.head_on, self.head, second.force - force)


@dataclass(frozen=True, slots=True)
class PinOnLine(Step, ABC):
    """What both one-link steps with a slider share.

    One link, pinned at `pin` to link `pin_on`; the slider couples it to link `slot_on`. With
    `arm` from the pin to the sliding point and `along` the line's unit direction, both kinds
    have the same rate and reaction formulas: the line's normal is i·along, and the moment of a
    normal force about the pin is N·(arm · along).
    """

    link: int
    pin: int
    pin_on: int
    slider: int
    sliding: int
    slot_on: int
    ends: tuple[int, int]

    @property
    def links(self) -> tuple[int, ...]:
        return (self.link,)

    def _along(self, state: State) -> Plane:
        """Unit direction of the line, now."""
        start, end = (state.places[i] for i in self.ends)
        line = end - start
        result: Plane = line * (1.0 / length(line))
        return result

    def _through(self, state: State, force: Plane) -> Plane:
        """What the pin carries while the link presses on the line with `force`."""
        return force

    def rates(self, state: State) -> None:
        body = state.bodies[self.link]
        pin, sliding = state.places[self.pin], state.places[self.sliding]
        along = self._along(state)
        speed = state.bodies[self.pin_on].velocity(pin)
        other = state.bodies[self.slot_on].velocity(sliding)
        spin = dot(other - speed, quarter_turn(along)) / dot(sliding - pin, along)
        body.move(spin, pin, speed)

    def balance(self, state: State) -> None:
        body, other = state.bodies[self.link], state.bodies[self.slot_on]
        pin, sliding = state.places[self.pin], state.places[self.sliding]
        along = self._along(state)
        normal = body.moment_about(pin) / dot(sliding - pin, along)
        force = normal * quarter_turn(along)
        through = self._through(state, force)
        hold(state, self.link, self.slot_on, self.sliding, force, through)
        hold(state, self.link, self.pin_on, self.pin, body.force - force)
        slip = dot(body.velocity(sliding) - other.velocity(sliding), along)
        state.slides.append(Slide(self.slider, normal, slip))


@dataclass(frozen=True, slots=True)
class PinInSlot(PinOnLine):
    """The link's own point `sliding` rides in a slot of the placed link `slot_on`."""

    def place(self, state: State) -> Real:
        pin0, sliding0 = (state.hole(i, self.link) for i in (self.pin, self.sliding))
        start0, end0 = (state.hole(i, self.slot_on) for i in self.ends)
        arm = sliding0 - pin0
        pin = state.place(self.pin, self.pin_on)
        start, _ = (state.place(i, self.slot_on) for i in self.ends)
        along = self._along(state)
        offset = cross(along, pin - start)
        reach = square(arm)
        room = 1.0 - offset * offset / reach
        way = np.where(dot(arm, end0 - start0) < 0.0, -1.0, 1.0)
        run = dot(along, pin - start) + way * length(arm) * half_chord(room)
        sliding = start + run * along
        state.places[self.sliding] = sliding
        if self.slot_on == 0:
            state.blocks[self.sliding] = np.zeros((1, 1), dtype=np.complex128)
        state.bodies[self.link].put((sliding - pin) * (1.0 / arm), pin, pin0)
        return room

    def _through(self, state: State, force: Plane) -> Plane:
        block = state.blocks.get(self.sliding)
        return force if block is None else force - block


@dataclass(frozen=True, slots=True)
class SlotOnPin(PinOnLine):
    """The link's own slot holds the point `sliding` of the placed link `slot_on`."""

    def place(self, state: State) -> Real:
        pin0 = state.hole(self.pin, self.link)
        start0, end0 = (state.hole(i, self.link) for i in self.ends)
        along0 = (end0 - start0) / length(end0 - start0)
        pin = state.place(self.pin, self.pin_on)
        sliding = state.place(self.sliding, self.slot_on)
        reach = sliding - pin
        squared = square(reach)
        offset = cross(start0 - pin0, along0)
        with np.errstate(divide="ignore", invalid="ignore"):
            room = 1.0 - offset * offset / squared
            way = np.where(dot(state.drawn[self.sliding] - pin0, along0) < 0.0, -1.0, 1.0)
            # cross(reach, along) must equal the slot's own offset from the pin.
            share = 1.0 / np.sqrt(squared)
            turn = joined(way * half_chord(room), offset * share)
            along = (share * reach) * turn
        state.bodies[self.link].put(along * along0.conj(), pin, pin0)
        for end in self.ends:
            state.place(end, self.link)
        return room
