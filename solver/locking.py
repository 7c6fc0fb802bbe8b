"""The sentence for a linkage that cannot reach a position."""

from __future__ import annotations

from solver.errors import DesignProblem
from solver.plan import Plan
from solver.steps import PinPinPin


def lock_problem(plan: Plan, step: int, direction: float, rest: str) -> DesignProblem:
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
    return DesignProblem(
        f"The linkage stops with the lever at {direction:.1f}° (from +x){goal}. {why}. "
        "Change a length or bring the rest nearer.",
        plan.design.links[locked.links[0]].name,
    )
