"""Everything shown of one design: curves, hang zones, springs, readings, limits, verdict."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.crossings import Crossings
from solver.errors import DesignProblem
from solver.locking import first_lock, lock_problem
from solver.model import Design
from solver.motion import Evaluator, Motion, evaluate
from solver.plan import compile_design
from solver.planar import filled
from solver.project import Display
from solver.readings import Measures, catalogue, measure, no_such_reading
from solver.results import HangZone, LimitResult, Reading, ZoneKind
from solver.spring_work import SpringWork, spring_work
from solver.verdict import Findings, judge, limit_sentence

Curve = NDArray[np.float64]
_DEGREES = 180.0 / math.pi


@dataclass(frozen=True, slots=True)
class Analysis:
    """One design, solved. Curves have the shape (N,); see `analyse`.

    throw: degrees, > 0; sense: +1 where A to B is counter-clockwise, else -1; travel: degrees
    from rest A; direction: lever direction, degrees from +x; grip_travel: mm; energy: N·mm,
    least value zero; torque: N·mm along A to B, frictionless (positive drives the lever to B);
    friction: N·mm; effort_to_b, effort_to_a: N at the grip with friction, positive where the
    hand must push; dead_centre, commit_*: travel in degrees.
    """

    design: Design
    throw: float
    sense: int
    travel: Curve
    direction: Curve
    grip_travel: Curve
    energy: Curve
    torque: Curve
    friction: Curve
    effort_to_b: Curve
    effort_to_a: Curve
    dead_centre: float | None
    commit_from_a: float | None
    commit_from_b: float | None
    hang_zones: tuple[HangZone, ...]
    springs: tuple[SpringWork, ...]
    readings: Mapping[str, Reading]
    limits: tuple[LimitResult, ...]
    verdict: str
    good: bool
    notes: tuple[str, ...]
    evaluator: Evaluator
    parameters: NDArray[np.float64]

    def pose(self, direction: float) -> dict[str, tuple[float, float]]:
        """Every point's place (mm) with the lever in that direction (degrees from +x).

        Raises DesignProblem where the linkage does not reach.
        """
        return pose(self.evaluator, self.parameters, direction)

    def pose_at(self, travel: float) -> dict[str, tuple[float, float]]:
        """Every point's place (mm) at a travel from rest A (degrees)."""
        return self.poses_at([travel])[0]

    def poses_at(self, travels: Sequence[float]) -> list[dict[str, tuple[float, float]]]:
        """As `pose_at` for several travels (degrees), solved together."""
        directions = [self.design.stops.rest_a + self.sense * travel for travel in travels]
        return poses(self.evaluator, self.parameters, directions)


def pose(
    evaluator: Evaluator, parameters: NDArray[np.float64], direction: float
) -> dict[str, tuple[float, float]]:
    """Every point's place (mm) with the lever in a direction (degrees from +x).

    Raises DesignProblem where the linkage does not reach.
    """
    return poses(evaluator, parameters, [direction])[0]


def poses(
    evaluator: Evaluator, parameters: NDArray[np.float64], directions: Sequence[float]
) -> list[dict[str, tuple[float, float]]]:
    """Every point's place (mm) with the lever in each of some directions (degrees from +x).

    Raises DesignProblem for the first one that the linkage does not reach.
    """
    theta = np.radians(np.asarray(directions, dtype=np.float64))[None, :]
    state, culprits = evaluator.place(parameters[None, :], theta)
    for direction, culprit in zip(directions, culprits[0].tolist(), strict=True):
        if culprit >= 0:
            raise lock_problem(evaluator.plan, culprit, direction, "", Display())
    found: list[dict[str, tuple[float, float]]] = [{} for _ in directions]
    for name, point in evaluator.plan.points.items():
        places = filled(state.place(point, evaluator.plan.carrier[point]), theta.shape)
        for into, place in zip(found, places[0].tolist(), strict=True):
            into[name] = (place.real, place.imag)
    return found


def analyse(design: Design, positions: int = 721, display: Display | None = None) -> Analysis:
    """Solve a design over `positions` lever positions from rest A to rest B.

    `display` gives the units of the sentences (verdict, limits, notes). Raises DesignProblem,
    naming the part, for a design that fails its checks, has not one degree of freedom, locks
    between the rests, or carries a limit on a reading it does not have.
    """
    plan = compile_design(design)
    evaluator = Evaluator.of(plan)
    parameters = plan.parameters(design)
    motion = evaluate(evaluator, parameters, positions)
    shown = display or Display()
    _refuse_locked(evaluator, motion, design, shown)
    measures = measure(motion)
    readings = _readings(design, measures)
    limits = _limits(design, readings, shown)
    zones = _hang_zones(motion, measures)
    springs = tuple(
        spring_work(spring, run, motion, measures)
        for spring, run in zip(design.springs, motion.springs, strict=True)
    )
    findings = Findings(readings, zones, springs, limits, design)
    verdict, good, notes = judge(findings, shown)
    travel, torque = motion.travel[0] * _DEGREES, motion.torque[0]
    thrown, arm = motion.friction_thrown[0], float(motion.arm[0, 0])
    sense = int(motion.sense[0, 0])
    energy = motion.energy[0]
    return Analysis(
        design=design,
        throw=float(travel[-1]),
        sense=sense,
        travel=travel,
        direction=design.stops.rest_a + sense * travel,
        grip_travel=motion.travel[0] * arm,
        energy=energy - energy.min(),
        torque=torque,
        friction=motion.friction[0],
        effort_to_b=(thrown - torque) / arm,
        effort_to_a=(thrown + torque) / arm,
        dead_centre=_known(measures.values["dead_centre"]),
        commit_from_a=_known(measures.values["commit_from_a"]),
        commit_from_b=_known(measures.values["commit_from_b"]),
        hang_zones=zones,
        springs=springs,
        readings=readings,
        limits=limits,
        verdict=verdict,
        good=good,
        notes=notes,
        evaluator=evaluator,
        parameters=parameters,
    )


def _refuse_locked(evaluator: Evaluator, motion: Motion, design: Design, display: Display) -> None:
    stops = design.stops
    pivot, grip = (design.point(name) for name in (design.lever_pivot(), design.grip))
    middle = 0.5 * (stops.rest_a + stops.rest_b)
    as_drawn = math.degrees(math.atan2(grip.y - pivot.y, grip.x - pivot.x))
    drawn = middle + (as_drawn - middle + 180.0) % 360.0 - 180.0
    outside = abs(drawn - middle) > 0.5 * abs(stops.rest_b - stops.rest_a) + 1e-9
    if outside or not motion.solved[0]:
        # The hand can only get there from the pose in which the linkage is put together.
        rests = sorted((("A", stops.rest_a), ("B", stops.rest_b)), key=lambda r: abs(r[1] - drawn))
        for rest, end in rests:
            lock = first_lock(evaluator, motion.parameters[0], drawn, end)
            if lock is not None:
                at = lock[0] - drawn + as_drawn if outside else lock[0]
                raise lock_problem(motion.plan, lock[1], at, rest, display)
    if not (motion.solved[0] and np.isfinite(motion.torque[0]).all()):
        raise DesignProblem(
            "The sketch cannot be solved: somewhere in the throw a link stands exactly at its "
            "lock. Move a rest or a point a little."
        )


def _known(value: NDArray[np.float64]) -> float | None:
    number = float(value[0])
    return None if math.isnan(number) else number


def _readings(design: Design, measures: Measures) -> dict[str, Reading]:
    found = {}
    for kind in catalogue(design):
        place = measures.where.get(kind.key)
        where = None if place is None else _known(place)
        value = float(measures.values[kind.key][0])
        found[kind.key] = Reading(kind.key, kind.label, value, kind.quantity, where, kind.group)
    return found


def _limits(
    design: Design, readings: Mapping[str, Reading], display: Display
) -> tuple[LimitResult, ...]:
    results = []
    for limit in design.limits:
        reading = readings.get(limit.reading)
        if reading is None:
            raise no_such_reading(limit)
        holds, sentence = limit_sentence(limit, reading, display)
        results.append(LimitResult(limit, reading, holds, sentence))
    return tuple(results)


def _hang_zones(motion: Motion, measures: Measures) -> tuple[HangZone, ...]:
    """The gaps between the stretches on which the lever drives itself to A or to B."""
    driven = sorted([*_stretches(measures.to_b, 1), *_stretches(measures.to_a, -1)])
    arm, end_of_throw = float(motion.arm[0, 0]), float(motion.travel[0, -1])
    zones, last, before = [], 0.0, 0
    for start, end, way in [*driven, (end_of_throw, math.inf, 0)]:
        if start > last or (before and way and way != before):
            zones.append(_zone(last, max(start, last), before, way, arm))
        last, before = end, way
    return tuple(zones)


def _stretches(found: Crossings, way: int) -> list[tuple[float, float, int]]:
    """(start, end, way) of every stretch of travel (rad) on which the function is positive."""
    starts, ends = found.where[found.rising].tolist(), found.where[~found.rising].tolist()
    starts = [float(found.x[0, 0]), *starts] if found.above[0, 0] else starts
    ends = [*ends, float(found.x[0, -1])] if found.above[0, -1] else ends
    return [(start, end, way) for start, end in zip(starts, ends, strict=True)]


def _zone(start: float, end: float, before: int, after: int, arm: float) -> HangZone:
    kind: ZoneKind = "slack"
    if (before, after) == (-1, 1):
        kind = "dead centre"
    elif (before, after) == (1, -1):
        kind = "valley"
    return HangZone(start * _DEGREES, end * _DEGREES, start * arm, end * arm, kind)
