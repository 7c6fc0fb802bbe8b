"""A painter that knows the sheet: world millimetres in, pens and sizes in screen pixels.

Line widths follow ISO 128: a wide line for visible edges, a narrow one (half as wide) for
everything that explains.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QTransform

from app.sketch.shapes import Line, Place, Rigid
from app.theme import Theme

WIDE = 1.6
NARROW = 0.8

SOLID: tuple[float, ...] = ()
DASHED = (7.0, 4.0)
CHAIN = (13.0, 3.0, 2.0, 3.0)
DOUBLE_DOTTED = (13.0, 3.0, 2.0, 3.0, 2.0, 3.0)
SHORT_DASHED = (3.0, 3.5)


@lru_cache(maxsize=256)
def _pen(rgba: int, width: float, dashes: tuple[float, ...]) -> QPen:
    pen = QPen(QColor.fromRgba(rgba), width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap if dashes else Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if dashes:
        pen.setDashPattern([length / width for length in dashes])
    return pen


def pen(colour: QColor, width: float = NARROW, dashes: tuple[float, ...] = SOLID) -> QPen:
    """A pen for a painter in pixels: width and dashes in logical pixels, at any screen scale."""
    return _pen(colour.rgba(), width, dashes)


@lru_cache(maxsize=4)
def label_font(family: str, pixels: int) -> QFont:
    """The lettering of the sheet."""
    font = QFont(family)
    font.setPixelSize(pixels)
    return font


@lru_cache(maxsize=1024)
def _text_width(text: str, family: str, pixels: int) -> float:
    return QFontMetricsF(label_font(family, pixels)).horizontalAdvance(text)


class Sheet:
    """One painting of the sheet: painter, theme and the view in force while it lasts.

    `at` and the drawing methods take world places (mm, y up); sizes are in pixels. The painter
    works in screen pixels between calls.
    """

    def __init__(self, painter: QPainter, view: QTransform, theme: Theme, family: str) -> None:
        self.painter = painter
        self.theme = theme
        self.view = view
        self.scale = view.m11()
        self.family = family
        self._sx, self._sy, self._dx, self._dy = view.m11(), view.m22(), view.dx(), view.dy()
        painter.setWorldTransform(QTransform())

    @property
    def unit(self) -> float:
        """The size of symbols relative to their normal size; they grow a little with the zoom."""
        return min(max(self.scale / 2.6, 0.7), 1.7)

    def at(self, place: Place) -> QPointF:
        """Where on the screen (logical pixels) a place is."""
        return QPointF(place[0] * self._sx + self._dx, place[1] * self._sy + self._dy)

    def pixels(self, place: Place) -> Place:
        """As `at`, as plain numbers."""
        return (place[0] * self._sx + self._dx, place[1] * self._sy + self._dy)

    def stroke(self, colour: QColor, width: float, dashes: tuple[float, ...] = SOLID) -> None:
        """Set the pen, and no brush."""
        self.painter.setPen(pen(colour, width, dashes))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)

    def fill(self, colour: QColor, edge: QColor | None = None, width: float = NARROW) -> None:
        """Set the brush, with a pen for the edge or none."""
        self.painter.setBrush(colour)
        if edge is None:
            self.painter.setPen(Qt.PenStyle.NoPen)
        else:
            self.painter.setPen(pen(edge, width))

    def lines(self, lines: Iterable[Line]) -> None:
        """Polylines, in world places."""
        for line in lines:
            self.painter.drawPolyline([self.at(place) for place in line])

    def strokes(self, lines: Iterable[Sequence[Place]]) -> None:
        """Polylines, in pixels."""
        for line in lines:
            self.painter.drawPolyline([QPointF(x, y) for x, y in line])

    def shape(self, line: Sequence[Place]) -> None:
        """A filled closed outline, in pixels."""
        self.painter.drawPolygon([QPointF(x, y) for x, y in line])

    def circle(self, centre: Place, radius: float) -> None:
        """A circle around a world place, radius in pixels."""
        self.painter.drawEllipse(self.at(centre), radius, radius)

    def path(self, path: QPainterPath, motion: Rigid | None = None) -> None:
        """A path in world coordinates, moved rigidly first where a motion is given."""
        view = self.view
        if motion is not None:
            cosine, sine = motion.cosine, motion.sine
            view = QTransform(cosine, sine, -sine, cosine, motion.x, motion.y) * view
        self.painter.drawPath(view.map(path))

    def text_size(self, text: str, pixels: int = 12) -> tuple[float, float]:
        """Width and height of a line of lettering, in pixels."""
        return (_text_width(text, self.family, pixels), pixels * 1.3)

    def text(self, box: QRectF, text: str, colour: QColor, pixels: int = 12) -> None:
        """A line of lettering centred in a box (pixels)."""
        self.painter.setFont(label_font(self.family, pixels))
        self.painter.setPen(colour)
        self.painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
