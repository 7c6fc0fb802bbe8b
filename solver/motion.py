"""Evaluate B designs at N lever positions each: poses, energy, torque, reactions, friction.

Friction follows the small-friction approximation: the reactions are those of the frictionless
linkage, and each pin resists with coefficient × pin radius × reaction × relative rotation (a
friction circle of radius μr where the exact one is r·sin(arctan μ): 1.1 % too large at μ = 0.15,
4.4 % at 0.3, on the side of more friction). The change of the reactions by friction itself is
left out; its effect is of second order in μr / link length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from solver.crossings import Crossings
from solver.forces import (
    PlateLoad,
    Springlike,
    SpringRun,
    Steady,
    compile_load,
    compile_plates,
    compile_spring,
    compile_weight,
    gravity,
)
from solver.plan import Plan
from solver.planar import (
    Plane,
    Real,
    direction,
    dot,
    filled,
    joined,
    length,
    quarter_turn,
    square,
)
from solver.state import Bearing, Body, Ground, State
from solver.steps import LOCK_TOLERANCE

CHUNK = 32768
"""Design-positions solved at once: the temporaries of one chunk stay in the processor's cache."""


@dataclass(frozen=True, slots=True)
class Motion:
    """What B designs do at N positions from rest A (column 0) to rest B (last column).

    travel: lever rotation from rest A along the throw, rad, (B, N); sense: +1 where A to B is
    counter-clockwise, (B, 1); energy N·mm and torque N·mm (along A to B, frictionless), (B, N);
    friction: friction torque at the lever with no hand on it, friction_thrown: with the hand
    that holds the spring's torque, N·mm; springs: one run each; loads: force through each pin,
    N (`pins` gives the point), with the hand off; places and velocities (mm/rad of travel) of
    the `outputs` points, turns of the links (rad); arm: pivot to grip, mm, (B, 1); culprit: index
    of the step that does not close there, -1 where all is well, (B, N).
    """

    plan: Plan
    travel: Real
    sense: Real
    energy: Real
    torque: Real
    friction: Real
    friction_thrown: Real
    springs: tuple[SpringRun, ...]
    pins: tuple[int, ...]
    loads: tuple[Real, ...]
    outputs: dict[str, tuple[Plane, Plane]]
    turns: dict[str, tuple[Real, Real]]
    arm: Real
    culprit: NDArray[np.int8]
    parameters: NDArray[np.float64]

    @property
    def solved(self) -> NDArray[np.bool_]:
        """Designs (B,) that reach every position."""
        result: NDArray[np.bool_] = np.all(self.culprit < 0, axis=1)
        return result


@dataclass(frozen=True, slots=True)
class Evaluator:
    """A plan with its springs and loads compiled too; the reusable half of `evaluate`."""

    plan: Plan
    springs: tuple[Springlike, ...]
    steady: tuple[Steady, ...]
    plates: tuple[PlateLoad, ...]

    @classmethod
    def of(cls, plan: Plan) -> Evaluator:
        """Compile the springs, weights, loads and plates of the plan's design."""
        design = plan.design
        weights = [compile_weight(weight, plan) for weight in design.weights]
        loads = [compile_load(load, plan) for load in design.loads]
        springs = tuple(compile_spring(spring, plan) for spring in design.springs)
        return cls(plan, springs, (*weights, *loads), compile_plates(plan))

    def place(self, parameters: NDArray[np.float64], theta: Real) -> tuple[State, NDArray[np.int8]]:
        """Put every link where it belongs with the lever in the directions `theta` (B, N), rad.

        Returns the state (places of all points) and, per position, the index of the first step
        that does not close (-1: none).
        """
        state = self._lever_placed(parameters, theta)
        culprit = np.full(theta.shape, -1, dtype=np.int8)
        for number, step in enumerate(self.plan.steps):
            room = step.place(state)
            fails = ~(room >= -LOCK_TOLERANCE)
            if fails.any():
                culprit[np.broadcast_to(fails, culprit.shape) & (culprit < 0)] = number
        return state, culprit

    def room(self, parameters: NDArray[np.float64], positions: int) -> Real:
        """How far designs (B, P) are from locking over their throws, (B,), dimensionless.

        The least of all steps' room (see `Step.place`); below zero where a design locks, infinite
        where there is nothing that could.
        """
        column = _Columns(parameters, self.plan)
        rest_a, rest_b = column("stops.rest_a"), column("stops.rest_b")
        fractions = np.linspace(0.0, 1.0, positions)[None, :]
        least: Real = np.full(len(parameters), np.inf)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            state = self._lever_placed(parameters, rest_a + (rest_b - rest_a) * fractions)
            for step in self.plan.steps:
                least = np.fmin(least, np.min(step.place(state), axis=1))
        return least

    def _lever_placed(self, parameters: NDArray[np.float64], theta: Real) -> State:
        plan = self.plan
        xy = joined(parameters[:, plan.xs], parameters[:, plan.xs + 1])
        drawn = [xy[:, i : i + 1] for i in range(len(plan.points))]
        pivot, grip = drawn[plan.pivot], drawn[plan.grip]
        arm = grip - pivot
        offsets = {
            hole: joined(parameters[:, at : at + 1], parameters[:, at + 1 : at + 2])
            for hole, at in plan.holes.items()
        }
        bodies = [Ground(), *(Body() for _ in range(1, len(plan.links)))]
        state = State(drawn, bodies, theta, np.angle(arm), offsets)
        turn = direction(theta) * (arm.conj() / length(arm))
        pin = state.place(plan.pivot, 0)
        state.bodies[plan.lever].put(turn, pin, state.hole(plan.pivot, plan.lever))
        return state

    def run(self, parameters: NDArray[np.float64], fractions: Real) -> Motion:
        """One chunk: parameters (B, P), fractions of the throw (1 or B, N)."""
        plan = self.plan
        column = _Columns(parameters, plan)
        rest_a, rest_b = column("stops.rest_a"), column("stops.rest_b")
        throw = rest_b - rest_a
        sense = np.where(throw < 0.0, -1.0, 1.0)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            state, culprit = self.place(parameters, rest_a + throw * fractions)
            lever, pivot = state.bodies[plan.lever], state.places[plan.pivot]
            lever.move(sense, pivot, 0.0j * pivot)
            for step in plan.steps:
                step.rates(state)
            energy, runs, friction = self._push(state, column)
            torque = _virtual_work(state.bodies)
            for step in reversed(plan.steps):
                step.balance(state)
            shape = culprit.shape
            drag = column.of("pivots", plan.pivot, "drag")
            friction = friction + _bearing_friction(state, column, plan) + drag
            hand = _hand(state, plan, torque, sense)
            radius = column.grip_of(plan.pivot)
            free = length(lever.force)
            return Motion(
                plan=plan,
                travel=filled(np.abs(throw) * fractions, shape),
                sense=sense,
                energy=filled(energy, shape),
                torque=filled(torque, shape),
                friction=filled(friction + radius * free, shape),
                friction_thrown=filled(friction + radius * length(lever.force + hand), shape),
                springs=tuple(runs),
                pins=(*(bearing.point for bearing in state.bearings), plan.pivot),
                loads=(*(bearing.load for bearing in state.bearings), free),
                outputs={name: self._output(state, name) for name in _marked_points(plan)},
                turns={name: self._turn(state, name) for name in _marked_links(plan)},
                arm=length(state.drawn[plan.grip] - state.drawn[plan.pivot]),
                culprit=culprit,
                parameters=parameters,
            )

    def _push(self, state: State, column: _Columns) -> tuple[Real, list[SpringRun], Real]:
        """Let springs, weights and loads act; energy, runs, and the end pins' friction."""
        energy: Real = np.zeros((1, 1))
        friction: Real = np.zeros((1, 1))
        runs = []
        for spring, part in zip(self.springs, self.plan.design.springs, strict=True):
            gained, run = spring.act(state, column.part("springs", part.name))
            energy = energy + gained
            runs.append(run)
            if run.turning is not None:
                friction = friction + run.turning
        for steady in self.steady:
            place = "weights" if steady.kind == "weight" else "loads"
            energy = energy + steady.act(state, column.part(place, steady.name), column.gravity)
        for plate in self.plates:
            energy = energy + plate.act(state, column.part("plates", plate.name), column.gravity)
        return energy, runs, friction

    def _output(self, state: State, name: str) -> tuple[Plane, Plane]:
        point = self.plan.points[name]
        link = self.plan.carrier[point]
        place = state.place(point, link)
        return place, state.bodies[link].velocity(place)

    def _turn(self, state: State, name: str) -> tuple[Real, Real]:
        body = state.bodies[self.plan.links[name]]
        return state.unwrapped(body.turn), body.spin


@dataclass(frozen=True, slots=True)
class _Columns:
    """Reads parameters of a batch as arrays (B, 1)."""

    parameters: NDArray[np.float64]
    plan: Plan

    def __call__(self, name: str) -> Real:
        index = self.plan.columns[name]
        return self.parameters[:, index : index + 1]

    def part(self, kind: str, name: str) -> _Part:
        return _Part(self, f"{kind}.{name}.")

    def of(self, kind: str, point: int, key: str) -> Real:
        return self(f"{kind}.{self.plan.design.points[point].name}.{key}")

    def grip_of(self, point: int) -> Real:
        """Radius of the friction circle of the pin at a point, mm."""
        return 0.5 * self.of("pivots", point, "pin_diameter") * self.of("pivots", point, "friction")

    def gravity(self) -> Plane:
        return gravity(self("gravity.strength"), self("gravity.direction"))


@dataclass(frozen=True, slots=True)
class _Part:
    columns: _Columns
    prefix: str

    def __call__(self, key: str) -> Real:
        return self.columns(self.prefix + key)


def evaluate(
    plan: Plan | Evaluator, parameters: ArrayLike, positions: int | Sequence[float] = 181
) -> Motion:
    """Run designs with the parameters (B, P) or (P,) through their throws.

    `positions` is a number of evenly spaced lever positions, rests included, or the positions
    themselves as fractions of the throw (0 rest A, 1 rest B). Where a spring lets go within the
    throw, two of the evenly spaced positions are moved to either side of that instant, so that
    the corner in its law falls between samples and not on an interval.

    A design that locks gets NaN there and the index of the step in `culprit`; nothing is raised
    for a single design. ValueError for parameters of another length than the plan's.
    """
    evaluator = plan if isinstance(plan, Evaluator) else Evaluator.of(plan)
    values = np.atleast_2d(np.asarray(parameters, dtype=np.float64))
    if values.shape[1] != len(evaluator.plan.columns):
        raise ValueError(f"expected {len(evaluator.plan.columns)} parameters a design")
    if not isinstance(positions, int):
        return evaluator.run(values, np.asarray(positions, dtype=np.float64)[None, :])
    fractions: Real = np.linspace(0.0, 1.0, positions)[None, :]
    motion = evaluator.run(values, fractions)
    for _ in range(_PASSES):
        moved = _around_onsets(evaluator, motion, fractions)
        if moved is None:
            break
        fractions = moved
        motion = evaluator.run(values, fractions)
    return motion


def chunks(designs: int, positions: int) -> list[slice]:
    """Slices of a batch that are worth solving at once."""
    step = max(1, CHUNK // max(positions, 1))
    return [slice(start, start + step) for start in range(0, designs, step)]


def _around_onsets(evaluator: Evaluator, motion: Motion, fractions: Real) -> Real | None:
    """Fractions (B, N) with a close pair of positions around every let-go.

    None where there is no let-go, or each has its pair already.
    """
    moved: Real | None = None
    if fractions.shape[1] < 8:
        return None
    every = np.broadcast_to(fractions, motion.travel.shape)
    for spring, run in enumerate(motion.springs):
        if run.onset is None or not (np.any(run.onset > 0.0) and np.any(run.onset <= 0.0)):
            continue
        onset = filled(run.onset, motion.travel.shape)
        changes = (onset[:, 1:] > 0.0) != (onset[:, :-1] > 0.0)
        if not np.any(changes & (every[:, 1:] - every[:, :-1] > 3.0 * ONSET_GAP)):
            continue
        found = Crossings.of(every, onset)
        where = _polished(evaluator, motion, spring, every, found)
        pair = _pairs(every, found)
        if moved is None:
            moved = every.copy()
        moved[found.rows, pair] = where - ONSET_GAP
        moved[found.rows, pair + 1] = where + ONSET_GAP
    return None if moved is None else np.sort(np.clip(moved, 0.0, 1.0), axis=1)


def _polished(
    evaluator: Evaluator, motion: Motion, spring: int, fractions: Real, found: Crossings
) -> Real:
    """Where a spring lets go (K,), as fractions, after one more step of Newton's method.

    The crossings alone may be off by more than the gap of a pair: some 1e-7 of a throw at 91
    positions for a spring that swings fast.
    """
    rows, at, shape = found.rows, found.at, (found.rows.size, 1)
    there = evaluator.run(motion.parameters[rows], found.where[:, None]).springs[spring]
    assert there.onset is not None
    left = filled(there.onset, shape)[:, 0]
    # The onset is a length or twist less a number, or the other way round.
    slope = np.abs(filled(there.slope, shape)[:, 0]) * motion.travel[rows, -1]
    low, high = fractions[rows, at], fractions[rows, at + 1]
    with np.errstate(divide="ignore", invalid="ignore"):
        where = found.where - left / np.where(found.rising, slope, -slope)
    return np.where((low < where) & (where < high), where, found.where)


def _pairs(fractions: Real, found: Crossings) -> NDArray[np.intp]:
    """The first of the two positions (K,) to put around each let-go.

    Those on either side of it; where one of them is of another spring's pair, the two beyond it.
    """
    count = fractions.shape[1]
    rows, at = found.rows, np.clip(found.at, 1, count - 3)
    for beside, beyond in ((at - 1, at + 1), (at + 1, at - 1)):
        close = fractions[rows, beside + 1] - fractions[rows, beside] < 3.0 * ONSET_GAP
        at = np.where(close, beyond, at)
    return np.clip(at, 1, count - 3)


ONSET_GAP = 1e-9
"""Half the distance of the pair of positions around a let-go, as a fraction of the throw."""
_PASSES = 2
"""One puts pairs, and one gives a spring its own that lets go in the same step as another."""


def _virtual_work(bodies: list[Body]) -> Real:
    """Generalised torque along the travel: the work of all forces per radian."""
    torque: Real = np.zeros((1, 1))
    for body in bodies[1:]:
        torque = torque + dot(body.force, body.drift) + body.moment * body.spin
    return torque


def _bearing_friction(state: State, column: _Columns, plan: Plan) -> Real:
    """Friction torque at the lever of every pin and slider but the lever's own pivot."""
    total: Real = np.zeros((1, 1))
    for bearing in state.bearings:
        total = total + _pin_friction(bearing, column)
    for slide in state.slides:
        part = column.part("sliders", plan.design.sliders[slide.slider].name)
        force = part("friction") * np.abs(slide.normal) + part("drag")
        total = total + force * np.abs(slide.speed)
    return total


def _pin_friction(bearing: Bearing, column: _Columns) -> Real:
    torque = column.grip_of(bearing.point) * bearing.load
    result: Real = (torque + column.of("pivots", bearing.point, "drag")) * np.abs(bearing.spin)
    return result


def _hand(state: State, plan: Plan, torque: Real, sense: Real) -> Plane:
    """The force at the grip, square to the lever, that holds the frictionless linkage still."""
    arm = state.drawn[plan.grip] - state.drawn[plan.pivot]
    per_torque = quarter_turn(arm) * (-sense / square(arm))
    result: Plane = torque * (state.bodies[plan.lever].turn * per_torque)
    return result


def _marked_points(plan: Plan) -> list[str]:
    return [name for name in plan.design.outputs if name in plan.points]


def _marked_links(plan: Plan) -> list[str]:
    marked = [name for name in plan.design.outputs if name in plan.links]
    return [name for name in marked if name not in plan.points]
