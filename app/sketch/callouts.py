"""Cards on the sheet that say something of a place: each lies where it covers least.

They are placed anew from what is on the sheet when the hand rests. While it moves things, cards
stay: those about places of the paper where they lie, those about points beside their points.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from app.sketch.boxes import Rect
from app.sketch.room import Room
from solver.bars import Place

Key = tuple[str, str]
"""What a card is about: the kind of thing, and its name."""

PAD = 5.0
"""Pixels between a card's words and its left and right edge."""
_DISTANCES = (0.0, 14.0, 30.0, 52.0, 80.0, 115.0)
"""Pixels that a card may lie farther off than it likes to."""
_PER_PIXEL = 0.02
_TURNS = tuple(math.radians(turn) for turn in (0.0, 30.0, -30.0, 60.0, -60.0, 90.0, -90.0,
                                               125.0, -125.0, 160.0, -160.0))  # fmt: skip
_ROUND = 1.2
"""What it costs to lie behind the place instead of on the side wished for."""
_FEW = 6
"""Anchors that are weighed for a new card while a hand moves things."""
_LATER = 0.05
"""What each later anchor costs."""


@dataclass(frozen=True, slots=True)
class Anchor:
    """A place (pixels) that a card may hang on, the direction to lie in, and how far off."""

    at: Place
    away: Place
    off: float


@dataclass(frozen=True, slots=True)
class Wish:
    """A card to place: its words and their size, what it may hang on, the best first.

    One that `rides` goes along with its anchor while a hand moves things. One that would cost
    more than `worth` in what it covers and how far off it lies is left out.
    """

    key: Key
    text: str
    width: float
    height: float
    anchors: tuple[Anchor, ...]
    rides: bool = False
    worth: float = math.inf


@dataclass(frozen=True, slots=True)
class Card:
    """A card with its box, and the place that it is about: one of its wish's anchors."""

    key: Key
    text: str
    foot: Place
    box: Rect
    anchor: int = 0


def placed(wishes: Sequence[Wish], room: Room) -> list[Card]:
    """The cards where they cover least, the first ones first; none where there is no room.

    Each card placed is one more that the next ones keep off.
    """
    cards = []
    for wish in wishes:
        card = _placed(wish, room)
        if card is not None:
            room.cards.append(card.box)
            cards.append(card)
    return cards


def _placed(wish: Wish, room: Room) -> Card | None:
    size = np.array([wish.width, wish.height])
    anchors = wish.anchors
    if not anchors:
        return None
    turned = [
        [(x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))
         for turn in _TURNS] for x, y in (anchor.away for anchor in anchors)
    ]  # fmt: skip
    ways = np.array(turned)[:, :, None, :]
    near = np.array([anchor.off for anchor in anchors])[:, None, None]
    beyond = np.array(_DISTANCES)[None, None, :]
    reach = near + beyond + 0.5 * (np.abs(ways) @ size)
    feet = np.array([anchor.at for anchor in anchors])[:, None, None, :]
    corners = feet + reach[..., None] * ways - size / 2.0
    behind = _ROUND * (1.0 - np.cos(_TURNS))[None, :, None]
    late = _LATER * np.arange(len(anchors))[:, None, None]
    boxes = np.concatenate([corners, np.broadcast_to(size, corners.shape)], axis=-1).reshape(-1, 4)
    at = np.broadcast_to(feet, corners.shape).reshape(-1, 2)
    costs = (behind + late + _PER_PIXEL * beyond).ravel() + room.costs(boxes, at)
    best = int(np.argmin(costs))
    if not math.isfinite(costs[best]) or costs[best] > wish.worth:
        return None
    left, top, width, height = (float(number) for number in boxes[best])
    anchor = best // (len(_TURNS) * len(_DISTANCES))
    return Card(wish.key, wish.text, anchors[anchor].at, (left, top, width, height), anchor)


def held(cards: Sequence[Card], wishes: Sequence[Wish], room: Room) -> list[Card]:
    """The cards as they lie, each with its place of now; new ones are placed beside them.

    Of the anchors of new ones only some are weighed, so that no step of a drag waits for words.
    """
    before = {card.key: card for card in cards}
    wishes = [wish for wish in wishes if wish.anchors]
    kept = [_kept(before[wish.key], wish, room.area) for wish in wishes if wish.key in before]
    room.cards.extend(card.box for card in kept)
    fresh = [_thinned(wish) for wish in wishes if wish.key not in before]
    return [*kept, *placed(fresh, room)]


def _thinned(wish: Wish) -> Wish:
    """The wish with a few of its anchors, from the first to the last."""
    return replace(wish, anchors=wish.anchors[:: math.ceil(len(wish.anchors) / _FEW)])


def _kept(card: Card, wish: Wish, area: Rect) -> Card:
    left, top, width, height = card.box
    if wish.rides:
        at = wish.anchors[min(card.anchor, len(wish.anchors) - 1)].at
        left += at[0] - card.foot[0]
        top += at[1] - card.foot[1]
        left = max(area[0], min(left, area[0] + area[2] - wish.width))
        top = max(area[1], min(top, area[1] + area[3] - wish.height))
        box = (left, top, wish.width, wish.height)
        return Card(wish.key, wish.text, at, box, card.anchor)
    middle = (left + width / 2.0, top + height / 2.0)
    index = min(range(len(wish.anchors)), key=lambda at: math.dist(wish.anchors[at].at, middle))
    return Card(wish.key, wish.text, wish.anchors[index].at, card.box, index)
