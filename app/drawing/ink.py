"""The lines on a page as straight pieces: how far they reach, how much lies in a box."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np

from app.drawing.boxes import Box, Primitive, primitives, text_box
from app.drawing.dimension_parts import polar
from app.drawing.meeting import Segments
from app.drawing.model import Arc, Circle, Element, Layer, Line, Place, Polyline, Text

Extent = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y, mm."""

Piece = tuple[float, float, float, float]
"""x1, y1, x2, y2 of a straight piece, mm."""

_CHORD = 10.0
"""The turn (degrees) over which an arc is taken as straight,"""
_SAG = 0.02
"""or more, where the arc is nowhere farther (mm) from its chord than this,"""
_WIDEST_CHORD = 90.0
"""but never more than this."""


def segments(parts: Iterable[Primitive]) -> Segments:
    """The straight pieces of lines; circles and arcs as chords, texts as nothing."""
    return pieces(parts)[0]


def pieces(parts: Iterable[Primitive]) -> tuple[Segments, list[Layer]]:
    """The straight pieces of lines, and the layer of each."""
    found: list[Piece] = []
    layers: list[Layer] = []
    for part in parts:
        before = len(found)
        found += chords(part)
        layers += [part.layer] * (len(found) - before)
    return as_segments(found), layers


def as_segments(found: Sequence[Piece]) -> Segments:
    """Straight pieces as an array."""
    return np.asarray(found, dtype=np.float64).reshape(-1, 4)


def is_solid(part: Primitive) -> bool:
    """Whether a part is an arrow head or a dot."""
    return isinstance(part, Polyline | Circle) and part.filled


def chords(part: Primitive) -> list[Piece]:
    """The straight pieces of a line, circle or arc; none of a text."""
    if isinstance(part, Text):
        return []
    if isinstance(part, Line):
        return [(*part.start, *part.end)]
    if isinstance(part, Polyline):
        places: Sequence[Place] = (*part.points, part.points[0]) if part.closed else part.points
    else:
        start, end = (part.start, part.end) if isinstance(part, Arc) else (0.0, 360.0)
        count = max(2, math.ceil((end - start) / _chord(part.radius)))
        step = (end - start) / count
        places = [
            polar(part.centre, part.radius, start + step * index) for index in range(count + 1)
        ]
    return [(*a, *b) for a, b in pairwise(places)]


def _chord(radius: float) -> float:
    """The turn (degrees) over which an arc is taken as straight."""
    shallow = math.degrees(2.0 * math.acos(max(1.0 - _SAG / radius, 0.0))) if radius else 0.0
    return min(max(_CHORD, shallow), _WIDEST_CHORD)


def bounds(elements: Iterable[Element]) -> Extent:
    """How far what is drawn reaches, texts too."""
    parts = [part for element in elements for part in primitives(element)]
    boxes = [text_box(part) for part in parts if isinstance(part, Text)]
    return extent(segments(parts), boxes)


def extent(lines: Segments, boxes: Sequence[Box]) -> Extent:
    """How far lines and boxes reach; zeros where there are none."""
    corners = [corner for box in boxes for corner in box.corners()]
    places = lines.reshape(-1, 2)
    if corners:
        places = np.concatenate((places, np.asarray(corners)))
    if not len(places):
        return (0.0, 0.0, 0.0, 0.0)
    (left, bottom), (right, top) = places.min(axis=0), places.max(axis=0)
    return (float(left), float(bottom), float(right), float(top))
