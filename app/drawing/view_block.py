"""The dimensioned view at a scale: linkage, names and dimensions as one block."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.drawing.arranging import (
    FIRST_ROW,
    ROW,
    arrange,
    as_chosen,
    extension_lines,
    in_rows,
    sides_of,
)
from app.drawing.dimensioning import Distance, Measure
from app.drawing.linkage_view import draw_linkage
from app.drawing.model import Element, Place
from app.drawing.names import hole_numbers, name_all
from app.drawing.paper import Area
from app.drawing.ink import bounds
from app.drawing.placing import Placer
from app.drawing.poses import Posed, View, datum_of, place_of
from app.drawing.shifting import shifted
from solver.project import Sheet


@dataclass(frozen=True, slots=True)
class ViewBlock:
    """A view with its dimensions; `origin` is the datum hole, `box` what it takes, mm on paper.

    What the builder moved away does not count in `box`: so the view stays where it is.
    """

    scale: float
    elements: tuple[Element, ...]
    box: tuple[float, float, float, float]
    origin: Place

    def fits(self, area: Area) -> bool:
        """Whether an area has room for the view."""
        left, bottom, right, top = self.box
        return right - left <= area.width and top - bottom <= area.height

    def placed(self, area: Area) -> ViewBlock:
        """The view in the middle of an area."""
        left, bottom, right, top = self.box
        x = area.middle[0] - (left + right) / 2.0
        y = area.middle[1] - (bottom + top) / 2.0
        return ViewBlock(
            self.scale,
            tuple(shifted(self.elements, x, y)),
            (left + x, bottom + y, right + x, top + y),
            (self.origin[0] + x, self.origin[1] + y),
        )


def bare_size(posed: Posed, scale: float) -> tuple[float, float]:
    """Width and height (mm on paper) of the linkage alone, without names and dimensions."""
    left, bottom, right, top = bounds(draw_linkage(posed, View(scale)))
    return right - left, top - bottom


def view_block(
    posed: Posed,
    sheet: Sheet,
    wanted: list[Measure],
    scale: float,
    area: Area | None = None,
    *,
    terse: bool = False,
) -> ViewBlock:
    """The view at a scale, wherever it comes to lie, as far as it can no larger than an area.

    Terse names take less room.
    """
    view = View(scale)
    drawn: list[Element] = draw_linkage(posed, view)
    room = (math.inf, math.inf) if area is None else _room(area, wanted)
    placer = Placer(drawn, room)
    numbers = hole_numbers(posed, datum_of(posed.design, sheet.datum))
    outer = [one for one in wanted if isinstance(one, Distance) and one.angle is not None]
    inner = [one for one in wanted if one not in outer]
    drawn += arrange(inner, posed, view, placer)
    sides = sides_of(outer, view, placer)
    keep_off = Placer(drawn, room)
    keep_off.take(extension_lines(sides, view, placer))
    names = name_all(posed, view, numbers, sheet.units, keep_off, terse=terse)
    placer.take(names)
    drawn += [*names, *in_rows(sides, view, placer)]
    datum = datum_of(posed.design, sheet.datum)
    chosen = tuple(as_chosen(drawn, sheet.dimensions))
    return ViewBlock(scale, chosen, bounds(drawn), view(place_of(posed.design, datum)))


def _room(area: Area, wanted: list[Measure]) -> tuple[float, float]:
    """What the rows of dimensions outside leave of an area, mm."""
    ways = [one.angle for one in wanted if isinstance(one, Distance) and one.angle is not None]
    across, up = ways.count(0.0), ways.count(90.0)
    return area.width - _rows(up), area.height - _rows(across)


def _rows(count: int) -> float:
    return FIRST_ROW + ROW * min(count, 3) if count else 0.0
