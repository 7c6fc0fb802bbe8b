"""True-size drawings over several pages: windows, seams, registration marks and check rulers.

Every page is a window onto the model at 1:1. Neighbours share an overlap; the seam runs through
its middle, on both pages, with marks that cover each other when the pages lie right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely

from app.drawing.boxes import Box, text_box
from app.drawing.metrics import cut
from app.drawing.model import Circle, Element, Layer, Line, Place, Text
from app.drawing.paper import Area

MARGIN = 10.0
"""mm along every edge that printers may not reach."""

STRIP = 16.0
"""mm beside the window for a check ruler, on the left and below."""

HEAD = 8.0
"""mm above the window for the page's title."""

OVERLAP = 16.0
"""mm that neighbouring pages share."""

INCH = 25.4

CHECK = "Print at 100 %, then measure the ruler."


@dataclass(frozen=True, slots=True)
class Tiling:
    """How an area of the model is cut into pages of a size; rows from the top, columns from left.

    x, y: the lower left corner of the window of the lowest, leftmost page, model mm.
    """

    size: tuple[float, float]
    rows: int
    columns: int
    x: float
    y: float

    @property
    def window(self) -> Area:
        """Where the model shows on every page, paper mm."""
        return _window(self.size)

    def origin(self, row: int, column: int) -> Place:
        """The place of the model at the lower left corner of a page's window."""
        step_x, step_y = self.window.width - OVERLAP, self.window.height - OVERLAP
        return (self.x + column * step_x, self.y + (self.rows - 1 - row) * step_y)

    def label(self, row: int, column: int) -> str:
        """Such as A1 for the upper left page."""
        letters, rest = "", row + 1
        while rest:
            rest, letter = divmod(rest - 1, 26)
            letters = chr(ord("A") + letter) + letters
        return f"{letters}{column + 1}"

    def furniture(self, row: int, column: int, title: str) -> list[Element]:
        """All of a page but the model: head, rulers, window, seams and registration marks."""
        label = self.label(row, column)
        last = self.label(self.rows - 1, self.columns - 1)
        of = "" if label == last == "A1" else f" of A1 to {last}"
        window = self.window
        head = f"Page {label}{of}. {CHECK}"
        base = window.top + 3.0
        head_text = Text(head, (window.right, base), 3.0, across="right", bold=True)
        room = window.right - MARGIN - 2.0 * text_box(head_text).half_width - 6.0
        corners = (
            (window.left, window.bottom),
            (window.right, window.bottom),
            (window.right, window.top),
            (window.left, window.top),
        )
        sides = zip(corners, (*corners[1:], corners[0]), strict=True)
        return [
            Text(cut(title, 3.0, room), (MARGIN, base), 3.0),
            head_text,
            *(Line(Layer.THIN, start, end) for start, end in sides),
            *rulers((window.left, MARGIN), 0.0),
            *rulers((MARGIN + STRIP - 1.0, window.bottom), 90.0),
            *self._seams(row, column),
        ]

    def _seams(self, row: int, column: int) -> Iterator[Element]:
        window, half = self.window, OVERLAP / 2.0
        width, height = window.width, window.height
        for side, there, across in (
            (column > 0, (row, column - 1), window.left + half),
            (column < self.columns - 1, (row, column + 1), window.right - half),
        ):
            if side:
                start, end = (across, window.bottom), (across, window.top)
                yield Line(Layer.HIDDEN, start, end)
                for share in (0.25, 0.75):
                    yield from _mark((across, window.bottom + share * height))
                yield self._joins(there, (across, window.bottom + 0.5 * height), 90.0)
        for side, there, up in (
            (row > 0, (row - 1, column), window.top - half),
            (row < self.rows - 1, (row + 1, column), window.bottom + half),
        ):
            if side:
                yield Line(Layer.HIDDEN, (window.left, up), (window.right, up))
                for share in (0.25, 0.75):
                    yield from _mark((window.left + share * width, up))
                yield self._joins(there, (window.left + 0.5 * width, up), 0.0)

    def _joins(self, there: tuple[int, int], at: Place, turn: float) -> Text:
        x, y = (at[0] - 1.2, at[1]) if turn else (at[0], at[1] + 1.2)
        text = f"cut here; {self.label(*there)} joins on this line"
        return Text(text, (x, y), across="middle", turn=turn)


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


def free_place(
    tries: Sequence[Text], taken: list[Box], lines: shapely.Geometry, window: Area
) -> Text | None:
    """The first text that lies in the window clear of all taken boxes, if it can of lines too.

    Its box is taken then; None where every place is taken.
    """
    clear = []
    for candidate in tries:
        box = text_box(candidate).grown(0.4)
        inside = all(
            window.left <= x <= window.right and window.bottom <= y <= window.top
            for x, y in box.corners()
        )
        if inside and not any(box.meets(other) for other in taken):
            clear.append((candidate, box))
    if not clear:
        return None
    bare = (each for each in clear if not lines.intersects(shapely.Polygon(each[1].corners())))
    candidate, box = next(bare, clear[0])
    taken.append(box)
    return candidate
