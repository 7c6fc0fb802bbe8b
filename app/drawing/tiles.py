"""True-size drawings over several pages: windows, seams, registration marks and check rulers.

Every page is a window onto the model at 1:1. Neighbours share an overlap; the seam runs through
its middle, on both pages, with marks that cover each other when the pages lie right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely

from app.drawing.model import Circle, Element, Layer, Line, Place, Text
from app.drawing.paper import Area

MARGIN = 10.0
"""mm along every edge that printers may not reach."""

STRIP = 16.0
"""mm beside the window for a check ruler, on the left and below."""

HEAD = 16.0
"""mm above the window for what the page is of."""

OVERLAP = 16.0
"""mm that neighbouring pages share."""

INCH = 25.4


@dataclass(frozen=True, slots=True)
class Tiling:
    """How an area of the model is cut into pages of a size; rows from the top, columns from left.

    x, y: the lower left corner of the window of the lowest, leftmost page, model mm. `empty` are
    the rows and columns of pages that are left out because nothing of the part is on them.
    """

    size: tuple[float, float]
    rows: int
    columns: int
    x: float
    y: float
    empty: frozenset[tuple[int, int]] = frozenset()

    @property
    def pages(self) -> tuple[tuple[int, int], ...]:
        """Row and column of each page, along the rows."""
        places = ((row, column) for row in range(self.rows) for column in range(self.columns))
        return tuple(place for place in places if place not in self.empty)

    def without_empty(self, part: shapely.Geometry) -> Tiling:
        """The same without the pages on which nothing of a part (model mm) is."""
        width, height = self.window.width, self.window.height
        corners = {place: self.origin(*place) for place in self.pages}
        return replace(
            self,
            empty=frozenset(
                place
                for place, (x, y) in corners.items()
                if not part.intersects(shapely.box(x, y, x + width, y + height))
            ),
        )

    def _there(self, row: int, column: int) -> bool:
        inside = 0 <= row < self.rows and 0 <= column < self.columns
        return inside and (row, column) not in self.empty

    @property
    def window(self) -> Area:
        """Where the model shows on every page, paper mm."""
        return _window(self.size)

    def origin(self, row: int, column: int) -> Place:
        """The place of the model at the lower left corner of a page's window."""
        step_x, step_y = self.window.width - OVERLAP, self.window.height - OVERLAP
        return (self.x + column * step_x, self.y + (self.rows - 1 - row) * step_y)

    def number(self, row: int, column: int) -> int:
        """Which page of the part this is: from 1, along the rows."""
        return self.pages.index((row, column)) + 1

    def kept(self, row: int, column: int) -> Area:
        """The window without what is cut off at the seams, paper mm."""
        window, half = self.window, OVERLAP / 2.0
        return Area(
            window.left + (half if self._there(row, column - 1) else 0.0),
            window.bottom + (half if self._there(row + 1, column) else 0.0),
            window.right - (half if self._there(row, column + 1) else 0.0),
            window.top - (half if self._there(row - 1, column) else 0.0),
        )

    def furniture(self, row: int, column: int) -> list[Element]:
        """What every page has around its window: rulers, frame, seams, registration marks."""
        window = self.window
        corners = (
            (window.left, window.bottom),
            (window.right, window.bottom),
            (window.right, window.top),
            (window.left, window.top),
        )
        sides = zip(corners, (*corners[1:], corners[0]), strict=True)
        return [
            *(Line(Layer.THIN, start, end) for start, end in sides),
            *rulers((window.left, MARGIN), 0.0),
            *rulers((MARGIN + STRIP - 1.0, window.bottom), 90.0),
            *(part for seam in self.seams(row, column) for part in seam.drawn()),
        ]

    def seams(self, row: int, column: int) -> Iterator[Seam]:
        """The lines along which a page is joined to its neighbours."""
        window, kept = self.window, self.kept(row, column)
        for there, across in (((row, column - 1), kept.left), ((row, column + 1), kept.right)):
            if self._there(*there):
                ends = ((across, window.bottom), (across, window.top))
                yield Seam(*ends, self.number(*there))
        for there, up in (((row - 1, column), kept.top), ((row + 1, column), kept.bottom)):
            if self._there(*there):
                ends = ((window.left, up), (window.right, up))
                yield Seam(*ends, self.number(*there))


@dataclass(frozen=True, slots=True)
class Seam:
    """A line on which two pages join, from the left or from below; `page` is the other one."""

    start: Place
    end: Place
    page: int

    def at(self, share: float) -> Place:
        """The place so far along it, from 0 to 1."""
        (x, y), (to_x, to_y) = self.start, self.end
        return (x + share * (to_x - x), y + share * (to_y - y))

    def drawn(self) -> Iterator[Element]:
        """The line and its two registration marks."""
        yield Line(Layer.HIDDEN, self.start, self.end)
        for share in (0.25, 0.75):
            yield from _mark(self.at(share))

    def names(self) -> Iterator[Text]:
        """The places for the words beside it, the best first."""
        upright = self.start[0] == self.end[0]
        words = f"page {self.page} joins here"
        for share in (0.5, 0.42, 0.58, 0.36, 0.64, 0.12, 0.88):
            for off in (2.0, -5.0):
                x, y = self.at(share)
                at = (x - off, y) if upright else (x, y + off)
                yield Text(words, at, across="middle", turn=90.0 if upright else 0.0)


def tiling(area: Area, sizes: Sequence[tuple[float, float]]) -> Tiling:
    """The tiling of a part of the model with the fewest pages; the first of equal sizes."""
    return min((_tiled(area, size) for size in sizes), key=lambda t: t.rows * t.columns)


def _tiled(area: Area, size: tuple[float, float]) -> Tiling:
    window = _window(size)
    columns = _count(area.width, window.width)
    rows = _count(area.height, window.height)
    wide = columns * (window.width - OVERLAP) + OVERLAP
    high = rows * (window.height - OVERLAP) + OVERLAP
    middle_x, middle_y = area.middle
    return Tiling(size, rows, columns, middle_x - wide / 2.0, middle_y - high / 2.0)


def _window(size: tuple[float, float]) -> Area:
    start = MARGIN + STRIP
    return Area(start, start, size[0] - MARGIN, size[1] - MARGIN - HEAD)


def _count(needed: float, window: float) -> int:
    return max(1, math.ceil((needed - OVERLAP) / (window - OVERLAP) - 1e-9))


def _mark(at: Place) -> Iterator[Element]:
    """A registration mark: it covers its like on the neighbouring page."""
    x, y = at
    yield Circle(Layer.THIN, at, 2.5)
    yield Line(Layer.THIN, (x - 5.0, y), (x + 5.0, y))
    yield Line(Layer.THIN, (x, y - 5.0), (x, y + 5.0))


def rulers(start: Place, turn: float) -> Iterator[Element]:
    """A 100 mm and a 4 in check ruler on one line from `start`, in direction 0 or 90 degrees.

    The millimetres stand on the upper (or left) side, the inches on the other.
    """

    def at(along: float, up: float) -> Place:
        x, y = start
        return (x + along, y + 7.0 + up) if turn == 0.0 else (x - 7.0 - up, y + along)

    yield Line(Layer.SYMBOLS, at(0.0, 0.0), at(4.0 * INCH, 0.0))
    for tick in range(21):
        tall = 4.0 if tick % 10 == 0 else 3.0 if tick % 2 == 0 else 1.8
        yield Line(Layer.THIN, at(5.0 * tick, 0.0), at(5.0 * tick, tall))
    for tick in range(17):
        tall = 4.0 if tick % 4 == 0 else 3.0 if tick % 2 == 0 else 1.8
        along = tick * INCH / 4.0
        yield Line(Layer.THIN, at(along, 0.0), at(along, -tall))
    yield Text("100 mm", at(4.0 * INCH + 1.5, 0.7), turn=turn)
    yield Text("4 in", at(4.0 * INCH + 1.5, -3.2), turn=turn)
