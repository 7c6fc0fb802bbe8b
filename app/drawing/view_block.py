"""The dimensioned view at a scale: linkage, names and dimensions as one block."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from app.drawing.arranging import (
    FIRST_ROW,
    ROW,
    arrange,
    extension_lines,
    in_rows,
    sides_of,
    told_by_table,
)
from app.drawing.chosen import Wanted
from app.drawing.crossed import crossed
from app.drawing.dimensioning import Distance, Measure
from app.drawing.ink import bounds
from app.drawing.linkage_view import draw_linkage
from app.drawing.model import Dimension, Element, Place
from app.drawing.names import hole_numbers, name_all
from app.drawing.paper import Area
from app.drawing.passing import past_holes
from app.drawing.placing import Placer
from app.drawing.poses import Posed, View, datum_of, place_of
from app.drawing.shifting import shifted
from solver.project import Sheet

_MISSING = 5
"""A name or dimension without a place is as bad as so many lines through texts."""


@dataclass(frozen=True, slots=True)
class ViewBlock:
    """A view with its dimensions; `origin` is the datum hole, `box` what it takes, mm on paper.

    What the builder hid or moved away is there as if he had not, see `as_chosen`: so the view
    stays where it is. `trouble` counts lines through texts, dimensions that are longer than what
    they measure, and what found no place but springs' lengths; `left_out` are the titles of
    dimensions left to the tables.
    """

    scale: float
    elements: tuple[Element, ...]
    box: tuple[float, float, float, float]
    origin: Place
    trouble: int = 0
    left_out: tuple[str, ...] = ()

    def fits(self, area: Area) -> bool:
        """Whether an area has room for the view."""
        left, bottom, right, top = self.box
        return right - left <= area.width and top - bottom <= area.height

    def placed(self, area: Area) -> ViewBlock:
        """The view in the middle of an area."""
        left, bottom, right, top = self.box
        x = area.middle[0] - (left + right) / 2.0
        y = area.middle[1] - (bottom + top) / 2.0
        return replace(
            self,
            elements=tuple(shifted(self.elements, x, y)),
            box=(left + x, bottom + y, right + x, top + y),
            origin=(self.origin[0] + x, self.origin[1] + y),
        )


def bare_size(linkage: Sequence[Element]) -> tuple[float, float]:
    """Width and height (mm on paper) of the drawn linkage, without names and dimensions."""
    left, bottom, right, top = bounds(linkage)
    return right - left, top - bottom


class Detail(Enum):
    """How much a view says, from everything to the least."""

    FULL = "names and dimensions"
    SPARE = "without the smallest dimensions, which the tables tell"
    TERSE = "and holes by their numbers alone"


def view_block(
    posed: Posed,
    sheet: Sheet,
    wanted: Wanted,
    scale: float,
    area: Area | None = None,
    detail: Detail = Detail.FULL,
    linkage: Sequence[Element] = (),
) -> ViewBlock:
    """The view at a scale, wherever it comes to lie, as far as it can no larger than an area.

    `linkage` saves drawing it where that has been done, at that scale about the model's zero.
    """
    view = View(scale)
    if detail is not Detail.FULL:
        wanted = wanted.spared(scale, sheet)
    inner, outer = _parted(wanted.regular)
    drawn: list[Element] = list(linkage) or draw_linkage(posed, view)
    placer = Placer(drawn, (math.inf, math.inf) if area is None else _room(area, outer))
    sides = sides_of(outer, view, placer.extent())
    placer.expect(extension_lines(sides, view, placer.extent()))
    kept = {choice.key for choice in sheet.dimensions if choice.shown}
    placed = arrange(inner, posed, view, placer, kept)
    rows = in_rows(sides, view, placer)
    datum = datum_of(posed.design, sheet.datum)
    names, missing = name_all(
        *(posed, view, hole_numbers(posed, datum), sheet.units, placer),
        terse=detail is Detail.TERSE,
    )
    drawn += [*placed, *names, *rows]
    made = {one.key for one in (*placed, *rows)}
    lost = [one for one in wanted.regular if one.key not in made]
    missing += sum(1 for one in lost if not told_by_table(one))
    trouble = len(crossed(drawn)) + _MISSING * missing + wanted.cramped(scale)
    drawn += _added(wanted.added, posed, view, placer)
    origin = view(place_of(posed.design, datum))
    left_out = (*wanted.left_out, *(one.title for one in lost))
    return ViewBlock(scale, tuple(past_holes(drawn)), bounds(drawn), origin, trouble, left_out)


def _added(
    added: Sequence[Measure], posed: Posed, view: View, placer: Placer
) -> Iterator[Dimension]:
    """What the builder wants beside the usual, where the rest leaves room."""
    inner, outer = _parted(added)
    yield from arrange(inner, posed, view, placer)
    yield from in_rows(sides_of(outer, view, placer.extent()), view, placer)


def _parted(measures: Sequence[Measure]) -> tuple[list[Measure], list[Distance]]:
    """What is dimensioned at its place, and what goes into rows outside the view."""
    outer = [one for one in measures if isinstance(one, Distance) and one.angle is not None]
    return [one for one in measures if one not in outer], outer


def _room(area: Area, outer: Sequence[Distance]) -> tuple[float, float]:
    """What the rows of dimensions outside leave of an area, mm."""
    ways = [one.angle for one in outer]
    across, up = ways.count(0.0), ways.count(90.0)
    return area.width - _rows(up), area.height - _rows(across)


def _rows(count: int) -> float:
    return FIRST_ROW + ROW * min(count, 3) if count else 0.0
