"""Extension lines interrupted at holes that they run through beside the centre.

Such a line reads as if it were drawn from that hole. Common practice; a line through the centre
stays whole, for the hole lies where it says.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from app.drawing.dimension_parts import line_ends
from app.drawing.model import Circle, Corners, Element, Layer, LinearDimension, Place

_SAME = 0.1
"""A line that runs no farther (mm) beside a centre runs through it: a thin line is wider."""
_AROUND = 2.3
"""Left free around the hole, mm: its centre marks with it."""


def past_holes(elements: Sequence[Element]) -> Iterator[Element]:
    """The elements, with gaps in the extension lines that pass a hole's centre inside its edge."""
    holes = [e for e in elements if isinstance(e, Circle) and e.layer is Layer.HOLES]
    for element in elements:
        if isinstance(element, LinearDimension) and (gaps := tuple(_gaps(element, holes))):
            yield replace(element, gaps=(*element.gaps, *gaps))
        else:
            yield element


def _gaps(dimension: LinearDimension, holes: Iterable[Circle]) -> Iterator[Corners]:
    ends = line_ends(dimension)
    for hole in holes:
        off = min(
            _off(hole.centre, feature, end)
            for feature, end in zip((dimension.start, dimension.end), ends, strict=True)
        )
        if _SAME < off < hole.radius:
            (x, y), half = hole.centre, hole.radius + _AROUND
            low, high = (x - half, y - half), (x + half, y + half)
            yield (low, (high[0], low[1]), high, (low[0], high[1]))


def _off(place: Place, start: Place, end: Place) -> float:
    """How far a place lies beside a line, between its ends; infinite beyond them."""
    reach = math.dist(start, end)
    if reach == 0.0:
        return math.inf
    along_x, along_y = (end[0] - start[0]) / reach, (end[1] - start[1]) / reach
    off_x, off_y = place[0] - start[0], place[1] - start[1]
    if not 0.0 < off_x * along_x + off_y * along_y < reach:
        return math.inf
    return abs(off_x * along_y - off_y * along_x)
