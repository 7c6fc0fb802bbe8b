"""What stands around a template's window in words: the plate, what it is made of, the legend."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from app.drawing.metrics import cut, cut_middle, text_width
from app.drawing.model import LEAST_TEXT, Circle, Element, Layer, Line, Place, Text
from app.drawing.paper import Area
from app.drawing.symbols import centre_marks, cross
from app.drawing.template_parts import CROSS
from app.drawing.tiles import INCH, MARGIN, STRIP
from solver.holes import HELD

CHECK = "Print at 100 %, then measure the ruler."

_NAME, _FACTS = 4.0, 3.0
"""Heights of the plate's name and of what it is made of, mm."""
_GAP = 6.0
"""Between what stands left and right on a line, mm."""
_RULER = 4.0 * INCH + 18.0
"""What the check ruler and its words take of the strip below the window, mm."""
_SIGN, _PITCH = 8.0, 3.9
"""Width of the legend's signs, and from line to line, mm."""


@dataclass(frozen=True, slots=True)
class Head:
    """A page's words: plate, what it is made of, project; its number of that plate and of all."""

    plate: str
    made_of: str
    project: str
    page: tuple[int, int]
    of_all: tuple[int, int]

    @property
    def name(self) -> str:
        """What tells the page from the others."""
        number, count = self.page
        return self.plate if count == 1 else f"{self.plate}, {number} of {count}"

    def texts(self, window: Area) -> Iterator[Text]:
        """Three lines over the window, right ones in the corner."""
        number, count = self.page
        pages = "page {} of {} altogether".format(*self.of_all)
        of_plate = f"page {number} of {count} of this plate  ·  {pages}"
        lines = (
            (11.0, self.plate, _NAME, True, of_plate, LEAST_TEXT, False, cut_middle),
            (6.4, self.made_of, _FACTS, False, CHECK, _FACTS, True, cut),
            (1.8, self.project, LEAST_TEXT, False, "", LEAST_TEXT, False, cut_middle),
        )
        for up, words, height, bold, right, small, heavy, shorten in lines:
            base = window.top + up
            taken = text_width(right, small, heavy) + _GAP if right else 0.0
            shown = shorten(words, height, window.right - MARGIN - taken, bold)
            if shown:
                yield Text(shown, (MARGIN, base), height, bold=bold)
            if right:
                yield Text(right, (window.right, base), small, "right", bold=heavy)


def legend(
    window: Area, *, holes: bool, points: bool, seams: bool, sunk: str = ""
) -> Iterator[Element]:
    """The lines and signs of a page, beside the ruler below the window.

    `sunk` is the side that holes of the plate are countersunk from.
    """
    rows = [
        (words, sign)
        for shown, words, sign in (
            (True, "edge of the plate", partial(_stroke, Layer.OUTLINE)),
            (holes, f"hole: punch, drill; {HELD}: ream", _hole),
            (sunk, f"sunk: countersink 90° from {sunk}, head flush", _hole),
            (points, "point, nothing to drill", point_mark),
            (seams, "seam: cut or fold, join", partial(_stroke, Layer.HIDDEN)),
        )
        if shown
    ]
    pitch = min(_PITCH, STRIP / len(rows))
    left, y = window.left + _RULER, window.bottom - pitch
    for words, sign in rows:
        yield from sign((left + _SIGN / 2.0, y))
        at = (left + _SIGN + 2.0, y)
        yield Text(cut(words, LEAST_TEXT, window.right - at[0]), at, upward="middle")
        y -= pitch


def point_mark(place: Place) -> Iterator[Element]:
    """The small cross at a point without a hole."""
    yield from cross(place, CROSS, Layer.SYMBOLS)


def _stroke(layer: Layer, place: Place) -> Iterator[Element]:
    x, y = place
    yield Line(layer, (x - _SIGN / 2.0, y), (x + _SIGN / 2.0, y))


def _hole(place: Place) -> Iterator[Element]:
    yield Circle(Layer.SYMBOLS, place, 1.0)
    yield from centre_marks(place, 1.7)
