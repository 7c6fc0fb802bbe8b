"""One plot: grid, marks along the travel, curves, labels and the cursor.

Everything is drawn in the pixels of the plot's view box, which keeps text and line widths exact
and lets one item draw the whole grid, and one a whole curve, in one call.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QGraphicsSceneMouseEvent

from app.curves.axis import Axis
from app.curves.scale import Scale
from app.label_places import Label, Placed, arrange
from app.mark_styles import pen_of
from app.theme import Theme, thinned

Curve = NDArray[np.float64]

HATCH = 8.0
"""Pixels between the strokes across a hang zone, along the travel."""

_QUICK = 240
"""As many pieces has a curve at most while it is drawn coarsely."""

HANDLE = 5.0
"""Half the width of the cursor's handle, pixels."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A line across the plot at one travel (degrees)."""

    travel: float
    colour: QColor
    style: Qt.PenStyle


@dataclass(frozen=True, slots=True)
class Marks:
    """What is marked along the travel (degrees)."""

    lines: tuple[Mark, ...] = ()
    bands: tuple[tuple[float, float], ...] = ()
    arrows: tuple[tuple[float, int], ...] = ()
    """A place and the way (+1 towards B, -1 towards A) in which the lever carries on from it."""


@dataclass(frozen=True, slots=True)
class Ribbon:
    """Where the curves of copies run: from `low` to `high` over `travel` (degrees)."""

    travel: Curve
    low: Curve
    high: Curve
    colour: QColor


class Backdrop(QGraphicsItem):
    """Grid, hang zones and marks, behind the curves."""

    def __init__(self, pane: "Pane") -> None:
        super().__init__(pane.box)
        self._pane = pane
        self._grid: list[QRectF] = []
        self._zero: QRectF | None = None
        self._ribbons: list[tuple[QPolygonF, QColor]] = []
        self.setZValue(-50)

    def boundingRect(self) -> QRectF:
        """The whole plot."""
        return self._pane.rect

    def rebuild(self) -> None:
        """Make the lines anew for another range or size."""
        pane = self._pane
        width, height = pane.rect.width(), pane.rect.height()
        self._grid = [
            *(QRectF(pane.across(x), 0, 1, height) for x in pane.x.ticks()),
            *(QRectF(0, pane.down(y), width, 1) for y in pane.y.ticks()),
        ]
        level = pane.down(0.0)
        self._zero = QRectF(0, level, width, 1) if 0 < level < height - 1 else None
        self.rebuild_ribbons()

    def rebuild_ribbons(self) -> None:
        """Make the ribbons anew."""
        self._ribbons = [
            (_outline(self._pane, ribbon), ribbon.colour) for ribbon in self._pane.ribbons
        ]
        self.update()

    def paint(self, painter: QPainter, option: object, widget: object = None) -> None:
        """Draw bands, grid, lines and arrows.

        All of it is opaque and nothing is a pattern: mixing colours takes many times as long, and
        Qt does it in threads of its own, which wait for a busy process beside the window.
        """
        pane, theme = self._pane, self._pane.theme
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        zones = [(pane.across(start), pane.across(end)) for start, end in pane.marks.bands]
        tone = thinned(theme.hang, theme.paper, theme.hang.alphaF())
        for left, right in zones:
            painter.fillRect(QRectF(left, 0, max(right - left, 1.0), pane.rect.height()), tone)
        painter.setPen(Qt.PenStyle.NoPen)
        for outline, colour in self._ribbons:
            painter.setBrush(colour)
            painter.drawPolygon(outline)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        strokes = thinned(theme.hang, tone, min(1.0, 2.0 * theme.hang.alphaF()))
        painter.setPen(pane.line(strokes))
        painter.drawLines([stroke for zone in zones for stroke in self._hatching(*zone)])
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.grid_major)  # upright and level lines: as rectangles fill quickest
        painter.drawRects(self._grid)
        if self._zero is not None:
            painter.fillRect(self._zero, theme.faint_ink)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for mark in pane.marks.lines:
            painter.setPen(pane.line(mark.colour, mark.style))
            x = pane.across(mark.travel)
            painter.drawLine(QLineF(x, 0, x, pane.rect.height()))
        for travel, way in pane.marks.arrows:
            self._paint_arrow(painter, travel, way)

    def _hatching(self, left: float, right: float) -> Iterator[QLineF]:
        """The strokes across a hang zone, pixels."""
        height, right = self._pane.rect.height(), max(right, left + 1.0)
        foot = math.ceil(left / HATCH) * HATCH
        while foot < right + height:
            low, high = min(height, foot - left), max(0.0, foot - right)
            yield QLineF(foot - low, low, foot - high, high)
            foot += HATCH

    def _paint_arrow(self, painter: QPainter, travel: float, way: int) -> None:
        pane = self._pane
        x, foot = pane.across(travel), pane.rect.height()
        painter.setPen(pane.line(pane.theme.ink))
        painter.drawLine(QLineF(x, foot - 26, x, foot))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pane.theme.ink)
        tip = x + 8 * way
        painter.drawPolygon([QPointF(x, foot - 26), QPointF(tip, foot - 22), QPointF(x, foot - 18)])
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)


class Trace(QGraphicsItem):
    """One curve, in display units; it may have gaps where it is not finite."""

    def __init__(self, pane: "Pane") -> None:
        super().__init__(pane.box)
        self._pane = pane
        self.pen = QPen()
        self.smooth = True
        self.xs: Curve = np.zeros(0)
        self.ys: Curve = np.zeros(0)
        self._pieces: list[QPolygonF] = []

    def show_curve(self, xs: Curve, ys: Curve) -> None:
        """Draw the curve through these places."""
        self.xs, self.ys = xs, ys
        self.rebuild()

    def rebuild(self) -> None:
        """Find the pixels anew for another range or size."""
        xs, ys = self._pane.across_all(self.xs), self._pane.down_all(self.ys)
        known = np.isfinite(ys).astype(np.int8)
        runs = np.flatnonzero(np.diff(known, prepend=0, append=0)).reshape(-1, 2).tolist()
        self._pieces = [
            pg.functions.arrayToQPolygonF(xs[start:end], ys[start:end]) for start, end in runs
        ]
        self.update()

    def boundingRect(self) -> QRectF:
        """The whole plot."""
        return self._pane.rect

    def paint(self, painter: QPainter, option: object, widget: object = None) -> None:
        """Draw the curve within the plot."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, self.smooth)
        painter.setPen(self.pen)
        for piece in self._pieces:
            painter.drawPolyline(piece)


class Labels(QGraphicsItem):
    """The texts in the plot."""

    def __init__(self, pane: "Pane") -> None:
        super().__init__(pane.box)
        self._pane = pane
        self.placed: list[Placed] = []
        self.message = ""
        self.setZValue(50)

    def boundingRect(self) -> QRectF:
        """The whole plot."""
        return self._pane.rect

    def paint(self, painter: QPainter, option: object, widget: object = None) -> None:
        """Draw each text on a scrap of paper, so that a line behind it does not cross it."""
        pane = self._pane
        painter.setFont(pane.font)
        ascent = pane.metrics.ascent()
        for label in self.placed:
            painter.fillRect(label.rect.adjusted(-2, 1, 2, -1), pane.theme.paper)
            painter.setPen(label.colour)
            painter.drawText(QPointF(label.rect.left(), label.rect.top() + ascent), label.text)
        if self.message:
            painter.setPen(pane.theme.faint_ink)
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(pane.rect.adjusted(12, 0, -12, 0), int(flags), self.message)


class Cursor(QGraphicsItem):
    """The lever's place: a line with a handle, and a dot on each curve."""

    def __init__(self, pane: "Pane") -> None:
        super().__init__(pane.box)
        self._pane = pane
        self.dots: list[float] = []
        self.setZValue(40)  # under the labels, whose words it must not cut

    def boundingRect(self) -> QRectF:
        """A strip around the line."""
        return QRectF(-HANDLE - 1, 0, 2 * HANDLE + 2, self._pane.rect.height())

    def paint(self, painter: QPainter, option: object, widget: object = None) -> None:
        """Draw line, handle and dots."""
        theme, height = self._pane.theme, self._pane.rect.height()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(self._pane.line(theme.selection))
        painter.drawLine(QLineF(0, 0, 0, height))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setBrush(theme.selection)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawPolygon(
            QPolygonF([QPointF(-HANDLE, 0), QPointF(HANDLE, 0), QPointF(0, 1.6 * HANDLE)])
        )
        painter.setPen(self._pane.line(theme.paper))
        for level in self.dots:
            painter.drawEllipse(QPointF(0, level), 4, 4)


class Surface(QGraphicsItem):
    """Takes the mouse: a press or a drag anywhere moves the lever there."""

    def __init__(self, pane: "Pane", moved: Callable[[float], None]) -> None:
        super().__init__(pane.box)
        self._pane = pane
        self._moved = moved
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemHasNoContents)
        self.setAcceptedMouseButtons(Qt.MouseButton.LeftButton)
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.setZValue(70)

    def boundingRect(self) -> QRectF:
        """The whole plot."""
        return self._pane.rect

    def paint(self, painter: QPainter, option: object, widget: object = None) -> None:
        """Nothing to see."""

    def mousePressEvent(self, event: QGraphicsSceneMouseEvent) -> None:
        """Begin to move the lever."""
        self._moved(self._pane.travel_at(event.pos().x()))
        event.accept()

    def mouseMoveEvent(self, event: QGraphicsSceneMouseEvent) -> None:
        """Move the lever."""
        self._moved(self._pane.travel_at(event.pos().x()))


class Pane:
    """A plot over the travel. The caller sets its parts, then calls `place_labels`."""

    def __init__(
        self, theme: Theme, font: QFont, moved: Callable[[float], None], below: Axis | None = None
    ) -> None:
        """`below` is the axis of the travel, where the plot is to serve one."""
        self.theme = theme
        self.axis = Axis(theme, font)
        self._axes = [self.axis] if below is None else [self.axis, below]
        self.ratio = 1.0
        self._quick = False
        self.rect = QRectF(0, 0, 1, 1)
        self.x = Scale(0.0, 1.0, 0.5)
        self.y = Scale(0.0, 1.0, 0.5)
        self.marks = Marks()
        self.ribbons: tuple[Ribbon, ...] = ()
        self.wishes: Callable[[Pane], Sequence[Label]] = lambda pane: ()
        self.set_font(font)
        self.box: Any = pg.ViewBox(enableMenu=False, enableMouse=False)
        self.box.disableAutoRange()
        self.traces: list[Trace] = []
        self._xs: Curve = np.zeros(2)
        self._ys: list[Curve] = []
        self._backdrop = Backdrop(self)
        self.labels = Labels(self)
        self.cursor = Cursor(self)
        self._pointed: tuple[float, tuple[float, ...]] = (0.0, ())
        self.surface = Surface(self, moved)
        self.box.sigResized.connect(self._resized)

    def set_font(self, font: QFont) -> None:
        """Set the font of the labels and ticks."""
        self.font = font
        self.metrics = QFontMetricsF(font)
        for axis in self._axes:
            axis.set_font(font)

    def line(self, colour: QColor, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
        """A pen for lines that are not smoothed: whole device pixels, crisp."""
        return pen_of(colour, style, float(round(self.ratio)))

    def set_quick(self, quick: bool) -> None:
        """Whether curves are drawn coarsely, without smoothing, in a fraction of the time."""
        self._quick = quick
        for trace in self.traces:
            if trace.smooth == quick:
                trace.smooth = not quick
                trace.update()

    def set_pens(self, pens: Sequence[QPen]) -> None:
        """Have one curve for each pen."""
        self.traces += [Trace(self) for _ in pens[len(self.traces) :]]
        for trace, pen in zip(self.traces, pens, strict=True):
            trace.pen = pen
            trace.update()

    def set_curves(self, xs: Curve, ys: Sequence[Curve]) -> None:
        """Show these curves, one for each pen, in display units."""
        self._xs, self._ys = xs, list(ys)
        self._draw_curves()

    def _draw_curves(self) -> None:
        """Draw the curves with one place a pixel or more; smoothing more takes twice as long."""
        most = max(int(self.rect.width()), 1)
        if self._quick:
            most = min(most, _QUICK)
        shown = slice(None, None, max((self._xs.size - 1) // most, 1))
        xs = np.concatenate([self._xs[:-1][shown], self._xs[-1:]])
        for trace, values in zip(self.traces, self._ys, strict=False):
            trace.show_curve(xs, np.concatenate([values[:-1][shown], values[-1:]]))

    def clear(self, message: str) -> None:
        """Show a sentence in place of curves."""
        self.set_curves(np.zeros(0), [np.zeros(0) for _ in self.traces])
        self._ys = []
        self.set_marks(Marks())
        self.wishes = lambda pane: ()
        self.labels.message = message
        self.cursor.setVisible(False)
        self.place_labels()

    def set_scales(self, x: Scale, y: Scale) -> None:
        """Show this range; does nothing while it is the one shown."""
        if x != self.x or y != self.y:
            self.x, self.y = x, y
            self._scale_axes()
            self.box.setRange(xRange=(x.low, x.high), yRange=(y.low, y.high), padding=0)
            self._backdrop.rebuild()
            for trace in self.traces:
                trace.rebuild()
            self._place_cursor()

    def _scale_axes(self) -> None:
        """Put the scales' numbers beside the plot and below it."""
        ways = ((self.y, self.down), (self.x, self.across))
        for axis, (scale, place) in zip(self._axes, ways, strict=False):
            axis.set_scale(scale, place)

    def set_ribbons(self, ribbons: Sequence[Ribbon]) -> None:
        """Fill these bands behind the curves (display units)."""
        if ribbons or self.ribbons:
            self.ribbons = tuple(ribbons)
            self._backdrop.rebuild_ribbons()

    def set_marks(self, marks: Marks) -> None:
        """Mark these places along the travel."""
        self.marks = marks
        self._backdrop.update()

    def place_labels(self) -> None:
        """Give the wished labels their places."""
        bounds = self.rect.adjusted(4, 2, -4, -2)
        levels = [(self.across_all(self._xs), self.down_all(ys)) for ys in self._ys]

        def covers_curve(rect: QRectF) -> bool:
            return any(_crosses(xs, ys, rect) for xs, ys in levels)

        bands = [(self.across(start), self.across(end)) for start, end in self.marks.bands]

        def covers_band(rect: QRectF) -> bool:
            return any(rect.left() < end and start < rect.right() for start, end in bands)

        wishes = self.wishes(self) if bounds.width() > 60 else ()
        self.labels.placed = arrange(wishes, bounds, self.metrics, covers_curve, covers_band)
        self.labels.update()

    def set_theme(self, theme: Theme) -> None:
        """Use other colours; the caller sets pens and marks."""
        self.theme = theme
        for axis in self._axes:
            axis.theme = theme
        for item in (self._backdrop, self.labels, self.cursor, *self._axes):
            item.update()

    def move_cursor(self, travel: float, values: Sequence[float]) -> None:
        """Put the cursor at that travel, with a dot at each value (display units)."""
        self.cursor.setVisible(True)
        self._pointed = (travel, tuple(values))
        self._place_cursor()

    def _place_cursor(self) -> None:
        travel, values = self._pointed
        self.cursor.setPos(self.across(min(max(travel, self.x.low), self.x.high)), 0)
        self.cursor.dots = [self.down(value) for value in values if np.isfinite(value)]
        self.cursor.update()

    def across(self, travel: float) -> float:
        """Pixels from the left edge to that travel."""
        return (travel - self.x.low) / (self.x.high - self.x.low) * self.rect.width()

    def down(self, value: float) -> float:
        """Pixels from the top edge to that value."""
        return (self.y.high - value) / (self.y.high - self.y.low) * self.rect.height()

    def across_all(self, travels: Curve) -> Curve:
        """Pixels from the left edge to each travel."""
        return (travels - self.x.low) * (self.rect.width() / (self.x.high - self.x.low))

    def down_all(self, values: Curve) -> Curve:
        """Pixels from the top edge to each value."""
        return (self.y.high - values) * (self.rect.height() / (self.y.high - self.y.low))

    def travel_at(self, pixels: float) -> float:
        """The travel that many pixels from the left edge."""
        return self.x.low + pixels / self.rect.width() * (self.x.high - self.x.low)

    def _resized(self) -> None:
        for item in (self._backdrop, *self.traces, self.labels, self.cursor, self.surface):
            item.prepareGeometryChange()
        size = self.box.rect()
        self.rect = QRectF(0, 0, max(size.width(), 1.0), max(size.height(), 1.0))
        self._scale_axes()
        self._backdrop.rebuild()
        self._draw_curves()
        self._place_cursor()
        self.place_labels()


def _outline(pane: Pane, ribbon: Ribbon) -> QPolygonF:
    """The ribbon's outline in pixels, where copies have curves at all."""
    known = np.isfinite(ribbon.low) & np.isfinite(ribbon.high)
    xs = pane.across_all(ribbon.travel[known])
    high, low = pane.down_all(ribbon.high[known]), pane.down_all(ribbon.low[known])
    around: QPolygonF = pg.functions.arrayToQPolygonF(
        np.concatenate([xs, xs[::-1]]), np.concatenate([high, low[::-1]])
    )
    return around


def _crosses(xs: Curve, ys: Curve, rect: QRectF) -> bool:
    """Whether the polyline (pixels, xs ascending) passes through the rectangle."""
    first = max(int(np.searchsorted(xs, rect.left())) - 1, 0)
    part = ys[first : int(np.searchsorted(xs, rect.right())) + 1]
    if not part.size:
        return False
    return bool(part.min() < rect.bottom() + 1 and part.max() > rect.top() - 1)
