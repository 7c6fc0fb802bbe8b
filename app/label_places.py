"""Where labels go: each at the first of its wished places that is free."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFontMetricsF

_GAP = 2.0
"""Pixels kept free around a label."""


@dataclass(frozen=True, slots=True)
class Label:
    """A text that wants to be drawn with its left top corner at one of `places` (pixels)."""

    text: str
    colour: QColor
    places: Sequence[QPointF]
    needed: bool = True
    """Needed labels may lie over a curve if they must; others are then left out."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A label with the rectangle that it got."""

    text: str
    colour: QColor
    rect: QRectF


def arrange(
    labels: Sequence[Label],
    bounds: QRectF,
    metrics: QFontMetricsF,
    covers_curve: Callable[[QRectF], bool],
) -> list[Placed]:
    """Place the labels, the first ones first; they never overlap and never leave `bounds`.

    A label that fits nowhere is left out.
    """
    placed: list[Placed] = []
    taken: list[QRectF] = []
    for label in labels:
        width = metrics.horizontalAdvance(label.text)
        if width > bounds.width():
            continue
        chosen = None
        for corner in label.places:
            rect = _inside(corner, width, metrics.height(), bounds)
            if any(rect.intersects(other) for other in taken):
                continue
            if not covers_curve(rect):
                chosen = rect
                break
            if chosen is None and label.needed:
                chosen = rect
        if chosen is not None:
            placed.append(Placed(label.text, label.colour, chosen))
            taken.append(chosen.adjusted(-2 * _GAP, -_GAP / 2, 2 * _GAP, _GAP / 2))
    return placed


def _inside(corner: QPointF, width: float, height: float, bounds: QRectF) -> QRectF:
    """The rectangle at that corner, moved just so far that it lies in the bounds."""
    left = max(bounds.left(), min(corner.x(), bounds.right() - width))
    top = max(bounds.top(), min(corner.y(), bounds.bottom() - height))
    return QRectF(left, top, width, height)
