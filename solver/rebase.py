"""Make another lever position the drawn pose: the same linkage with new coordinates."""

from __future__ import annotations

import math
from dataclasses import replace

from solver.analysis import pose
from solver.model import Design, Point, TorsionSpring
from solver.motion import Evaluator
from solver.plan import compile_design


def rebase(design: Design, direction: float) -> Design:
    """The same linkage drawn with the lever in `direction` (degrees from +x).

    Lengths, stops and springs stay as they are; only coordinates change, and the `turns` of a
    torsion spring whose twist passes ±180° on the way. Raises DesignProblem where the linkage
    does not reach.
    """
    evaluator = Evaluator.of(compile_design(design))
    places = pose(evaluator, evaluator.plan.parameters(design), direction)
    points = tuple(Point(point.name, *places[point.name]) for point in design.points)
    moved = replace(design, points=points)
    springs = tuple(
        _rewound(spring, design, moved) if isinstance(spring, TorsionSpring) else spring
        for spring in design.springs
    )
    return replace(moved, springs=springs)


def _rewound(spring: TorsionSpring, before: Design, after: Design) -> TorsionSpring:
    was, now = (_leg_angle(spring, design) - spring.free_angle for design in (before, after))
    # Each leg turns by less than half a turn from one pose to the next that the hand can reach.
    twist = _half_turn(was) + _half_turn(now - was)
    return replace(spring, turns=spring.turns + round((twist - _half_turn(now)) / 360.0))


def _half_turn(angle: float) -> float:
    """The angle (degrees) brought between -180 and 180 by whole turns."""
    return (angle + 180.0) % 360.0 - 180.0


def _leg_angle(spring: TorsionSpring, design: Design) -> float:
    pivot, leg_a, leg_b = (design.point(n) for n in (spring.pivot, spring.leg_a, spring.leg_b))
    a = math.atan2(leg_a.y - pivot.y, leg_a.x - pivot.x)
    b = math.atan2(leg_b.y - pivot.y, leg_b.x - pivot.x)
    return math.degrees(b - a)
