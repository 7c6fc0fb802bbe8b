"""The names beside the holes of a template: in free places, with a leader where they lie apart."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.drawing.boxes import text_box
from app.drawing.model import LEAST_TEXT, Element, Layer, Line, Place, Text
from app.drawing.paper import Area
from app.drawing.placing import Candidate, Placer
from app.drawing.template_parts import BEYOND, CROSS, Mark

_CLEAR = 1.2
"""From a hole, its centre marks or a cross to the text beside it, mm."""
_FAR = (9.0, 13.0, 18.0, 24.0, 31.0, 39.0, 48.0, 60.0, 75.0)
"""From a hole's edge to the end of a leader, mm."""
_WAYS = (30, 150, 330, 210, 60, 120, 300, 240, 15, 165, 345, 195, 80, 100, 280, 260)
"""Directions of leaders, degrees."""
_SHELF = 0.8
"""From the end of a leader to its text, mm."""
_PER_MM = 0.02
"""What a mm of leader costs against a mm of line under a text, so that text lies free."""


def labels(marks: Sequence[Mark], placer: Placer, kept: Area) -> Iterator[Element]:
    """The texts of the marks within `kept`, placed there one after another."""
    for mark in marks:
        places = [each for each in _places(mark, marks) if _inside(each.elements, kept)]
        found = placer.best(places)
        if found is not None:
            placer.take(found.elements)
            yield from found.elements


def _places(mark: Mark, marks: Sequence[Mark]) -> Iterator[Candidate[None]]:
    """Beside the hole first, then further and further away on a leader."""
    (x, y), radius = mark.centre, mark.diameter / 2.0
    reach = CROSS if mark.bare else radius + BEYOND
    away, up = reach + _CLEAR, max(radius, 0.5 * reach) + _CLEAR
    yield Candidate(None, (Text(mark.text, (x + away, y), upward="middle"),))
    yield Candidate(None, (Text(mark.text, (x - away, y), across="right", upward="middle"),))
    for lift in (up, -up - LEAST_TEXT):
        yield Candidate(None, (Text(mark.text, (x + _CLEAR, y + lift)),))
        yield Candidate(None, (Text(mark.text, (x - _CLEAR, y + lift), across="right"),))
    for far in _FAR:
        for way in _WAYS:
            turn = math.radians(way)
            u, v = math.cos(turn), math.sin(turn)
            end = (x + u * (mark.diameter / 2.0 + far), y + v * (mark.diameter / 2.0 + far))
            start = (x + u * mark.diameter / 2.0, y + v * mark.diameter / 2.0)
            side = 1.0 if u > 0.0 else -1.0
            text = Text(
                mark.text,
                (end[0] + side * _SHELF, end[1]),
                across="left" if side > 0.0 else "right",
                upward="middle",
            )
            price = _PER_MM * far + sum(
                1.0 for other in marks if other is not mark and _meets(start, end, other)
            )
            yield Candidate(None, (Line(Layer.THIN, start, end), text), price)


def _meets(start: Place, end: Place, mark: Mark) -> bool:
    """Whether a leader runs through another hole."""
    (x, y), (to_x, to_y) = start, end
    long = math.dist(start, end) ** 2
    share = ((mark.centre[0] - x) * (to_x - x) + (mark.centre[1] - y) * (to_y - y)) / long
    share = min(max(share, 0.0), 1.0)
    nearest = (x + share * (to_x - x), y + share * (to_y - y))
    return math.dist(nearest, mark.centre) < mark.diameter / 2.0 + 1.0


def _inside(elements: Sequence[Element], kept: Area) -> bool:
    return all(
        kept.left <= x <= kept.right and kept.bottom <= y <= kept.top
        for part in elements
        if isinstance(part, Text)
        for x, y in text_box(part).corners()
    )
