"""Free room on the sheet: where a box of words covers least. Plain arithmetic in pixels."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from app.sketch.boxes import Bar, Floats, Rect, crossing, meeting, overlapping, pieces_of

_NAME = 8.0
"""What covering a name costs; a bar costs its weight."""
_UNDER = 4.0
"""What it costs to lead a line through a name."""
_OVER = 0.2
"""Share of a bar's weight that leading a line across it costs."""
_GAP = 3.0
"""Pixels that boxes stay apart."""


@dataclass(slots=True)
class Room:
    """The visible part of a sheet and what lies on it.

    `cards` are boxes that must not be covered, `names` and `bars` such that should not; each bar
    has the weight that covering it has.
    """

    area: Rect
    cards: list[Rect] = field(default_factory=list)
    names: list[Rect] = field(default_factory=list)
    bars: list[tuple[Bar, float]] = field(default_factory=list)

    def add(self, bars: Iterable[Bar], weight: float) -> None:
        """More bars to keep off."""
        self.bars.extend((bar, weight) for bar in bars)

    def costs(self, boxes: Floats, feet: Floats | None = None) -> Floats:
        """What each of the boxes (N, 4) would cover; infinite outside or on another card.

        `feet` (N, 2) are where lines from the boxes' middles lead to.
        """
        left, top, width, height = self.area
        costs = np.zeros(len(boxes))
        outside = (
            (boxes[:, 0] < left)
            | (boxes[:, 1] < top)
            | (boxes[:, 0] + boxes[:, 2] > left + width)
            | (boxes[:, 1] + boxes[:, 3] > top + height)
        )
        costs[outside] = np.inf
        if self.cards:
            cards = np.array(self.cards)
            costs[overlapping(boxes, cards, _GAP).any(axis=1)] = np.inf
        if self.names:
            costs += _NAME * overlapping(boxes, np.array(self.names), _GAP).sum(axis=1)
        if self.bars:
            ends, half = pieces_of([bar for bar, _ in self.bars])
            weights = np.array([weight for _, weight in self.bars])
            costs += crossing(boxes, ends, half) @ weights
            if feet is not None:
                costs += _OVER * (meeting(_leaders(feet, boxes), ends) @ weights)
        held = self.names + self.cards
        if feet is not None and held:
            costs += _UNDER * crossing(np.array(held), _leaders(feet, boxes)).sum(axis=0)
        return costs


def _leaders(feet: Floats, boxes: Floats) -> Floats:
    """Lines (N, 4) from places to the middles of boxes."""
    return np.hstack([feet, boxes[:, :2] + boxes[:, 2:] / 2.0])


def emptiest(room: Room, boxes: Sequence[Rect]) -> int:
    """Which of some boxes covers least; the first of equals."""
    costs = room.costs(np.array(boxes))
    return int(np.argmin(np.where(np.isfinite(costs), costs, 1e6)))
