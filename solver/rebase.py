"""Make another lever position the drawn pose: the same linkage with new coordinates."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from solver.analysis import pose
from solver.forces import leg_link
from solver.model import Design, Plate, Point, TorsionSpring
from solver.motion import Evaluator
from solver.plan import Plan, compile_design
from solver.state import State


def rebase(design: Design, direction: float) -> Design:
    """The same linkage drawn with the lever in `direction` (degrees from +x).

    Lengths, stops and springs stay as they are; only coordinates change, those of own outlines
    too, and the `turns` of a torsion spring whose twist passes ±180° on the way. Raises
    DesignProblem where the linkage does not reach.
    """
    evaluator = Evaluator.of(compile_design(design))
    places = pose(evaluator, evaluator.plan.parameters(design), direction)
    points = tuple(Point(point.name, *places[point.name]) for point in design.points)
    moved = replace(design, points=points)
    springs = design.springs
    if any(isinstance(spring, TorsionSpring) for spring in springs):
        way = _way_there(evaluator, design, direction)
        springs = tuple(
            _rewound(spring, design, moved, way, evaluator.plan)
            if isinstance(spring, TorsionSpring)
            else spring
            for spring in springs
        )
    plates = tuple(_carried(plate, design, moved) for plate in design.plates)
    return replace(moved, springs=springs, plates=plates)


def _carried(plate: Plate, before: Design, after: Design) -> Plate:
    """The plate with its own outline where its link has gone."""
    if not plate.outline:
        return plate
    names = before.link(plate.link).points
    was, now = ([complex(p.x, p.y) for p in map(d.point, names)] for d in (before, after))
    # The point farthest from the first gives the turn best; a link of one point is the frame.
    far = max(range(len(was)), key=lambda index: abs(was[index] - was[0]))
    if far == 0:
        return plate
    turn = (now[far] - now[0]) / (was[far] - was[0])
    turn /= abs(turn)
    corners = (now[0] + turn * (complex(x, y) - was[0]) for x, y in plate.outline)
    return replace(plate, outline=tuple((corner.real, corner.imag) for corner in corners))


def _rewound(
    spring: TorsionSpring, before: Design, after: Design, state: State, plan: Plan
) -> TorsionSpring:
    was, now = (_leg_angle(spring, design) - spring.free_angle for design in (before, after))
    body_a, body_b = (
        state.bodies[leg_link(plan, spring.pivot, leg)] for leg in (spring.leg_a, spring.leg_b)
    )
    turned = math.degrees(float(state.unwrapped(body_b.turn * body_a.turn.conj())[0, -1]))
    twist = _half_turn(was) + turned
    return replace(spring, turns=spring.turns + round((twist - _half_turn(now)) / 360.0))


def _way_there(evaluator: Evaluator, design: Design, direction: float) -> State:
    """The linkage on its way, within the throw, from the drawn pose to a lever direction."""
    middle = 0.5 * (design.stops.rest_a + design.stops.rest_b)
    pivot, grip = (design.point(name) for name in (design.lever_pivot(), design.grip))
    drawn = math.degrees(math.atan2(grip.y - pivot.y, grip.x - pivot.x))
    start, end = (middle + _half_turn(angle - middle) for angle in (drawn, direction))
    theta = np.radians(np.linspace(start, end, _SMALL_STEPS))[None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        state, _ = evaluator.place(evaluator.plan.parameters(design)[None, :], theta)
    return state


_SMALL_STEPS = 361
"""Positions on the way: a link turns by far less than half a turn from one to the next."""


def _half_turn(angle: float) -> float:
    """The angle (degrees) brought between -180 and 180 by whole turns."""
    return (angle + 180.0) % 360.0 - 180.0


def _leg_angle(spring: TorsionSpring, design: Design) -> float:
    pivot, leg_a, leg_b = (design.point(n) for n in (spring.pivot, spring.leg_a, spring.leg_b))
    a = math.atan2(leg_a.y - pivot.y, leg_a.x - pivot.x)
    b = math.atan2(leg_b.y - pivot.y, leg_b.x - pivot.x)
    return math.degrees(b - a)
