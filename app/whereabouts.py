"""Words for a place on the throw, the same in every view: rest A, dead centre, 12.3°."""

from solver.analysis import Analysis

NEAR = 0.05
"""Degrees within which a place counts as a rest or as dead centre."""


def place(travel: float, analysis: Analysis) -> str:
    """What to call the lever position `travel` degrees from rest A."""
    if abs(travel) <= NEAR:
        return "rest A"
    if abs(travel - analysis.throw) <= NEAR:
        return "rest B"
    if analysis.dead_centre is not None and abs(travel - analysis.dead_centre) <= NEAR:
        return "dead centre"
    return f"{travel:.1f}°"


def place_phrase(travel: float, analysis: Analysis) -> str:
    """The same as part of a sentence: at rest A, at dead centre, 12.3° from rest A."""
    name = place(travel, analysis)
    return f"{name} from rest A" if name.endswith("°") else f"at {name}"
