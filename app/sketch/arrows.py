"""Arrows at the points: which way to move each for a better reading, and the gain per mm."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF

from app.sketch.picture import Picture
from app.sketch.sheet import WIDE, Sheet, thinned
from app.study_words import gain

if TYPE_CHECKING:
    from solver.sensitivity import Arrow, Sensitivities

_LONGEST, _SHORTEST = 74.0, 24.0
"""Pixels of the arrow of the point that matters most, and of the least one drawn."""
_FROM = 12.0
"""Pixels from the point's centre to the arrow's foot."""
_HEAD = 8.0
_LEAST = 0.03
"""Share of the greatest gain below which a point has no arrow."""


def draw_arrows(sheet: Sheet, picture: Picture, effects: Sensitivities) -> None:
    """An arrow for every point that matters, the longest for the one that matters most."""
    most = max((arrow.per_mm for arrow in effects.arrows), default=0.0)
    if not (most > 0.0 and math.isfinite(most)):
        return
    for arrow in effects.arrows:
        if arrow.point in picture.places and arrow.per_mm >= _LEAST * most:
            _draw(sheet, picture, arrow, arrow.per_mm / most, effects)


def _draw(
    sheet: Sheet, picture: Picture, arrow: Arrow, share: float, effects: Sensitivities
) -> None:
    x, y = sheet.pixels(picture.places[arrow.point])
    length = _SHORTEST + (_LONGEST - _SHORTEST) * share
    along, across = (arrow.x, -arrow.y), (arrow.y, arrow.x)
    foot = (x + _FROM * along[0], y + _FROM * along[1])
    tip = (foot[0] + length * along[0], foot[1] + length * along[1])
    neck = (tip[0] - _HEAD * along[0], tip[1] - _HEAD * along[1])
    wings = [(neck[0] + s * _HEAD / 2 * across[0], neck[1] + s * _HEAD / 2 * across[1])
             for s in (-1.0, 1.0)]  # fmt: skip
    colour = sheet.theme.accent
    sheet.stroke(colour, 1.5 * WIDE)
    sheet.strokes([[foot, neck]])
    sheet.fill(colour)
    sheet.shape([tip, *wings])
    quantity = effects.reading.quantity
    _label(sheet, tip, along, gain(arrow.per_mm, quantity, picture.display, effects.better))


def _label(sheet: Sheet, tip: tuple[float, float], along: tuple[float, float], text: str) -> None:
    width, height = sheet.text_size(text)
    width += 8.0
    x = tip[0] + 4.0 * along[0] + (along[0] - 1.0) * width / 2.0
    y = tip[1] + 4.0 * along[1] + (along[1] - 1.0) * height / 2.0
    box = QRectF(x, y, width, height)
    sheet.fill(thinned(sheet.theme.paper, sheet.theme.accent, 0.92), sheet.theme.accent)
    sheet.painter.drawRoundedRect(box, 3.0, 3.0)
    sheet.text(box, text, sheet.theme.ink)
