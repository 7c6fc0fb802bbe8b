"""A painter that knows the sheet: world millimetres in, pens and sizes in screen pixels.

Line widths follow ISO 128: a wide line for visible edges, a narrow one (half as wide) for
everything that explains.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QStaticText,
    QTransform,
)

from app.sketch.plates import Plate
from app.sketch.shapes import Rigid
from app.theme import Theme
from solver.bars import Place

WIDE = 1.6
NARROW = 0.8

SOLID: tuple[float, ...] = ()
DASHED = (7.0, 4.0)
CHAIN = (13.0, 3.0, 2.0, 3.0)
SHORT_DASHED = (3.0, 3.5)


@lru_cache(maxsize=256)
def _pen(rgba: int, width: float, dashes: tuple[float, ...]) -> QPen:
    pen = QPen(QColor.fromRgba(rgba), width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap if dashes else Qt.PenCapStyle.SquareCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if dashes:
        pen.setDashPattern([length / width for length in dashes])
    return pen


@lru_cache(maxsize=256)
def _cosmetic(rgba: int, width: float) -> QPen:
    """A pen for a painter in millimetres; cosmetic widths count device pixels."""
    pen = QPen(QColor.fromRgba(rgba), width)
    pen.setCosmetic(True)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    return pen


def pen(colour: QColor, width: float = NARROW, dashes: tuple[float, ...] = SOLID) -> QPen:
    """A pen for a painter in pixels: width and dashes in logical pixels, at any screen scale."""
    return _pen(colour.rgba(), width, dashes)


@lru_cache(maxsize=16)
def _veil(rgb: int, alpha: int) -> QColor:
    veil = QColor.fromRgb(rgb)
    veil.setAlpha(alpha)
    return veil


@lru_cache(maxsize=4)
def label_font(family: str, pixels: int) -> QFont:
    """The lettering of the sheet."""
    font = QFont(family)
    font.setPixelSize(pixels)
    return font


@lru_cache(maxsize=1024)
def _text_width(text: str, family: str, pixels: int) -> float:
    return QFontMetricsF(label_font(family, pixels)).horizontalAdvance(text)


@lru_cache(maxsize=1024)
def _laid_out(text: str, family: str, pixels: int) -> tuple[QStaticText, float, float]:
    """A line of lettering whose glyphs are chosen once, with its width and height.

    Most of them stay through a drag.
    """
    made = QStaticText(text)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.prepare(font=label_font(family, pixels))
    return made, made.size().width(), made.size().height()


class Lens:
    """A view of the sheet: where places (mm, y up) are on the screen, and how large words are."""

    def __init__(self, view: QTransform, family: str) -> None:
        self.view = view
        self.scale = view.m11()
        self.family = family
        self._sx, self._sy, self._dx, self._dy = view.m11(), view.m22(), view.dx(), view.dy()

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

    def text_size(self, text: str, pixels: int = 12) -> tuple[float, float]:
        """Width and height of a line of lettering, in pixels."""
        return (_text_width(text, self.family, pixels), pixels * 1.3)


class Sheet(Lens):
    """One painting of the sheet: painter, theme and the view in force while it lasts.

    The drawing methods take world places, as `at` does; sizes are in pixels. The painter works
    in screen pixels between calls.
    """

    def __init__(self, painter: QPainter, view: QTransform, theme: Theme, family: str) -> None:
        super().__init__(view, family)
        self.painter = painter
        self.theme = theme
        self._line: tuple[QColor, float, tuple[float, ...]] = (theme.ink, NARROW, SOLID)
        painter.setWorldTransform(QTransform())

    def stroke(self, colour: QColor, width: float, dashes: tuple[float, ...] = SOLID) -> None:
        """Set the pen, and no brush."""
        self._line = (colour, width, dashes)
        self.painter.setPen(pen(colour, width, dashes))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)

    def fill(self, colour: QColor, edge: QColor | None = None, width: float = NARROW) -> None:
        """Set the brush, with a pen for the edge or none."""
        self.painter.setBrush(colour)
        if edge is None:
            self.painter.setPen(Qt.PenStyle.NoPen)
        else:
            self.painter.setPen(pen(edge, width))

    def lines(self, lines: Iterable[Sequence[Place]]) -> None:
        """Polylines, in world places."""
        self.strokes([self.pixels(place) for place in line] for line in lines)

    def strokes(self, lines: Iterable[Sequence[Place]]) -> None:
        """Polylines, in pixels: straight pieces in one call, many times as fast as paths."""
        pieces = [QLineF(x1, y1, x2, y2) for line in lines for (x1, y1), (x2, y2) in pairwise(line)]
        self.painter.drawLines(pieces)

    def closed(self, line: Sequence[Place], fill: QColor) -> None:
        """A large closed outline, in pixels, filled and then drawn with the pen that is set."""
        self._fill_polygon(QPolygonF([QPointF(x, y) for x, y in line]), fill)
        self.strokes([[*line, line[0]]])

    def _fill_polygon(self, polygon: QPolygonF, fill: QColor) -> None:
        """Fill without smoothing, which an edge drawn over it hides, in a fiftieth of the time."""
        painter = self.painter
        smooth = bool(painter.renderHints() & QPainter.RenderHint.Antialiasing)
        line = painter.pen()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(fill)
        painter.drawPolygon(polygon)
        painter.setPen(line)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, smooth)

    def shape(self, line: Sequence[Place]) -> None:
        """A filled closed outline, in pixels."""
        self.painter.drawPolygon([QPointF(x, y) for x, y in line])

    def circle(self, centre: Place, radius: float) -> None:
        """A circle around a world place, radius in pixels."""
        self.painter.drawEllipse(self.at(centre), radius, radius)

    def arc(self, centre: Place, radius: float, start: float, turn: float) -> None:
        """An arc around a world place, radius in mm; start and turn in degrees, as on paper."""
        middle, reach = self.at(centre), radius * self.scale
        box = QRectF(middle.x() - reach, middle.y() - reach, 2.0 * reach, 2.0 * reach)
        path = QPainterPath()
        path.arcMoveTo(box, start)
        path.arcTo(box, start, turn)
        self.painter.drawPath(path)

    def band(self, a: Place, b: Place, width: float, colour: QColor) -> None:
        """A broad line with round ends between two world places."""
        line = QPen(colour, width)
        line.setCapStyle(Qt.PenCapStyle.RoundCap)
        self.painter.setPen(line)
        self.painter.drawLine(self.at(a), self.at(b))

    def plate(self, plate: Plate, motion: Rigid, fill: QColor | None = None) -> None:
        """The outline of a plate, moved rigidly, with the pen of `stroke`; filled if asked for."""
        cosine, sine = motion.cosine, motion.sine
        view = QTransform(cosine, sine, -sine, cosine, motion.x, motion.y) * self.view
        if fill is not None:
            self._fill_polygon(view.map(plate.polygon), fill)
        self._outline(plate.ring, plate.pieces, view)

    def outline(self, ring: QPolygonF, pieces: Sequence[QLineF]) -> None:
        """A line of many places (mm) with the pen of `stroke`, also given as its pieces."""
        self._outline(ring, pieces, self.view)

    def _outline(self, ring: QPolygonF, pieces: Sequence[QLineF], view: QTransform) -> None:
        colour, width, dashes = self._line
        painter = self.painter
        if dashes:  # a polyline's dashes go on round its corners; no dearer up to a pixel's width
            painter.drawPolyline(view.map(ring))
            return
        painter.setWorldTransform(view)
        painter.setPen(_cosmetic(colour.rgba(), width * painter.device().devicePixelRatioF()))
        painter.drawLines(pieces)
        painter.setWorldTransform(QTransform())
        painter.setPen(pen(colour, width))

    def scrap(self, box: QRectF, alpha: int) -> None:
        """A piece of paper under lettering (pixels), which lets the rest shine through a little."""
        self.painter.fillRect(box, _veil(self.theme.paper.rgb(), alpha))

    def text(self, box: QRectF, text: str, colour: QColor, pixels: int = 12) -> None:
        """A line of lettering centred in a box (pixels)."""
        laid_out, width, height = _laid_out(text, self.family, pixels)
        middle = box.center()
        self.painter.setFont(label_font(self.family, pixels))
        self.painter.setPen(colour)
        place = QPointF(round(middle.x() - width / 2.0), round(middle.y() - height / 2.0))
        self.painter.drawStaticText(place, laid_out)
