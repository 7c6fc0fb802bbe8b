"""The go zone on the sheet: where the selected point may lie, and what ends it where."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPolygonF

from app.background.zones import Ring, ZoneEdge, ZoneShape
from app.sketch.sheet import NARROW, SHORT_DASHED, WIDE, Sheet

_TINT = 44
"""Opacity of the zone, of 255."""
_HATCH = 110
"""Opacity of the hatching where the tolerances are survived too."""
_BROAD = 15.0
"""Pixels that a zone on a line is drawn wide where it survives the tolerances."""
_PAD = 5.0
_OFF = 12.0
"""Pixels from an edge to the words beside it."""

_Placed = tuple[str, QPointF, QRectF]
"""Words, the place that they are about, and their box, pixels."""

_latest: list[tuple[ZoneShape, tuple[object, ...], tuple[_Placed, ...]]] = []
"""The labels placed last. Found by identity of the zone: its numbers take long to compare."""


def draw_zone(sheet: Sheet, zone: ZoneShape) -> None:
    """The tinted zone with its edges; the part that survives the tolerances hatched."""
    tone = sheet.theme.good
    _fill(sheet, zone.holds, QBrush(_thin(tone, _TINT)))
    for lines, width in ((zone.hold_lines, _BROAD - 6.0), (zone.survive_lines, _BROAD)):
        sheet.stroke(_thin(tone, _HATCH), width)
        sheet.lines(lines)
    if zone.survives:
        hatching = QBrush(_thin(tone, _HATCH), Qt.BrushStyle.BDiagPattern)
        _fill(sheet, zone.survives, hatching)
        sheet.stroke(tone, NARROW, SHORT_DASHED)
        sheet.lines(zone.survives)
    sheet.stroke(tone, WIDE)
    sheet.lines(edge.line for edge in zone.edges if edge.label)


def draw_zone_labels(sheet: Sheet, zone: ZoneShape, area: QRectF) -> list[QRectF]:
    """What ends the zone, beside its edges where they are on screen, with a leader each.

    Gives the boxes of the labels, pixels.
    """
    labels = _labels(sheet, zone, area)
    for text, at, box in labels:
        sheet.stroke(sheet.theme.good, NARROW)
        sheet.painter.drawLine(at, box.center())
        sheet.fill(sheet.theme.paper, sheet.theme.good)
        sheet.painter.drawRoundedRect(box, 3.0, 3.0)
        sheet.text(box, text, sheet.theme.ink)
    return [box for _, _, box in labels]


def _labels(sheet: Sheet, zone: ZoneShape, area: QRectF) -> tuple[_Placed, ...]:
    """The labels, placed anew only where zone or view are others."""
    view = (sheet.view.m11(), sheet.view.m22(), sheet.view.dx(), sheet.view.dy())
    key = (*view, area.getRect(), sheet.family)
    for known, its_key, found in _latest:
        if known is zone and its_key == key:
            return found
    placed = tuple(_placed_labels(sheet, zone, area))
    _latest[:] = [(zone, key, placed)]
    return placed


def _placed_labels(sheet: Sheet, zone: ZoneShape, area: QRectF) -> Iterator[_Placed]:
    middle = _middle(sheet, zone)
    taken: list[QRectF] = []
    for edge in zone.edges:
        found = None if edge.label_at is None else _label_box(sheet, edge, middle, area, taken)
        if found is not None:
            taken.append(found[1])
            yield edge.label, *found


def _middle(sheet: Sheet, zone: ZoneShape) -> QPointF:
    """The middle (pixels) of the box around the zone; labels stand on the other side of edges."""
    places = [place for edge in zone.edges for place in edge.line]
    if not places:
        return QPointF()
    xs, ys = zip(*places, strict=True)
    return sheet.at((0.5 * (min(xs) + max(xs)), 0.5 * (min(ys) + max(ys))))


def _label_box(
    sheet: Sheet, edge: ZoneEdge, middle: QPointF, area: QRectF, taken: Sequence[QRectF]
) -> tuple[QPointF, QRectF] | None:
    """A place on an edge and a box outside of it for its words; None where none is free."""
    width, height = sheet.text_size(edge.label)
    width, height = width + 2.0 * _PAD, height + 4.0
    step = max(len(edge.line) // 8, 1)
    inside = area.adjusted(4.0, 4.0, -4.0, -4.0)
    for place in (edge.label_at or edge.line[0], *edge.line[::step]):
        at = sheet.at(place)
        away = at - middle
        size = math.hypot(away.x(), away.y()) or 1.0
        x, y = away.x() / size, away.y() / size
        far = _OFF + 0.5 * (abs(x) * width + abs(y) * height)
        box = QRectF(at.x() + x * far - width / 2.0, at.y() + y * far - height / 2.0, width, height)
        box.moveLeft(min(max(box.left(), inside.left()), inside.right() - width))
        box.moveTop(min(max(box.top(), inside.top()), inside.bottom() - height))
        if inside.contains(at) and not any(box.intersects(other) for other in taken):
            return at, box
    return None


def _fill(sheet: Sheet, rings: tuple[Ring, ...], brush: QBrush) -> None:
    """Fill without smoothing: an edge is drawn over it."""
    path = QPainterPath()
    for ring in rings:
        path.addPolygon(QPolygonF([sheet.at(place) for place in ring]))
    sheet.painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    sheet.painter.fillPath(path, brush)
    sheet.painter.setRenderHint(QPainter.RenderHint.Antialiasing)


def _thin(colour: QColor, opacity: int) -> QColor:
    made = QColor(colour)
    made.setAlpha(opacity)
    return made
