"""Where labels go: each at the first of its wished places that is free."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

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
    kin: str = ""
    """Labels of one kin are all said in full or all short."""
    clear: bool = False
    """Bands should not be covered either."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A label with the rectangle that it got."""

    text: str
    colour: QColor
    rect: QRectF


def _nowhere(rect: QRectF) -> bool:
    return False


def arrange(
    labels: Sequence[Label],
    bounds: QRectF,
    metrics: QFontMetricsF,
    covers_curve: Callable[[QRectF], bool],
    covers_band: Callable[[QRectF], bool] = _nowhere,
) -> list[Placed]:
    """Place the labels, the first ones first; they never overlap and never leave `bounds`.

    A label that fits nowhere is left out.
    """
    placed = _arranged(labels, bounds, metrics, covers_curve, covers_band)
    said = {each.text for each in placed}
    curt = {label.kin for label in labels if label.kin and label.text not in said}
    if curt:
        shorter = [
            replace(label, text=label.short) if label.kin in curt and label.short else label
            for label in labels
        ]
        placed = _arranged(shorter, bounds, metrics, covers_curve, covers_band)
    return placed


def _arranged(
    labels: Sequence[Label],
    bounds: QRectF,
    metrics: QFontMetricsF,
    covers_curve: Callable[[QRectF], bool],
    covers_band: Callable[[QRectF], bool],
) -> list[Placed]:
    placed: list[Placed] = []
    taken: list[QRectF] = []
    for label in labels:
        found = None
        if label.clear:
            modest = replace(label, needed=False)
            found = _place(modest, bounds, metrics, taken, covers_curve, covers_band)
        found = found or _place(label, bounds, metrics, taken, covers_curve, _nowhere)
        if found is not None:
            placed.append(found)
            taken.append(found.rect.adjusted(-2 * _GAP, -_GAP / 2, 2 * _GAP, _GAP / 2))
    return placed


def _place(
    label: Label,
    bounds: QRectF,
    metrics: QFontMetricsF,
    taken: Sequence[QRectF],
    covers_curve: Callable[[QRectF], bool],
    shunned: Callable[[QRectF], bool],
) -> Placed | None:
    """One label, in full or short, at a place that is free and not shunned."""
    for text in (label.text, label.short) if label.short else (label.text,):
        width = metrics.horizontalAdvance(text)
        if width > bounds.width():
            continue
        corners = label.places
        if label.mirrored:
            corners = [corner - QPointF(width, 0) for corner in corners]
        rects = (_inside(corner, width, metrics.height(), bounds) for corner in corners)
        free = (
            rect
            for rect in rects
            if not (shunned(rect) or any(rect.intersects(other) for other in taken))
        )
        rect = _first(free, covers_curve, label.needed)
        if rect is not None:
            return Placed(text, label.colour, rect)
    return None


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
