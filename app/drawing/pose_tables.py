"""Where the lever and the springs are in the poses of the sheet."""

from __future__ import annotations

import math

from app.drawing.blocks import Block, Row, table_block
from app.drawing.figures import SheetUnits, angle, direction, length, origin_words
from app.drawing.linkage_view import lever_directions
from app.drawing.poses import Posed, place_of
from solver.model import TorsionSpring
from solver.project import Display


def rests_table(posed: Posed, display: Display, width: float) -> Block:
    """The direction from the lever's pivot to its grip in each pose, and the way from rest A."""
    rows: list[Row] = [("Lever at", "Direction", "From rest A")]
    ways = lever_directions(posed)
    for name in ("rest A", "dead centre", "rest B"):
        if name in ways:
            travel = abs(ways[name] - ways["rest A"])
            rows.append((name, direction(ways[name], display), angle(travel)))
    heading = f"Lever, from its pivot to the grip; directions from {origin_words(display)}"
    return table_block(heading, rows, width, ("left", "right", "right"))


def pins_table(posed: Posed, units: SheetUnits, width: float) -> Block | None:
    """Distances of pins beside the springs' own lengths; None where no spring has fittings."""
    rows: list[Row] = [("Spring", "At", "Pin to pin", "Spring itself")]
    poses = [("rest A", posed.at_a), *reversed(posed.others())]
    for spring in posed.design.springs:
        if isinstance(spring, TorsionSpring) or not spring.fittings:
            continue
        for index, (pose, design) in enumerate(poses):
            apart = math.dist(place_of(design, spring.a), place_of(design, spring.b))
            own = length(apart - spring.fittings, units)
            rows.append((spring.name if index == 0 else "", pose, length(apart, units), own))
    if len(rows) == 1:
        return None
    heading = "Springs between their pins; the spring itself is shorter by its end fittings"
    return table_block(heading, rows, width, ("left", "left", "right", "right"))
