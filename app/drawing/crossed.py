"""Texts that lines cross: which they are, and the lesser line interrupted around them.

ISO 129-1 lets no line cross a value: where a text has found no place free of lines, the line is
interrupted. Measured are the letters' boxes as `app.drawing.metrics` has them, against every line,
arc, circle and arrow head of the page, whatever layer it is on, arcs as chords of ten degrees.
A text's own underline, leader and dimension line lie outside its box, so nothing is excepted.

Not covered: texts that the builder moved onto an arrow head or a dot, which stay whole; a change
that a CAD program makes when it draws a dimension anew by its own rules.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from app.drawing.boxes import Box, primitives, text_box
from app.drawing.cutting import Stroke, cut
from app.drawing.ink import extent, ink_in, near, pieces
from app.drawing.model import (
    AngularDimension,
    Element,
    Layer,
    LinearDimension,
    RadialDimension,
    Table,
    Text,
)

_TOUCH = 0.05
"""A line that reaches less far (mm) into a text's box only touches it."""
_AIR = 0.5
"""Left free around a text where a line is interrupted, mm."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """A text, and the layer of an element that has a line through it."""

    text: str
    layer: Layer


def crossed(elements: Sequence[Element]) -> list[Crossing]:
    """Every text with every element that has a line through it, in their order."""
    boxes = _boxes(elements)
    return [
        Crossing(text, layer) for element in elements for text, _, layer in _hits(element, boxes)
    ]


def interrupted(elements: Sequence[Element]) -> list[Element]:
    """The elements with all lines interrupted at the texts that they cross."""
    boxes = _boxes(elements)
    found: list[Element] = []
    for element in elements:
        hit = [box for _, box, _ in _hits(element, boxes)]
        found += _around(element, hit) if hit else [element]
    return found


def _boxes(elements: Sequence[Element]) -> list[tuple[str, Box]]:
    return [
        (part.text, text_box(part))
        for element in elements
        for part in primitives(element)
        if isinstance(part, Text)
    ]


def _hits(element: Element, boxes: Sequence[tuple[str, Box]]) -> Iterator[tuple[str, Box, Layer]]:
    """The texts that an element's lines cross."""
    if isinstance(element, Text):
        return
    lines, layers = pieces(primitives(element))
    if not layers:
        return
    left, bottom, right, top = extent(lines, ())
    for text, box in boxes:
        spare = box.half_width + box.half_height
        x, y = box.middle
        if left - spare <= x <= right + spare and bottom - spare <= y <= top + spare:
            reach = near((x - spare, y - spare, x + spare, y + spare), lines)
            if ink_in(box.grown(-_TOUCH), lines[reach]) > 0.0:
                yield text, box, layers[0]


def _around(element: Element, boxes: Sequence[Box]) -> Iterator[Element]:
    if isinstance(element, LinearDimension | AngularDimension | RadialDimension):
        own = [text_box(part) for part in primitives(element) if isinstance(part, Text)]
        # Its own line runs closely under its text, and goes on there.
        gaps = [box.grown(-_TOUCH / 2.0 if box in own else _AIR).corners() for box in boxes]
        yield replace(element, gaps=(*element.gaps, *gaps))
    elif isinstance(element, Table | Text):
        yield element
    else:
        stroke: Stroke = element
        yield from cut(stroke, [box.grown(_AIR).corners() for box in boxes])
