"""Where the lever and the springs are in the poses of the sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.drawing.blocks import Block, Row, table_block
from app.drawing.dimensioning import legs_angle
from app.drawing.figures import SheetUnits, angle, direction, length, origin_words, reading
from app.drawing.linkage_view import lever_directions
from app.drawing.model import Across
from app.drawing.poses import Posed, place_of
from solver.model import Design, Spring, TorsionSpring
from solver.project import Display


def rests_table(posed: Posed, display: Display, width: float) -> Block:
    """The direction from the lever's pivot to its grip in each pose, and the way from rest A."""
    design = posed.design
    rows: list[Row] = [("Pose", "Direction", "From rest A")]
    ways = lever_directions(posed)
    for name in ("rest A", "dead centre", "rest B"):
        if name in ways:
            travel = abs(ways[name] - ways["rest A"])
            # Where dead centre is was computed, not chosen.
            told = _read if name == "dead centre" else angle
            rows.append((name, direction(ways[name], display, told), told(travel)))
    heading = (
        f"Lever “{design.lever}”, seen from “{design.lever_pivot()}” to “{design.grip}”; "
        f"directions from {origin_words(display)}"
    )
    return table_block(heading, rows, width, ("left", "right", "right"))


def _read(value: float) -> str:
    return reading(value, "angle", "mm")


def ends_table(posed: Posed, units: SheetUnits, width: float) -> Block | None:
    """Between which points springs act; None without springs.

    Where fittings take a part of the distance, that from pin to pin stands beside the spring's own
    length; else both are one, which the spring's own table tells. Legs have their angle.
    """
    springs = posed.design.springs
    if not springs:
        return None
    fitted = any(not isinstance(one, TorsionSpring) and one.fittings for one in springs)
    legs = any(isinstance(one, TorsionSpring) for one in springs)
    heads: Row = ("Spring", "From, to")
    heads += ("Pin to pin", "Spring itself") if fitted else ("Legs",) if legs else ()
    rows: list[Row] = [heads]
    for spring in springs:
        rows.append((spring.name, _ends(spring), *("" for _ in heads[2:])))
        for row in _apart(spring, posed, units):
            rows.append((*row, "")[: len(heads)])
    sides: list[Across] = ["left", "left", "right", "right"]
    return table_block("Springs between their points", rows, width, sides[: len(heads)])


def _ends(spring: Spring) -> str:
    if isinstance(spring, TorsionSpring):
        return f"{spring.leg_a}, {spring.leg_b}; around {spring.pivot}"
    return f"{spring.a}, {spring.b}"


def _apart(spring: Spring, posed: Posed, units: SheetUnits) -> Iterator[Row]:
    for pose, design in (("rest A", posed.at_a), *reversed(posed.others())):
        if isinstance(spring, TorsionSpring):
            yield "", f"at {pose}", f"legs {angle(legs_angle(design, spring))}"
        elif spring.fittings:
            apart = _distance(design, spring.a, spring.b)
            own = length(apart - spring.fittings, units)
            yield "", f"at {pose}", length(apart, units), own


def _distance(design: Design, a: str, b: str) -> float:
    return math.dist(place_of(design, a), place_of(design, b))
