"""Where the lever and the springs are in the poses of the sheet."""

from __future__ import annotations

from app.drawing.blocks import Block, Row, table_block
from app.drawing.figures import angle, direction, origin_words, reading
from app.drawing.linkage_view import lever_directions
from app.drawing.poses import Posed
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
