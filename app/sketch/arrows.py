"""Arrows at the points: which way to move each for a better reading, and the gain per mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from app.sketch.boxes import Bar
from app.sketch.callouts import PAD, Anchor, Wish
from app.sketch.picture import Picture
from app.sketch.shapes import distance, heading, polar
from app.sketch.sheet import WIDE, Lens, Sheet
from app.study_words import gain
from solver.bars import Place

if TYPE_CHECKING:
    from solver.sensitivity import Arrow, Sensitivities

_LONGEST, _SHORTEST = 74.0, 24.0
"""Pixels of the arrow of the point that matters most, and of the least one drawn."""
_FROM = 12.0
"""Pixels from the point's centre to the arrow's foot."""
_HEAD = 8.0
_OFF = 4.0
"""Pixels between an arrow and its gain."""
_WORTH = 5.0
"""What a gain may cover; the list of what matters has it too."""
_LEAST = 0.03
"""Share of the greatest gain below which a point has no arrow."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """An arrow on the sheet: its foot and its tip, pixels, and what moving the point brings."""

    point: str
    foot: Place
    tip: Place
    gain: str


def arrows_of(lens: Lens, picture: Picture, effects: Sensitivities) -> list[Drawn]:
    """An arrow for every point that matters, the longest for the one that matters most."""
    arrows = sorted(effects.arrows, key=lambda arrow: -arrow.per_mm)
    most = arrows[0].per_mm if arrows else 0.0
    if not (most > 0.0 and math.isfinite(most)):
        return []
    return [
        _arrow(lens, picture, arrow, effects, arrow.per_mm / most)
        for arrow in arrows
        if arrow.point in picture.places and arrow.per_mm >= _LEAST * most
    ]


def _arrow(
    lens: Lens, picture: Picture, arrow: Arrow, effects: Sensitivities, share: float
) -> Drawn:
    x, y = lens.pixels(picture.places[arrow.point])
    length = _SHORTEST + (_LONGEST - _SHORTEST) * share
    foot = (x + _FROM * arrow.x, y - _FROM * arrow.y)
    tip = (foot[0] + length * arrow.x, foot[1] - length * arrow.y)
    text = gain(arrow.per_mm, effects.reading.quantity, picture.display, effects.better)
    return Drawn(arrow.point, foot, tip, text)


def draw_arrows(sheet: Sheet, arrows: Sequence[Drawn]) -> None:
    """Paint arrows."""
    colour = sheet.theme.accent
    for arrow in arrows:
        along, length = heading(arrow.foot, arrow.tip), distance(arrow.foot, arrow.tip)
        neck = polar(arrow.foot, length - _HEAD, along)
        wings = [polar(neck, _HEAD / 2.0, along + side) for side in (90.0, -90.0)]
        sheet.stroke(colour, 1.5 * WIDE)
        sheet.strokes([[arrow.foot, neck]])
        sheet.fill(colour)
        sheet.shape([arrow.tip, *wings])


def arrows_told(effects: Sensitivities) -> str:
    """What the arrows are for."""
    way = "less" if effects.better < 0 else "more"
    return f"Arrows: which way to move each point for {way} “{effects.reading.label}”."


def arrow_wishes(lens: Lens, arrows: Sequence[Drawn]) -> list[Wish]:
    """The cards with the gains: before an arrow's tip, or beside the arrow.

    That of the arrow that matters most, the first, is told whatever it covers.
    """
    wishes: list[Wish] = []
    for arrow in arrows:
        (fx, fy), (tx, ty) = arrow.foot, arrow.tip
        length = distance(arrow.foot, arrow.tip)
        x, y = (tx - fx) / length, (ty - fy) / length
        middle = ((fx + tx) / 2.0, (fy + ty) / 2.0)
        anchors = (
            Anchor(arrow.tip, (x, y), _OFF),
            Anchor(arrow.tip, (y, -x), _OFF),
            Anchor(arrow.tip, (-y, x), _OFF),
            Anchor(middle, (y, -x), _OFF),
            Anchor(middle, (-y, x), _OFF),
        )
        width, height = lens.text_size(arrow.gain)
        key = ("arrow", arrow.point)
        size = (width + 2.0 * PAD, height + 2.0)
        worth = _WORTH if wishes else math.inf
        wishes.append(Wish(key, arrow.gain, *size, anchors, rides=True, worth=worth))
    return wishes


def arrow_bars(arrows: Sequence[Drawn]) -> list[Bar]:
    """The arrows as bars that words keep off."""
    return [(arrow.foot, arrow.tip, _HEAD / 2.0) for arrow in arrows]
