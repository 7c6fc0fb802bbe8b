"""Arrows at the points: which way to move each for a better reading, and the gain per mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF

from app.sketch.picture import Picture
from app.sketch.sheet import WIDE, Sheet
from app.study_words import gain
from app.theme import thinned
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
_LEAST = 0.03
"""Share of the greatest gain below which a point has no arrow."""


def draw_arrows(
    sheet: Sheet, picture: Picture, effects: Sensitivities, area: QRectF, taken: Sequence[QRectF]
) -> None:
    """An arrow for every point that matters, the longest for the one that matters most.

    Each has its gain beside it, where that is within `area` and clear of the boxes `taken`.
    """
    arrows = sorted(effects.arrows, key=lambda arrow: -arrow.per_mm)
    most = arrows[0].per_mm if arrows else 0.0
    if not (most > 0.0 and math.isfinite(most)):
        return
    held = list(taken)
    quantity, display = effects.reading.quantity, picture.display
    for arrow in arrows:
        if arrow.point in picture.places and arrow.per_mm >= _LEAST * most:
            foot, tip = _draw(sheet, picture, arrow, arrow.per_mm / most)
            text = gain(arrow.per_mm, quantity, display, effects.better)
            box = _label_box(sheet, foot, tip, text, area, held)
            if box is not None:
                held.append(box)
                _label(sheet, box, text)


def _draw(sheet: Sheet, picture: Picture, arrow: Arrow, share: float) -> tuple[Place, Place]:
    """One arrow; its foot and its tip, pixels."""
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
    return foot, tip


def _label_box(
    sheet: Sheet, foot: Place, tip: Place, text: str, area: QRectF, taken: Sequence[QRectF]
) -> QRectF | None:
    """Room for a gain before the arrow's tip, beside it or at its foot; None where none is."""
    width, height = sheet.text_size(text)
    width += 8.0
    length = math.dist(foot, tip)
    x, y = (tip[0] - foot[0]) / length, (tip[1] - foot[1]) / length
    for at, (dx, dy) in (
        (tip, (x, y)),
        (tip, (y, -x)),
        (tip, (-y, x)),
        (foot, (y, -x)),
        (foot, (-y, x)),
    ):
        off = _OFF + 0.5 * (abs(dx) * width + abs(dy) * height)
        left, top = at[0] + dx * off - width / 2.0, at[1] + dy * off - height / 2.0
        box = QRectF(left, top, width, height)
        if area.contains(box) and not any(box.intersects(other) for other in taken):
            return box
    return None


def _label(sheet: Sheet, box: QRectF, text: str) -> None:
    sheet.fill(thinned(sheet.theme.paper, sheet.theme.accent, 0.92), sheet.theme.accent)
    sheet.painter.drawRoundedRect(box, 3.0, 3.0)
    sheet.text(box, text, sheet.theme.ink)
