"""Where labels go: each at the first of its wished places that is free."""

from collections.abc import Callable, Iterable, Sequence
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
    short: str = ""
    """What to say where the text fits nowhere."""
    mirrored: bool = False
    """The places are those of the right top corner."""


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
        for text in (label.text, label.short) if label.short else (label.text,):
            width = metrics.horizontalAdvance(text)
            corners = label.places
            if label.mirrored:
                corners = [corner - QPointF(width, 0) for corner in corners]
            rects = (_inside(corner, width, metrics.height(), bounds) for corner in corners)
            free = (rect for rect in rects if not any(rect.intersects(other) for other in taken))
            rect = _first(free, covers_curve, label.needed) if width <= bounds.width() else None
            if rect is not None:
                placed.append(Placed(text, label.colour, rect))
                taken.append(rect.adjusted(-2 * _GAP, -_GAP / 2, 2 * _GAP, _GAP / 2))
                break
    return placed


def _first(
    rects: Iterable[QRectF], covers_curve: Callable[[QRectF], bool], needed: bool
) -> QRectF | None:
    """The first that covers no curve; where none does, the first of all if it is needed."""
    fallback = None
    for rect in rects:
        if not covers_curve(rect):
            return rect
        if needed and fallback is None:
            fallback = rect
    return fallback


def _inside(corner: QPointF, width: float, height: float, bounds: QRectF) -> QRectF:
    """The rectangle at that corner, moved just so far that it lies in the bounds."""
    left = max(bounds.left(), min(corner.x(), bounds.right() - width))
    top = max(bounds.top(), min(corner.y(), bounds.bottom() - height))
    return QRectF(left, top, width, height)
