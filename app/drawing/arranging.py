"""Placing dimensions and names: beside the links, around the pivot, and in rows outside."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import replace
from typing import Literal

from app.drawing.crossed import crossed
from app.drawing.dimension_parts import (
    ABOVE,
    ARROW,
    BEYOND,
    heading,
    line_angle,
    line_ends,
    polar,
    readable,
    text_middle,
)
from app.drawing.dimensioning import Distance, Measure, Sector
from app.drawing.ink import Extent
from app.drawing.linkage_view import axis_reach
from app.drawing.metrics import text_width
from app.drawing.model import (
    LEAST_TEXT,
    AngularDimension,
    Dimension,
    Element,
    Layer,
    Line,
    LinearDimension,
    Place,
    RadialDimension,
)
from app.drawing.placing import FORBIDDEN, Candidate, Placer
from app.drawing.poses import Posed, View
from solver.project import DimensionChoice

Side = Literal["below", "above", "right", "left"]
_Rows = Sequence[Sequence[tuple[float, float]]]
"""What is taken of each row beside a view: from where to where along the row, mm."""

ROW = 7.0
"""Between two rows of dimensions, mm."""
FIRST_ROW = 9.0
"""Between the view and the nearest row outside it, mm."""
_ALONG = (-0.3, 0.3, -0.6, 0.6, -1.0, 1.0)
"""Where a text may stand along its line, in shares of the way from the middle to an end."""
_BEYOND_ITS_LINE = 140.0
"""What a text beyond its line costs where the line has room for it."""
_EXPECTED = 60.0
"""How far (mm) beyond the view names keep off the lines to the rows outside."""


def arrange(
    wanted: Sequence[Measure],
    posed: Posed,
    view: View,
    placer: Placer,
    kept: Collection[str] = (),
) -> list[Dimension]:
    """Dimensions for what is wanted, each where it is in the way least.

    Not for distances across and up, see `in_rows`. `placer` knows what is drawn and learns what
    comes. Lengths of springs, which a table tells too, are left out where their line has room for
    the text but none is free, unless they are among the `kept` keys.
    """
    placed = _in_order(wanted, posed, view, copy(placer), kept)
    late = _late(placed)
    if late:  # others took the places of these: they go first
        order = sorted(wanted, key=lambda one: one.key not in late)
        again = _in_order(order, posed, view, copy(placer), kept)
        if len(again) >= len(placed) and len(_late(again)) < len(late):
            placed = again
    placer.take(placed)
    return placed


def _in_order(
    wanted: Sequence[Measure], posed: Posed, view: View, placer: Placer, kept: Collection[str]
) -> list[Dimension]:
    """Each at its best place among those before it."""
    placed: list[Dimension] = []
    for one in wanted:
        spare = told_by_table(one) and one.key not in kept
        found = placer.best(_candidates(one, posed, view), _BEYOND_ITS_LINE if spare else FORBIDDEN)
        if found is not None:
            placed.append(found.item)
            placer.take(placed[-1:])
    return placed


def _late(placed: Sequence[Dimension]) -> set[str]:
    """The keys of those whose text found no good place: beyond its line, or on another's line."""
    struck = {crossing.text for crossing in crossed(placed)}
    return {
        one.key
        for one in placed
        if _beyond_its_line(one) or (isinstance(one, AngularDimension) and one.text in struck)
    }


def _beyond_its_line(made: Dimension) -> bool:
    """Whether a text stands on what prolongs its line although that has room for it."""
    if not isinstance(made, LinearDimension):
        return False
    ends, width = line_ends(made), text_width(made.text, made.height)
    middle = ((ends[0][0] + ends[1][0]) / 2.0, (ends[0][1] + ends[1][1]) / 2.0)
    along, size = math.radians(line_angle(made)), math.dist(*ends)
    x, y = text_middle(made)
    off = abs((x - middle[0]) * math.cos(along) + (y - middle[1]) * math.sin(along))
    return width + 1.0 <= size and off + width / 2.0 > size / 2.0 + 0.1


def told_by_table(one: Measure) -> bool:
    """Whether the view can do without: how long a spring is, its own table tells."""
    return isinstance(one, Distance) and one.group == "spring"


def _candidates(one: Measure, posed: Posed, view: View) -> Iterator[Candidate[Dimension]]:
    if isinstance(one, Distance):
        return _beside(one, view)
    if one.group == "throw":
        return _over(one, posed, view)
    return _around(one, view)


def _made(one: Distance, view: View, through: Place) -> LinearDimension:
    return LinearDimension(
        one.key,
        view(one.start),
        view(one.end),
        through,
        one.value,
        one.text,
        one.angle,
        view.scale,
    )


def _beside(one: Distance, view: View) -> Iterator[Candidate[Dimension]]:
    """A straight distance on either side of its two places, nearer and farther off."""
    start, end = view(one.start), view(one.end)
    size = math.dist(start, end)
    if size < 0.5:
        return
    along = heading(start, end)
    middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
    for step in range(9):
        for side in (90.0, -90.0):
            off = 8.0 + 0.8 * ROW * step
            made = _made(one, view, polar(middle, off, along + side))
            for text_at, extra in _text_places(made, size):
                item = replace(made, text_at=text_at)
                yield Candidate(item, (item,), 0.5 * off + extra)


def _text_places(made: LinearDimension, size: float) -> Iterator[tuple[Place, float]]:
    """Where the text may stand along its line, and how much that is worse than the middle."""
    width = text_width(made.text, made.height)
    way = readable(line_angle(made))
    middle = text_middle(made)
    if width + 1.0 <= size:
        spare = (size - width) / 2.0 - 0.5
        yield middle, 0.0
        for share in _ALONG:
            yield polar(middle, share * spare, way), abs(share)
    beyond = size / 2.0 + 2.0 * ARROW + 1.0 + width / 2.0
    for sign in (1.0, -1.0):
        yield polar(middle, sign * beyond, way), 4.0 if width + 1.0 > size else _BEYOND_ITS_LINE


def _over(one: Sector, posed: Posed, view: View) -> Iterator[Candidate[Dimension]]:
    """The throw: an arc beyond the grip."""
    start = view.scale * one.radii[0] + axis_reach(posed.design, view)
    for step in range(6):
        radius = start + 4.0 + ROW * step
        yield from _arcs(one, view, radius, (start, start), 0.3 * ROW * step)


def _around(one: Sector, view: View) -> Iterator[Candidate[Dimension]]:
    """An angle about a pivot, at one of the radii that it may take."""
    for index, wished in enumerate(one.radii):
        radius = max(view.scale * wished, 8.0 + 2.0 * index)
        yield from _arcs(one, view, radius, (0.0, 0.0), 0.6 * index)


def _arcs(
    one: Sector, view: View, radius: float, reach: tuple[float, float], penalty: float
) -> Iterator[Candidate[Dimension]]:
    centre = view(one.centre)
    for text_at, extra in (
        *_on_arc(one, centre, radius),
        *_at_its_ends(one, centre, radius),
        *_off_arc(one, centre, radius),
    ):
        item = AngularDimension(
            *(one.key, centre, one.start, one.end, radius, one.text, reach, text_at)
        )
        yield Candidate(item, (item,), penalty + extra)


def _on_arc(one: Sector, centre: Place, radius: float) -> Iterator[tuple[Place, float]]:
    """A text over or under an arc, from its middle on; and how much that is worse."""
    half = text_width(one.text, LEAST_TEXT) / 2.0
    for share, extra in ((0.5, 0.0), (0.3, 1.0), (0.7, 1.0), (0.15, 1.6), (0.85, 1.6)):
        way = one.start + share * (one.end - one.start)
        x, y = math.cos(math.radians(way)), math.sin(math.radians(way))
        for out in (1.0, -1.0):
            off = ABOVE + abs(y) * LEAST_TEXT / 2.0 + abs(x) * half
            yield polar(centre, radius + out * off, way), extra + (0.0 if out > 0.0 else 0.8)
        # The corner of the text at the arc: nearer to it where the arc runs askew.
        foot = polar(centre, radius + ABOVE, way)
        corner = (math.copysign(half, x), math.copysign(LEAST_TEXT / 2.0, y))
        yield (foot[0] + corner[0], foot[1] + corner[1]), extra + 0.6


def _at_its_ends(one: Sector, centre: Place, radius: float) -> Iterator[tuple[Place, float]]:
    """A text on what prolongs an arc, clear of its arrows."""
    half = text_width(one.text, LEAST_TEXT) / 2.0
    turn = math.degrees(ARROW / radius)
    beyond = turn if one.end - one.start > 2.5 * turn else 2.5 * turn
    for end, side in ((one.start - beyond, -90.0), (one.end + beyond, 90.0)):
        way = math.radians(end + side)
        foot = polar(centre, radius, end)
        off_x, off_y = math.cos(way) * (half + 0.5), math.sin(way) * (LEAST_TEXT / 2.0 + 0.5)
        yield (foot[0] + off_x, foot[1] + off_y), 6.0


def _off_arc(one: Sector, centre: Place, radius: float) -> Iterator[tuple[Place, float]]:
    """A text tied to an arc by a short leader."""
    half = text_width(one.text, LEAST_TEXT) / 2.0
    for share in (0.5, 0.25, 0.75):
        along = one.start + share * (one.end - one.start)
        foot = polar(centre, radius, along)
        for off in (4.0, 7.0, 11.0, 16.0):
            for side in range(0, 360, 30):
                way = math.radians(along + side)
                off_x = math.cos(way) * (off + half)
                off_y = math.sin(way) * (off + LEAST_TEXT / 2.0 + 0.4)
                yield (foot[0] + off_x, foot[1] + off_y), 12.0 + 0.8 * off


# ---- rows outside the view -------------------------------------------------------------


def sides_of(outside: Sequence[Distance], view: View, extent: Extent) -> dict[Side, list[Distance]]:
    """On which side of a view that reaches so far each distance goes, smallest first."""
    left, bottom, right, top = extent
    high, middle = bottom + 0.7 * (top - bottom), (left + right) / 2.0
    sides: dict[Side, list[Distance]] = {"below": [], "above": [], "right": [], "left": []}
    for one in sorted(outside, key=lambda one: (one.value, one.key)):
        x, y = view(one.end)
        if one.angle == 0.0:
            sides["above" if y > high else "below"].append(one)
        else:
            sides["right" if x >= middle else "left"].append(one)
    return sides


def extension_lines(
    sides: Mapping[Side, Sequence[Distance]], view: View, extent: Extent
) -> Iterator[Line]:
    """Where the extension lines to the rows outside will run, for texts to keep off."""
    left, bottom, right, top = extent
    for side, held in sides.items():
        for one in held:
            for x, y in (view(one.start), view(one.end)):
                end = {
                    "below": (x, bottom - _EXPECTED),
                    "above": (x, top + _EXPECTED),
                    "right": (right + _EXPECTED, y),
                    "left": (left - _EXPECTED, y),
                }
                yield Line(Layer.DIMENSIONS, (x, y), end[side])


def in_rows(
    sides: Mapping[Side, Sequence[Distance]], view: View, placer: Placer
) -> list[Dimension]:
    """Dimensions across and up in rows outside everything, the smallest nearest."""
    box = placer.extent()
    placed: list[Dimension] = []
    for side, held in sides.items():
        rows: list[list[tuple[float, float]]] = []
        for one in held:
            found = placer.best(_row_candidates(one, view, box, side, rows))
            if found is not None:
                made, level = found.item
                rows += [[] for _ in range(level + 1 - len(rows))]
                rows[level].append(_span(made))
                placed.append(made)
                placer.take([made])
    return placed


def _row_candidates(
    one: Distance, view: View, box: Extent, side: Side, rows: _Rows
) -> Iterator[Candidate[tuple[LinearDimension, int]]]:
    """The nearest free row for each place of the text, and the rows behind it."""
    bare = _in_row(one, view, box, side, 0)
    size = view.scale * one.value
    for at, extra in _text_places(bare, size):
        x, y = text_middle(bare)
        moved = (at[0] - x, at[1] - y)
        for level in range(len(rows) + 1):
            made = _in_row(one, view, box, side, level)
            x, y = text_middle(made)
            made = replace(made, text_at=(x + moved[0], y + moved[1]))
            if _free(_span(made), rows, level):
                yield Candidate((made, level), (made,), 0.5 * ROW * level + extra)


def _free(span: tuple[float, float], rows: _Rows, level: int) -> bool:
    """Whether a row has room for a span, and no row farther out would be crossed by it."""
    return not any(span[0] < high and low < span[1] for row in rows[level:] for low, high in row)


def _in_row(one: Distance, view: View, box: Extent, side: Side, level: int) -> LinearDimension:
    off = FIRST_ROW + ROW * level
    left, bottom, right, top = box
    through = {
        "below": (0.0, bottom - off),
        "above": (0.0, top + off - 4.0),
        "right": (right + off, 0.0),
        "left": (left - off + 4.0, 0.0),
    }[side]
    return _made(one, view, through)


def _span(made: LinearDimension) -> tuple[float, float]:
    """What a dimension takes of its row, from end to end along the row."""
    axis = 0 if made.angle == 0.0 else 1
    half = text_width(made.text, made.height) / 2.0 + 1.0
    ends = [end[axis] for end in line_ends(made)]
    middle = text_middle(made)[axis]
    places = (*ends, middle - half, middle + half)
    return min(places) - BEYOND, max(places) + BEYOND


def as_chosen(elements: Sequence[Element], choices: Sequence[DimensionChoice]) -> list[Element]:
    """The elements with dimensions hidden and their texts moved as the builder wants.

    Done last: what is hidden or moved shifts nothing else.
    """
    known = {choice.key: choice for choice in choices}
    found: list[Element] = []
    for element in elements:
        choice = (
            known.get(element.key)
            if isinstance(element, LinearDimension | AngularDimension | RadialDimension)
            else None
        )
        if choice is None:
            found.append(element)
        elif choice.shown:
            assert isinstance(element, LinearDimension | AngularDimension | RadialDimension)
            found.append(_shifted(element, (choice.shift_x, choice.shift_y)))
    return found


def _shifted(dimension: Dimension, shift: tuple[float, float]) -> Dimension:
    """The dimension with its text moved; its line goes along sideways."""
    if shift == (0.0, 0.0):
        return dimension
    if isinstance(dimension, LinearDimension):
        x, y = text_middle(dimension)
        through = (dimension.through[0] + shift[0], dimension.through[1] + shift[1])
        return replace(dimension, through=through, text_at=(x + shift[0], y + shift[1]))
    if isinstance(dimension, AngularDimension):
        x, y = text_middle(dimension)
        at = (x + shift[0], y + shift[1])
        before = math.dist(dimension.centre, (x, y))
        radius = dimension.radius + math.dist(dimension.centre, at) - before
        return replace(dimension, radius=max(radius, 3.0), text_at=at)
    x, y = dimension.text_at
    return replace(dimension, text_at=(x + shift[0], y + shift[1]))
