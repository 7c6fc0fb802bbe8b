"""The lines on a page as straight pieces: how much of them lies in a box, where they cross."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from app.drawing.boxes import Box, Primitive, primitives, text_box
from app.drawing.dimension_parts import polar
from app.drawing.model import Arc, Circle, Element, Layer, Line, Place, Polyline, Text

Segments = NDArray[np.float64]
"""(S, 4): x1, y1, x2, y2 of straight pieces, mm."""

Extent = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y, mm."""

_CHORD = 10.0
"""The turn (degrees) over which an arc is taken as straight."""


def segments(parts: Iterable[Primitive]) -> Segments:
    """The straight pieces of lines; circles and arcs as chords, texts as nothing."""
    return pieces(parts)[0]


def pieces(parts: Iterable[Primitive]) -> tuple[Segments, list[Layer]]:
    """The straight pieces of lines, and the layer of each."""
    found: list[tuple[float, float, float, float]] = []
    layers: list[Layer] = []
    for part in parts:
        if isinstance(part, Text):
            continue
        places = list(_course(part))
        found += [(*a, *b) for a, b in pairwise(places)]
        layers += [part.layer] * (len(places) - 1)
    return np.asarray(found, dtype=np.float64).reshape(-1, 4), layers


def solid(parts: Iterable[Primitive]) -> list[Primitive]:
    """Of all parts, arrow heads and dots."""
    return [part for part in parts if isinstance(part, Polyline | Circle) and part.filled]


def _course(part: Line | Polyline | Circle | Arc) -> Iterator[Place]:
    if isinstance(part, Line):
        yield from (part.start, part.end)
    elif isinstance(part, Polyline):
        yield from part.points
        if part.closed:
            yield part.points[0]
    else:
        start, end = (part.start, part.end) if isinstance(part, Arc) else (0.0, 360.0)
        count = max(2, math.ceil((end - start) / _CHORD))
        for index in range(count + 1):
            yield polar(part.centre, part.radius, start + (end - start) * index / count)


def ink_in(box: Box, lines: Segments) -> float:
    """The length (mm) of the pieces that lie in a box."""
    return float(np.sum(lengths_in(box, lines)))


def lengths_in(box: Box, lines: Segments) -> NDArray[np.float64]:
    """The length (mm) of each piece, (S,), that lies in a box."""
    turn = math.radians(box.turn)
    cosine, sine = math.cos(turn), math.sin(turn)
    x, y = lines[:, 0::2] - box.middle[0], lines[:, 1::2] - box.middle[1]
    u, v = x * cosine + y * sine, y * cosine - x * sine
    enter, leave = np.zeros(len(lines)), np.ones(len(lines))
    for along, half in ((u, box.half_width), (v, box.half_height)):
        start, run = along[:, 0], along[:, 1] - along[:, 0]
        still = np.abs(run) < 1e-12
        safe = np.where(still, 1.0, run)
        first, second = (-half - start) / safe, (half - start) / safe
        low, high = np.minimum(first, second), np.maximum(first, second)
        outside = still & (np.abs(start) > half)
        enter = np.maximum(enter, np.where(still, np.where(outside, 2.0, 0.0), low))
        leave = np.minimum(leave, np.where(still, 1.0, high))
    length: NDArray[np.float64] = np.hypot(u[:, 1] - u[:, 0], v[:, 1] - v[:, 0])
    return np.maximum(leave - enter, 0.0) * length


def near(extent: Extent, lines: Segments) -> NDArray[np.bool_]:
    """Which pieces, (S,), may reach into an upright rectangle: a quick look before the long one."""
    left, bottom, right, top = extent
    x1, y1, x2, y2 = lines.T
    beside = ((x1 < left) & (x2 < left)) | ((x1 > right) & (x2 > right))
    over = ((y1 < bottom) & (y2 < bottom)) | ((y1 > top) & (y2 > top))
    found: NDArray[np.bool_] = ~(beside | over)
    return found


def crossings(lines: Segments, others: Segments) -> NDArray[np.bool_]:
    """Whether each of some pieces, (S,), crosses each of the others, (T,): an array (S, T)."""
    first = _side(lines[:, None], others[None, :, :2]) * _side(lines[:, None], others[None, :, 2:])
    back = _side(others[None], lines[:, None, :2]) * _side(others[None], lines[:, None, 2:])
    found: NDArray[np.bool_] = (first < 0.0) & (back < 0.0)
    return found


def _side(line: NDArray[np.float64], place: NDArray[np.float64]) -> NDArray[np.float64]:
    """On which side of a line a place lies, by sign."""
    dx, dy = line[..., 2] - line[..., 0], line[..., 3] - line[..., 1]
    found: NDArray[np.float64] = dx * (place[..., 1] - line[..., 1])
    return found - dy * (place[..., 0] - line[..., 0])


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
