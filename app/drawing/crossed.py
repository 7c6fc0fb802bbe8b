"""Texts that lines cross: which they are, and the lesser line interrupted around them.

ISO 129-1 lets no line cross a value: where a text has found no place free of lines, the line is
interrupted. Measured are the letters' boxes as `app.drawing.metrics` has them, against every line,
arc, circle and arrow head of the page, whatever layer it is on, arcs as chords.
A text's own underline, leader and dimension line lie outside its box, so nothing is excepted.

Not covered: texts that the builder moved onto an arrow head or a dot, which stay whole; a change
that a CAD program makes when it draws a dimension anew by its own rules.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from app.drawing.boxes import Box, primitives, text_box
from app.drawing.cutting import Stroke, cut
from app.drawing.ink import pieces
from app.drawing.meeting import around_frames, around_lines, close, frames, grown, lengths
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
    return [Crossing(text.text, layer) for _, text, layer in _hits(elements)]


def interrupted(elements: Sequence[Element]) -> list[Element]:
    """The elements with all lines interrupted at the texts that they cross."""
    hit: dict[int, list[Box]] = {}
    for index, text, _ in _hits(elements):
        hit.setdefault(index, []).append(text_box(text))
    return [
        part
        for index, element in enumerate(elements)
        for part in (_around(element, hit[index]) if index in hit else (element,))
    ]


def _hits(elements: Sequence[Element]) -> list[tuple[int, Text, Layer]]:
    """Which elements have a line through which texts, and on which layer."""
    parts = [list(primitives(element)) for element in elements]
    texts = [part for own in parts for part in own if isinstance(part, Text)]
    drawn = [pieces(own) for own in parts]
    owner = np.repeat(np.arange(len(drawn)), [len(lines) for lines, _ in drawn])
    if not texts or not len(owner):
        return []
    lines = np.concatenate([lines for lines, _ in drawn])
    boxes = grown(frames([text_box(text) for text in texts]), -_TOUCH, -_TOUCH)
    box, piece = close(around_frames(boxes), around_lines(lines))
    met = lengths(boxes[box], lines[piece]) > 0.0
    pairs = sorted(set(zip(owner[piece[met]].tolist(), box[met].tolist(), strict=True)))
    return [(index, texts[text], drawn[index][1][0]) for index, text in pairs]


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
