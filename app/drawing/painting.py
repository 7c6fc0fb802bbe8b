"""A page painted with Qt: on screen, on paper and into PDF, SVG and PNG files."""

from __future__ import annotations

import os
from functools import cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QFont,
    QFontMetricsF,
    QGuiApplication,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from app.drawing.boxes import Primitive, base_left, primitives
from app.drawing.metrics import em_of, plain, text_width
from app.drawing.model import PATTERNS, Arc, Circle, Drawing, Layer, Line, Place, Polyline, Text

_FAMILIES = ("DejaVu Sans", "Verdana", "Arial", "Liberation Sans")
_PIXELS = 100
"""Size at which fonts are asked for; what is painted is scaled from it."""

_kept: list[QGuiApplication] = []


def need_application() -> None:
    """Fonts need an application object: where none runs, one without a screen is made."""
    if QGuiApplication.instance() is None:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        _kept.append(QGuiApplication(["throwover"]))


def paint(painter: QPainter, page: Drawing) -> None:
    """Paint a page in black; the painter's unit is 1 mm, its zero the sheet's upper left corner."""
    _Paint(painter, page.size[1]).everything(page)


class _Paint:
    """One page on one painter; `height` turns the drawing's y (up) into the painter's (down)."""

    def __init__(self, painter: QPainter, height: float) -> None:
        self._painter = painter
        self._height = height

    def everything(self, page: Drawing) -> None:
        """Paint all elements in their order."""
        self._painter.save()
        self._painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for element in page.elements:
            for part in primitives(element):
                self._part(part)
        self._painter.restore()

    def _part(self, part: Primitive) -> None:
        if isinstance(part, Text):
            self._text(part)
            return
        self._painter.setPen(pen_of(part.layer))
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        if isinstance(part, Line):
            self._painter.drawLine(self._at(part.start), self._at(part.end))
        elif isinstance(part, Polyline):
            self._polyline(part)
        elif isinstance(part, Circle):
            if part.filled:
                self._solid()
            self._painter.drawEllipse(self._at(part.centre), part.radius, part.radius)
        else:
            self._arc(part)

    def _solid(self) -> None:
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(QBrush(Qt.GlobalColor.black))

    def _at(self, place: Place) -> QPointF:
        return QPointF(place[0], self._height - place[1])

    def _polyline(self, line: Polyline) -> None:
        places = QPolygonF([self._at(place) for place in line.points])
        if line.filled:
            self._solid()
        if line.closed or line.filled:
            self._painter.drawPolygon(places)
        else:
            self._painter.drawPolyline(places)

    def _arc(self, arc: Arc) -> None:
        corner = self._at((arc.centre[0] - arc.radius, arc.centre[1] + arc.radius))
        box = QRectF(corner.x(), corner.y(), 2.0 * arc.radius, 2.0 * arc.radius)
        path = QPainterPath()
        path.arcMoveTo(box, arc.start)
        path.arcTo(box, arc.start, arc.end - arc.start)
        self._painter.drawPath(path)

    def _text(self, text: Text) -> None:
        font, capital = _font(text.bold)
        scale = text.height / capital if capital > 0.0 else em_of(text.height) / _PIXELS
        room = text_width(text.text, text.height, text.bold)
        shown = plain(text.text)  # a control character would break an SVG file
        natural = QFontMetricsF(font).horizontalAdvance(shown) * scale
        squeeze = min(1.0, room / natural) if natural > 0.0 else 1.0
        x, y = base_left(text)
        spare = room - natural * squeeze
        x += {"left": 0.0, "middle": spare / 2.0, "right": spare}[text.across]
        self._painter.save()
        self._painter.translate(self._at(text.at))
        self._painter.rotate(-text.turn)
        self._painter.translate(x, -y)
        self._painter.scale(scale * squeeze, scale)
        self._painter.setFont(font)
        self._painter.setPen(QPen(Qt.GlobalColor.black))
        self._painter.drawText(QPointF(0.0, 0.0), shown)
        self._painter.restore()


@cache
def pen_of(layer: Layer) -> QPen:
    """The pen of a layer, its unit 1 mm."""
    pen = QPen(Qt.GlobalColor.black, layer.width)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pattern = PATTERNS[layer.pattern]
    if pattern:
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern(list(pattern))
    else:
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen


@cache
def _font(bold: bool) -> tuple[QFont, float]:
    """The font for texts, and the height of its capitals (pixels)."""
    need_application()
    font = QFont()
    font.setFamilies(list(_FAMILIES))
    font.setPixelSize(_PIXELS)
    font.setBold(bold)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    font.setStyleStrategy(QFont.StyleStrategy.ForceOutline)
    return font, QFontMetricsF(font).capHeight()
