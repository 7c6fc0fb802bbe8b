"""The sentence for a linkage that cannot reach a position."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver import units
from solver.errors import DesignProblem
from solver.motion import Evaluator
from solver.plan import Plan
from solver.project import Display
from solver.steps import PinPinPin


def lock_problem(
    plan: Plan, step: int, direction: float, rest: str, display: Display
) -> DesignProblem:
    """Which links lock, with the lever in which direction (degrees), short of which rest."""
    locked = plan.steps[step]
    names = [f"“{plan.design.links[i].name}”" for i in locked.links]
    who = " and ".join(names)
    goal = f", so the lever does not reach rest {rest}" if rest else ""
    verb = "lock" if len(names) > 1 else "locks"
    if isinstance(locked, PinPinPin):
        why = f"{who} {verb} there: their pins end up too far apart or too close for their lengths"
    else:
        why = f"{who} {verb} there: a slider cannot follow"
    at = units.show(direction, "direction", display, 1)
    origin = "from upright" if display.angle_from == "upright" else "from +x"
    return DesignProblem(
        f"The linkage stops with the lever at {at} ({origin}){goal}. {why}. "
        "Change a length or bring the rest nearer.",
        plan.design.links[locked.links[0]].name,
    )


def first_lock(
    evaluator: Evaluator, parameters: NDArray[np.float64], start: float, end: float
) -> tuple[float, int] | None:
    """Where a linkage locks with the lever turned from `start` to `end` (degrees).

    Returns the direction, to a ten-thousandth of the way between two of 721 positions, and the
    step that does not close; None where all of them close. `start` itself is taken to close.
    """
    found: tuple[float, int] | None = None
    for count in (721, 101, 101):
        directions = np.linspace(start, end, count)
        with np.errstate(divide="ignore", invalid="ignore"):
            _, culprit = evaluator.place(parameters[None, :], np.radians(directions)[None, :])
        locked = np.nonzero(culprit[0, 1:] >= 0)[0] + 1
        if not locked.size:
            return found
        at = int(locked[0])
        start, end = float(directions[at - 1]), float(directions[at])
        found = end, int(culprit[0, at])
    return found
