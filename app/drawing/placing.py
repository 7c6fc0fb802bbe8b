"""Finding free places: what a text or a dimension may not lie on, and what it had better not."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from app.drawing.boxes import Box, Primitive, primitives, text_box
from app.drawing.dimension_parts import polar
from app.drawing.model import Arc, Circle, Element, Line, Place, Polyline, Text

Segments = NDArray[np.float64]
"""(S, 4): x1, y1, x2, y2 of straight pieces, mm."""

FORBIDDEN = math.inf
_AIR = 0.8
"""Kept free around a text, mm."""
_BEYOND = 30.0
"""The price of each mm beyond the room there is."""
_CROSSED_TEXT = 400.0
"""The price of a line through a text."""

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Candidate(Generic[_T]):
    """One way of drawing something, and how far it is from the best one (mm, about)."""

    item: _T
    elements: tuple[Element, ...]
    penalty: float = 0.0


class Placer:
    """What is on the paper so far. Texts never lie on each other; lines through them cost.

    So does growing beyond `room` (width and height, mm).
    """

    def __init__(
        self, drawn: Iterable[Element] = (), room: tuple[float, float] = (math.inf, math.inf)
    ) -> None:
        self._room = room
        self._boxes: list[Box] = []
        self._ink: Segments = np.zeros((0, 4))
        self.take(drawn)

    def take(self, elements: Iterable[Element]) -> None:
        """Note what is drawn."""
        parts = [part for element in elements for part in primitives(element)]
        self._boxes += [text_box(part) for part in parts if isinstance(part, Text)]
        self._ink = np.concatenate((self._ink, segments(parts)))
        self._reach = _extent(self._ink, self._boxes)

    def extent(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y of all that is drawn, mm."""
        return self._reach

    def cost(self, elements: Sequence[Element]) -> float:
        """What drawing something there costs; FORBIDDEN where its text would lie on another."""
        parts = [part for element in elements for part in primitives(element)]
        total = 0.0
        for part in parts:
            if isinstance(part, Text):
                box = text_box(part).grown(_AIR)
                if any(box.meets(other) for other in self._boxes):
                    return FORBIDDEN
                total += 3.0 * ink_in(box, self._ink)
        lines = segments(parts)
        own = [text_box(part) for part in parts if isinstance(part, Text)]
        total += _BEYOND * self._beyond(lines, own)
        if len(lines):
            reach = _extent(lines, ())
            for other in (*self._boxes, *own):
                if _near(other, reach) and ink_in(other, lines) > 0.0:
                    total += _CROSSED_TEXT
        return total

    def _beyond(self, lines: Segments, boxes: Sequence[Box]) -> float:
        """By how much all would be too wide and too high with these, mm."""
        if math.inf in self._room:
            return 0.0
        left, bottom, right, top = self.extent()
        x1, y1, x2, y2 = _extent(lines, boxes)
        width, height = max(right, x2) - min(left, x1), max(top, y2) - min(bottom, y1)
        spare = max(width - max(self._room[0], right - left), 0.0)
        return spare + max(height - max(self._room[1], top - bottom), 0.0)

    def best(self, candidates: Iterable[Candidate[_T]]) -> Candidate[_T] | None:
        """The cheapest candidate, the first of equals; None where none is allowed."""
        found: Candidate[_T] | None = None
        least = FORBIDDEN
        for candidate in candidates:
            if candidate.penalty >= least:
                continue
            price = self.cost(candidate.elements) + candidate.penalty
            if price < least:
                found, least = candidate, price
        return found


def _near(box: Box, reach: tuple[float, float, float, float]) -> bool:
    """Whether a box may meet what lies within `reach`: a quick look before the long one."""
    spare = box.half_width + box.half_height
    x, y = box.middle
    left, bottom, right, top = reach
    return left - spare <= x <= right + spare and bottom - spare <= y <= top + spare


def segments(parts: Iterable[Primitive]) -> Segments:
    """The straight pieces of lines; circles and arcs as chords, texts as nothing."""
    found: list[tuple[float, float, float, float]] = []
    for part in parts:
        if isinstance(part, Text):
            continue
        places = list(_course(part))
        found += [(*a, *b) for a, b in pairwise(places)]
    return np.asarray(found, dtype=np.float64).reshape(-1, 4)


def _course(part: Line | Polyline | Circle | Arc) -> Iterator[Place]:
    if isinstance(part, Line):
        yield from (part.start, part.end)
    elif isinstance(part, Polyline):
        yield from part.points
        if part.closed:
            yield part.points[0]
    else:
        start, end = (part.start, part.end) if isinstance(part, Arc) else (0.0, 360.0)
        count = max(2, math.ceil((end - start) / 15.0))
        for index in range(count + 1):
            yield polar(part.centre, part.radius, start + (end - start) * index / count)


def ink_in(box: Box, lines: Segments) -> float:
    """The length (mm) of the pieces that lie in a box."""
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
    length = np.hypot(u[:, 1] - u[:, 0], v[:, 1] - v[:, 0])
    return float(np.sum(np.maximum(leave - enter, 0.0) * length))


def bounds(elements: Iterable[Element]) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y of what is drawn, texts too; mm."""
    parts = [part for element in elements for part in primitives(element)]
    boxes = [text_box(part) for part in parts if isinstance(part, Text)]
    return _extent(segments(parts), boxes)


def _extent(lines: Segments, boxes: Sequence[Box]) -> tuple[float, float, float, float]:
    corners = [corner for box in boxes for corner in box.corners()]
    places = lines.reshape(-1, 2)
    if corners:
        places = np.concatenate((places, np.asarray(corners)))
    if not len(places):
        return (0.0, 0.0, 0.0, 0.0)
    (left, bottom), (right, top) = places.min(axis=0), places.max(axis=0)
    return (float(left), float(bottom), float(right), float(top))
