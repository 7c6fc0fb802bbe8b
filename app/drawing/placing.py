"""Finding free places: what a text or a dimension may not lie on, and what it had better not."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from app.drawing.boxes import Box, Primitive, primitives, text_box
from app.drawing.ink import (
    Extent,
    Segments,
    crossings,
    extent,
    ink_in,
    lengths_in,
    near,
    pieces,
    segments,
    solid,
)
from app.drawing.model import Element, Layer, Text

FORBIDDEN = math.inf
_AIR = 1.0
"""Kept free around a text, mm."""
_WORD = 2.4
"""Kept free between a text and the next one on its line, or they read as one; mm."""
_BEYOND = 30.0
"""The price of each mm beyond the room there is."""
_CROSSED_TEXT = 400.0
"""The price of a line through a text."""
_UNDER_TEXT = {
    **dict.fromkeys((Layer.OUTLINE, Layer.HOLES, Layer.SYMBOLS, Layer.HATCH), 40.0),
    Layer.DIMENSIONS: 14.0,
}
"""The price of each mm of line under a text, by the line's layer; that of lesser lines:"""
_UNDER_TEXT_LESSER = 12.0
_CROSSED = {Layer.DIMENSIONS: 6.0, Layer.OUTLINE: 0.8}
"""The price of crossing a line, by its layer; that of lesser lines:"""
_CROSSED_LESSER = 0.3
_BESIDE = 0.5
"""The price of each mm of line so close beside a new one that they are hard to tell apart."""
_CLOSE = 1.2
"""How close that is, mm."""

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Candidate(Generic[_T]):
    """One way of drawing something, and how far it is from the best one (mm, about)."""

    item: _T
    elements: tuple[Element, ...]
    penalty: float = 0.0


class Placer:
    """What is on the paper so far. Texts never lie on each other; lines through them cost.

    So does crossing lines, running close beside them, and growing beyond `room` (width and
    height, mm).
    """

    def __init__(
        self, drawn: Iterable[Element] = (), room: tuple[float, float] = (math.inf, math.inf)
    ) -> None:
        self._room = room
        self._boxes: list[Box] = []
        self._ink: Segments = np.zeros((0, 4))
        self._solid: Segments = np.zeros((0, 4))
        self._under: NDArray[np.float64] = np.zeros(0)
        self._across: NDArray[np.float64] = np.zeros(0)
        self._reach: Extent = (0.0, 0.0, 0.0, 0.0)
        self._empty = True
        self.take(drawn)

    def take(self, elements: Iterable[Element]) -> None:
        """Note what is drawn."""
        parts = [part for element in elements for part in primitives(element)]
        boxes = [text_box(part) for part in parts if isinstance(part, Text)]
        lines = segments(parts)
        self._note(parts)
        self._boxes += boxes
        if len(lines) or boxes:
            new = extent(lines, boxes)
            self._reach = new if self._empty else _joined(self._reach, new)
            self._empty = False

    def expect(self, elements: Iterable[Element]) -> None:
        """Note lines that will come, to keep off; they do not count in how far all reaches."""
        self._note([part for element in elements for part in primitives(element)])

    def _note(self, parts: Sequence[Primitive]) -> None:
        lines, layers = pieces(parts)
        self._ink = np.concatenate((self._ink, lines))
        self._solid = np.concatenate((self._solid, segments(solid(parts))))
        under = [_UNDER_TEXT.get(layer, _UNDER_TEXT_LESSER) for layer in layers]
        across = [_CROSSED.get(layer, _CROSSED_LESSER) for layer in layers]
        self._under = np.concatenate((self._under, under))
        self._across = np.concatenate((self._across, across))

    def extent(self) -> Extent:
        """Least x, least y, greatest x, greatest y of all that is drawn, mm."""
        return self._reach

    def cost(self, elements: Sequence[Element], least: float = FORBIDDEN) -> float:
        """What drawing something there costs.

        FORBIDDEN where its text would lie on another, or a text and an arrow head on each other:
        a line can be interrupted, an arrow head cannot.

        What is found to cost more than `least` is not reckoned to its end.
        """
        parts = [part for element in elements for part in primitives(element)]
        own = [text_box(part) for part in parts if isinstance(part, Text)]
        total = 0.0
        for box in own:
            airy = box.grown(_AIR)
            apart = Box(box.middle, box.half_width + _WORD, airy.half_height, box.turn)
            if any(apart.meets(other) for other in self._boxes) or ink_in(box, self._solid) > 0.0:
                return FORBIDDEN
            total += self._under_box(airy)
            if total >= least:
                return total
        heads = segments(solid(parts))
        if any(ink_in(box, heads) > 0.0 for box in (*own, *self._close_boxes(heads))):
            return FORBIDDEN
        lines = segments(parts)
        total += _BEYOND * self._beyond(lines, own)
        if total < least and len(lines):
            total += self._texts_crossed(lines, own) + self._lines_crossed(lines)
        return total

    def _under_box(self, box: Box) -> float:
        """The price of the lines in a text's box."""
        spare = box.half_width + box.half_height
        x, y = box.middle
        close = near((x - spare, y - spare, x + spare, y + spare), self._ink)
        return float(np.sum(lengths_in(box, self._ink[close]) * self._under[close]))

    def _texts_crossed(self, lines: Segments, own: Sequence[Box]) -> float:
        boxes = (*self._close_boxes(lines), *own)
        return sum(_CROSSED_TEXT for box in boxes if ink_in(box, lines) > 0.0)

    def _close_boxes(self, lines: Segments) -> list[Box]:
        """The texts that lines may meet."""
        reach = extent(lines, ())
        return [box for box in self._boxes if len(lines) and _may_meet(box, reach)]

    def _lines_crossed(self, lines: Segments) -> float:
        close = near(extent(lines, ()), self._ink)
        ink = self._ink[close]
        total = float(np.sum(crossings(lines, ink) @ self._across[close]))
        x1, y1, x2, y2 = lines[int(np.argmax(np.hypot(*(lines[:, 2:] - lines[:, :2]).T)))]
        middle = ((x1 + x2) / 2.0, (y1 + y2) / 2.0)
        turn = math.degrees(math.atan2(y2 - y1, x2 - x1))
        beside = Box(middle, math.hypot(x2 - x1, y2 - y1) / 2.0, _CLOSE, turn)
        return total + _BESIDE * ink_in(beside, ink)

    def _beyond(self, lines: Segments, boxes: Sequence[Box]) -> float:
        """By how much all would be too wide and too high with these, mm."""
        if math.inf in self._room:
            return 0.0
        left, bottom, right, top = self.extent()
        x1, y1, x2, y2 = _joined(self.extent(), extent(lines, boxes))
        spare = max(x2 - x1 - max(self._room[0], right - left), 0.0)
        return spare + max(y2 - y1 - max(self._room[1], top - bottom), 0.0)

    def best(self, candidates: Iterable[Candidate[_T]]) -> Candidate[_T] | None:
        """The cheapest candidate, the first of equals; None where none is allowed."""
        found: Candidate[_T] | None = None
        least = FORBIDDEN
        for candidate in sorted(candidates, key=lambda one: one.penalty):
            if candidate.penalty >= least:
                break
            price = self.cost(candidate.elements, least - candidate.penalty) + candidate.penalty
            if price < least:
                found, least = candidate, price
        return found


def _joined(a: Extent, b: Extent) -> Extent:
    return (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3]))


def _may_meet(box: Box, reach: Extent) -> bool:
    """Whether a box may meet what lies within `reach`: a quick look before the long one."""
    spare = box.half_width + box.half_height
    x, y = box.middle
    left, bottom, right, top = reach
    return left - spare <= x <= right + spare and bottom - spare <= y <= top + spare
