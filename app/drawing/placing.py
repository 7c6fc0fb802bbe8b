"""Finding free places: what a text or a dimension may not lie on, and what it had better not."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from app.drawing.boxes import Primitive, primitives, text_box, texts_of
from app.drawing.ink import (
    Extent,
    Piece,
    as_segments,
    chords,
    extent,
    is_solid,
    pieces,
    segments,
)
from app.drawing.meeting import (
    Bounds,
    Frames,
    Index,
    Segments,
    around_frames,
    around_lines,
    close,
    cross,
    frames,
    grown,
    lengths,
    overlap,
)
from app.drawing.model import Element, Layer, LinearDimension, Text

FORBIDDEN = math.inf
_AIR = 1.0
"""Kept free around a text, mm; half of that before and after one that stands on its line."""
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
_ALONGSIDE = 0.3
"""The price of each mm of another thin line that runs along a new one not quite so close:"""
_CROWDED = 3.5
"""how close that is, mm,"""
_ALIKE = 25.0
"""and how alike their directions are, degrees."""

_AT_ONCE = 24
"""So many candidates are weighed together: as many as a name has around its place."""

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
        self._boxes = frames(())
        self._ink, self._solid, self._thin = _Ink(), _Ink(), _Ink()
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
        self._boxes = np.concatenate((self._boxes, frames(boxes)))
        if len(lines) or boxes:
            new = extent(lines, boxes)
            self._reach = new if self._empty else _joined(self._reach, new)
            self._empty = False

    def expect(self, elements: Iterable[Element]) -> None:
        """Note lines that will come, to keep off; they do not count in how far all reaches."""
        self._note([part for element in elements for part in primitives(element)])

    def _note(self, parts: Sequence[Primitive]) -> None:
        lines, layers = pieces(parts)
        self._ink = self._ink.with_more(lines)
        thin = [layer is Layer.DIMENSIONS for layer in layers]
        self._thin = self._thin.with_more(lines[np.asarray(thin, dtype=np.bool_)])
        self._solid = self._solid.with_more(segments(part for part in parts if is_solid(part)))
        under = [_UNDER_TEXT.get(layer, _UNDER_TEXT_LESSER) for layer in layers]
        across = [_CROSSED.get(layer, _CROSSED_LESSER) for layer in layers]
        self._under = np.concatenate((self._under, under))
        self._across = np.concatenate((self._across, across))

    def extent(self) -> Extent:
        """Least x, least y, greatest x, greatest y of all that is drawn, mm."""
        return self._reach

    def cost(self, elements: Sequence[Element]) -> float:
        """What drawing something there costs.

        FORBIDDEN where its text would lie on another, or a text and an arrow head on each other:
        a line can be interrupted, an arrow head cannot.
        """
        return float(self._costs([elements], FORBIDDEN)[0])

    def best(
        self, candidates: Iterable[Candidate[_T]], most: float = FORBIDDEN
    ) -> Candidate[_T] | None:
        """The cheapest candidate, the first of equals; None where all cost `most` or more."""
        found: Candidate[_T] | None = None
        least = most
        ordered = sorted(candidates, key=lambda one: one.penalty)
        for start in range(0, len(ordered), _AT_ONCE):
            some = ordered[start : start + _AT_ONCE]
            if some[0].penalty >= least:
                break
            penalties = np.asarray([one.penalty for one in some])
            prices = penalties + self._costs([one.elements for one in some], least - penalties)
            first = int(np.argmin(prices))
            if prices[first] < least:
                found, least = some[first], float(prices[first])
        return found

    def _costs(
        self, drawn: Sequence[Sequence[Element]], least: float | NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """What drawing each costs, (C,); more than `least` is not reckoned to its end."""
        found = self._text_costs(_Texts.of(drawn), len(drawn))
        (worth,) = np.nonzero(found < least)
        if len(worth):
            found[worth] += self._line_costs(
                _Weighed.of([drawn[index] for index in worth.tolist()])
            )
        return found

    def _text_costs(self, texts: _Texts, count: int) -> NDArray[np.float64]:
        """What each costs for its texts alone."""
        owner, boxes = texts.owner, texts.boxes
        apart = grown(boxes, _WORD, _AIR)
        one, other = close(around_frames(apart), around_frames(self._boxes))
        bad = [owner[one[overlap(apart[one], self._boxes[other])]]]
        one, piece = close(around_frames(boxes), self._solid.around)
        bad.append(owner[one[lengths(boxes[one], self._solid.lines[piece]) > 0.0]])
        airy = grown(boxes, texts.beside, _AIR)
        one, piece = close(around_frames(airy), self._ink.around)
        prices = lengths(airy[one], self._ink.lines[piece]) * self._under[piece]
        found = _summed(owner[one], prices, count)
        found[np.concatenate(bad)] = FORBIDDEN
        return found

    def _line_costs(self, weighed: _Weighed) -> NDArray[np.float64]:
        """What each costs for its lines and its reach; FORBIDDEN where a head meets a text."""
        found = _BEYOND * self._beyond(weighed)
        lines, owner = weighed.lines, weighed.owner
        around = around_lines(lines)
        met, by_head = self._texts_met(weighed, around)
        found += _CROSSED_TEXT * met
        one, piece = close(around, self._ink.around)
        crossed = cross(lines[one], self._ink.lines[piece])
        prices = self._across[piece[crossed]]
        found += _summed(owner[one[crossed]], prices, weighed.count)
        main, owner = weighed.longest()
        one, piece = close(around_frames(main), self._ink.around)
        beside = _BESIDE * lengths(main[one], self._ink.lines[piece])
        found += _summed(owner[one], beside, weighed.count)
        leads = weighed.leads[owner]
        found += self._crowding(main[leads], owner[leads], weighed.count)
        found[by_head] = FORBIDDEN
        return found

    def _crowding(self, main: Frames, owner: Index, count: int) -> NDArray[np.float64]:
        """What it costs each that thin lines run along its longest line: leaders in a sheaf."""
        wide = main.copy()
        wide[:, 3] = _CROWDED
        one, piece = close(around_frames(wide), self._thin.around)
        boxes, lines = wide[one], self._thin.lines[piece]
        run = lines[:, 2:] - lines[:, :2]
        across = np.abs(run[:, 0] * boxes[:, 5] - run[:, 1] * boxes[:, 4])
        alike = across <= math.sin(math.radians(_ALIKE)) * np.hypot(run[:, 0], run[:, 1])
        prices = _ALONGSIDE * lengths(boxes[alike], lines[alike])
        return _summed(owner[one[alike]], prices, count)

    def _texts_met(
        self, weighed: _Weighed, around: Bounds
    ) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
        """How many texts the lines of each meet, its own too, and whether an arrow head does."""
        texts = weighed.texts
        boxes = np.concatenate((self._boxes, texts.boxes))
        whose = np.concatenate((np.full(len(self._boxes), -1), texts.owner))
        piece, box = close(around, around_frames(boxes))
        mine = (whose[box] < 0) | (whose[box] == weighed.owner[piece])
        piece, box = piece[mine], box[mine]
        met = lengths(boxes[box], weighed.lines[piece]) > 0.0
        piece, box = piece[met], box[met]
        owner = weighed.owner[piece]
        by_head = np.zeros(weighed.count, dtype=np.bool_)
        by_head[owner[weighed.solid[piece]]] = True
        once = np.unique(owner * len(boxes) + box) // max(len(boxes), 1)
        return _summed(once, np.ones(len(once)), weighed.count), by_head

    def _beyond(self, weighed: _Weighed) -> NDArray[np.float64]:
        """By how much all would be too wide and too high with each, mm."""
        if math.inf in self._room:
            return np.zeros(weighed.count)
        left, bottom, right, top = self.extent()
        low_x, low_y, high_x, high_y = weighed.reaches(self.extent())
        found: NDArray[np.float64] = np.maximum(
            high_x - low_x - max(self._room[0], right - left), 0.0
        )
        found += np.maximum(high_y - low_y - max(self._room[1], top - bottom), 0.0)
        return found


@dataclass(frozen=True, slots=True)
class _Ink:
    """Straight pieces with the rectangles around them."""

    lines: Segments = field(default_factory=lambda: np.zeros((0, 4)))
    around: Bounds = field(default_factory=lambda: np.zeros((0, 4)))

    def with_more(self, lines: Segments) -> _Ink:
        return _Ink(
            np.concatenate((self.lines, lines)),
            np.concatenate((self.around, around_lines(lines))),
        )


@dataclass(frozen=True, slots=True)
class _Texts:
    """The texts of several ways of drawing something, whose each is, and its air at its ends."""

    boxes: Frames
    owner: Index
    beside: NDArray[np.float64]

    @staticmethod
    def of(drawn: Sequence[Sequence[Element]]) -> _Texts:
        """The arrays for each way of drawing."""
        held = [
            (index, text_box(text), _AIR / 2.0 if isinstance(element, LinearDimension) else _AIR)
            for index, elements in enumerate(drawn)
            for element in elements
            for text in texts_of(element)
        ]
        owner = np.asarray([index for index, _, _ in held], dtype=np.intp)
        beside = np.asarray([air for _, _, air in held], dtype=np.float64)
        return _Texts(frames([box for _, box, _ in held]), owner, beside)


@dataclass(frozen=True, slots=True)
class _Weighed:
    """The same with their lines, whose each is, which are of arrow heads, and who leads to a name.

    Dimensions are no leaders: their extension lines may run together.
    """

    count: int
    texts: _Texts
    lines: Segments
    owner: Index
    solid: NDArray[np.bool_]
    leads: NDArray[np.bool_]

    @staticmethod
    def of(drawn: Sequence[Sequence[Element]]) -> _Weighed:
        """The arrays for each way of drawing."""
        found: list[Piece] = []
        owner: list[int] = []
        heads: list[bool] = []
        for index, elements in enumerate(drawn):
            for element in elements:
                for part in primitives(element):
                    before = len(found)
                    found += chords(part)
                    count = len(found) - before
                    owner += [index] * count
                    heads += [is_solid(part)] * count
        return _Weighed(
            *(len(drawn), _Texts.of(drawn), as_segments(found)),
            *(np.asarray(owner, dtype=np.intp), np.asarray(heads, dtype=np.bool_)),
            np.asarray([isinstance(own[0], Text) for own in drawn], dtype=np.bool_),
        )

    def longest(self) -> tuple[Frames, Index]:
        """A box closely around the longest line of each that has lines, and whose it is."""
        x1, y1, x2, y2 = self.lines.T
        sizes = np.hypot(x2 - x1, y2 - y1)
        order = np.lexsort((np.arange(len(sizes)), -sizes, self.owner))
        owners, first = np.unique(self.owner[order], return_index=True)
        chosen = order[first]
        x1, y1, x2, y2 = self.lines[chosen].T
        size = np.maximum(sizes[chosen], 1e-12)
        made = np.stack(
            (
                *((x1 + x2) / 2.0, (y1 + y2) / 2.0, size / 2.0, np.full(len(size), _CLOSE)),
                *((x2 - x1) / size, (y2 - y1) / size),
            ),
            axis=1,
        )
        return made, owners

    def reaches(self, reach: Extent) -> NDArray[np.float64]:
        """How far each reaches together with what is there, (4, C)."""
        found = np.repeat(np.asarray(reach)[:, None], self.count, axis=1)
        for around, owner in (
            (around_frames(self.texts.boxes), self.texts.owner),
            (around_lines(self.lines), self.owner),
        ):
            np.minimum.at(found[0], owner, around[:, 0])
            np.minimum.at(found[1], owner, around[:, 1])
            np.maximum.at(found[2], owner, around[:, 2])
            np.maximum.at(found[3], owner, around[:, 3])
        return found


def _joined(a: Extent, b: Extent) -> Extent:
    return (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3]))


def _summed(owner: Index, prices: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """The sum of the prices of each of `count` owners."""
    found = np.zeros(count)
    np.add.at(found, owner, prices)
    return found
