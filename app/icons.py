"""Toolbar drawings: a few strokes each on a 24 × 24 sheet, inked in the theme's colours.

Links, pivots, sliders and springs are drawn by the habits of ISO 3952 and ISO 2162.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap

from app.theme import Theme

SHEET = 24.0
_SCALES = (1.0, 1.5, 2.0, 3.0)


@dataclass(frozen=True, slots=True)
class Stroke:
    """A polyline through (x, y) pairs; `closed` joins its ends, `filled` inks the inside."""

    places: tuple[tuple[float, float], ...]
    closed: bool = False
    filled: bool = False
    role: str = "ink"
    width: float = 1.6


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle; `start` and `span` (degrees, counter-clockwise) cut an arc out of it."""

    x: float
    y: float
    radius: float
    filled: bool = False
    start: float = 0.0
    span: float = 360.0
    role: str = "ink"


Drawing = tuple[Stroke | Ring, ...]


def _line(*places: tuple[float, float], role: str = "ink") -> Stroke:
    return Stroke(places, role=role)


def _bold(*places: tuple[float, float], closed: bool = False) -> Stroke:
    """For drawings that are shown at half their size."""
    return Stroke(places, closed=closed, width=2.8)


def _shape(*places: tuple[float, float], filled: bool = False, role: str = "ink") -> Stroke:
    return Stroke(places, closed=True, filled=filled, role=role)


_GROUND = _line((3, 21), (21, 21))
_LEVER_FOOT = Ring(12, 18, 2.2)


def _lever(tip: tuple[float, float], foot: tuple[float, float], role: str) -> Drawing:
    return (_GROUND, _LEVER_FOOT, _line(foot, tip, role=role), Ring(*tip, 1.8, True, role=role))


DRAWINGS: dict[str, Drawing] = {
    "open": (
        _line((3, 19), (3, 5), (9, 5), (11, 8), (19, 8), (19, 11)),
        _shape((3, 19), (7, 11), (22, 11), (18, 19)),
    ),
    "save": (
        _line((12, 3), (12, 14)),
        _line((8, 10), (12, 14), (16, 10)),
        _line((4, 14), (4, 20), (20, 20), (20, 14)),
    ),
    "undo": (
        _line((9, 4), (4, 9), (9, 14)),
        _line((4, 9), (14, 9)),
        Ring(14, 14, 5, False, -90, 180),
        _line((14, 19), (10, 19)),
    ),
    "redo": (
        _line((15, 4), (20, 9), (15, 14)),
        _line((20, 9), (10, 9)),
        Ring(10, 14, 5, False, 90, 180),
        _line((10, 19), (14, 19)),
    ),
    "point": (
        Ring(12, 12, 2.4, True),
        _line((12, 3), (12, 7)),
        _line((12, 17), (12, 21)),
        _line((3, 12), (7, 12)),
        _line((17, 12), (21, 12)),
    ),
    "link": (Ring(6, 18, 2.6), Ring(18, 6, 2.6), _line((7.9, 16.1), (16.1, 7.9))),
    "slider": (
        _line((3, 16), (21, 16)),
        _shape((7, 10), (17, 10), (17, 16), (7, 16)),
        Ring(12, 10, 2.2, True),
        _line((3, 18.5), (21, 18.5)),
    ),
    "compression": (
        _line((5, 3), (19, 3)),
        _line((5, 21), (19, 21)),
        _line((12, 3), (18, 5.5), (6, 9), (18, 12.5), (6, 16), (18, 19), (12, 21)),
    ),
    "extension": (
        Ring(12, 4, 2, False, -90, 270),
        _line(
            (12, 6),
            (12, 8),
            (17, 9.5),
            (7, 11),
            (17, 12.5),
            (7, 14),
            (17, 15.5),
            (12, 16.5),
            (12, 18),
        ),
        Ring(12, 20, 2, False, 90, 270),
    ),
    "torsion": (
        Ring(12, 11, 6.5, False, -60, 300),
        Ring(12, 11, 3.5),
        _line((15.2, 16.7), (21, 21)),
        _line((18.5, 11), (18.5, 2.5)),
    ),
    "weight": (_shape((8, 9), (16, 9), (20, 21), (4, 21)), Ring(12, 6, 3)),
    "force": (
        _line((5, 19), (18, 6)),
        _shape((19.5, 4.5), (18, 11), (13, 6), filled=True),
        Ring(5, 19, 1.6, True),
    ),
    "torque": (
        Ring(12, 13, 7.5, False, -40, 250),
        _shape((3.0, 15.6), (7.6, 15.6), (5.4, 20.2), filled=True),
        Ring(12, 13, 1.6, True),
    ),
    "screw": (
        Ring(12, 12, 6.2),
        Ring(12, 12, 3.0),
        _line((12, 2), (12, 22)),
        _line((2, 12), (22, 12)),
    ),
    "fit": (
        _line((3, 8), (3, 3), (8, 3)),
        _line((16, 3), (21, 3), (21, 8)),
        _line((21, 16), (21, 21), (16, 21)),
        _line((8, 21), (3, 21), (3, 16)),
        Ring(12, 12, 3.2),
    ),
    "close_panel": (_bold((5, 5), (19, 19)), _bold((5, 19), (19, 5))),
    "float_panel": (
        _bold((4, 10), (14, 10), (14, 20), (4, 20), closed=True),
        _bold((10, 4), (20, 4), (20, 14)),
    ),
    "rest_a": _lever((4.5, 6), (10.6, 16.3), "rest_a"),
    "dead_centre": _lever((12, 3.5), (12, 15.8), "dead_centre"),
    "rest_b": _lever((19.5, 6), (13.4, 16.3), "rest_b"),
}


def icon(name: str, theme: Theme) -> QIcon:
    """The drawing of that name, sharp at every usual screen scale."""
    made = QIcon()
    for scale in _SCALES:
        side = round(SHEET * scale)
        pixmap = QPixmap(side, side)
        pixmap.setDevicePixelRatio(scale)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for part in DRAWINGS[name]:
            _draw(painter, part, getattr(theme, part.role))
        painter.end()
        made.addPixmap(pixmap)
    return made


def _draw(painter: QPainter, part: Stroke | Ring, colour: QColor) -> None:
    pen = QPen(colour, part.width if isinstance(part, Stroke) else 1.6)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(colour if part.filled else Qt.BrushStyle.NoBrush)
    if isinstance(part, Ring):
        box = QRectF(part.x - part.radius, part.y - part.radius, 2 * part.radius, 2 * part.radius)
        if part.span < 360.0:
            painter.drawArc(box, round(part.start * 16), round(part.span * 16))
        else:
            painter.drawEllipse(box)
    elif part.closed:
        painter.drawPolygon([QPointF(x, y) for x, y in part.places])
    else:
        painter.drawPolyline([QPointF(x, y) for x, y in part.places])
