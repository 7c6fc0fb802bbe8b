"""What copies are off by where that is the holes alone, in a few words. Needs no Qt."""

from __future__ import annotations

from solver import units
from solver.hole_tolerances import holes_only
from solver.model import Design
from solver.project import Display


def holes_alone(design: Design, display: Display) -> str:
    """What the holes are off by, and that they alone are; "" where more is, or nothing."""
    given = design.tolerances
    own = [each for each in given.own if each.plus_minus > 0.0]
    if holes_only(given) != given or not (own or given.hole or given.hole_class != "none"):
        return ""
    if given.hole_class != "none":
        told = f"holes ISO 2768-1 {given.hole_class}"
    else:
        told = f"holes ±{short(given.hole, 'length', display)}"
    if given.own:
        told += f", own tolerances of {len(given.own)}"
    return f"{told}, everything else exact"


def short(value: float, quantity: units.Quantity, display: Display) -> str:
    """A tolerance with as many digits as one has."""
    return f"{value * units.factor(quantity, display):.3g} {units.unit_of(quantity, display)}"
