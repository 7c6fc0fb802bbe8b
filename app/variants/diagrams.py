"""The curves of the compared variants, overlaid: painted on screen and on paper alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from app.curves.scale import Scale, fitted, round_step, span_of, tick_text
from app.theme import Theme
from app.variants.comparison import Curve, Plot
from app.variants.disc_places import disc_places
from app.variants.marks import DISC, mark, paint_disc
from solver import units
from solver.project import Display

_DOT = 3.5
_RING = 1.5
"""Pixels of paper around a number's disc."""
_RIGHT = 16.0
"""Pixels to the right of a plot: half of the last number of its axis stands there."""
_OVERHANG = 40.0
"""Pixels by which the values above a plot may be wider than it, to its left."""


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a plot lies: its rectangle (pixels) and its scales."""

    box: QRectF
    x: Scale
    y: Scale
    discs: tuple[tuple[int, QPointF], ...] = ()
    """The number of each entry and the place on its curve (pixels) where it stands."""

    def across(self, value: float) -> float:
        """Pixels of a place on the x axis."""
        share = (value - self.x.low) / (self.x.high - self.x.low)
        return self.box.left() + share * self.box.width()

    def down(self, value: float) -> float:
        """Pixels of a value."""
        share = (self.y.high - value) / (self.y.high - self.y.low)
        return self.box.top() + share * self.box.height()

    def value_at(self, pixel: float) -> float:
        """The place on the x axis at a pixel."""
        share = (pixel - self.box.left()) / self.box.width()
        return self.x.low + share * (self.x.high - self.x.low)


def frames(plots: Sequence[Plot], cells: Sequence[QRectF], font: QFont) -> tuple[Frame, ...]:
    """A frame for each plot in its cell (pixels); plots of one quantity have one scale."""
    metrics = QFontMetricsF(font)
    line, left = metrics.height(), metrics.horizontalAdvance("−0 000") + 6.0
    made = []
    for plot, cell in zip(plots, cells, strict=True):
        same = [other for other in plots if other.quantity == plot.quantity]
        ys = [y for other in same for _, y in other.curves]
        xs = [x for x, _ in plot.curves]
        low, high = span_of(*xs) if xs else (0.0, 1.0)
        edge = 0.02 * (high - low)
        wide = max(cell.width() - left - _RIGHT, 1.0)
        parts = min(max(int(wide / metrics.horizontalAdvance("0000 %")), 1), 6)
        along = Scale(low - edge, high + edge, round_step(high - low, parts))
        up = fitted(*span_of(*ys, with_zero=True)) if ys else fitted(0.0, 1.0)
        box = cell.adjusted(left, 2.0 * line + 4.0, -_RIGHT, -2.0 * line - 6.0)
        frame = Frame(box, along, up)
        lines = [_pixels(frame, *curve) for curve in plot.curves]
        numbers = [entry.number for entry in plot.entries]
        made.append(replace(frame, discs=disc_places(numbers, lines, box)))
    return tuple(made)


def paint_plot(
    painter: QPainter, plot: Plot, frame: Frame, theme: Theme, font: QFont, axis: str
) -> None:
    """Paint grid, axes and curves; the cursor and the curves' numbers are painted over it."""
    painter.save()
    painter.setFont(font)
    _paint_grid(painter, frame, theme, font, " %" if axis.startswith("%") else "°")
    _paint_title(painter, plot, frame, theme, font)
    _paint_axis_name(painter, frame, theme, font, axis)
    painter.setClipRect(frame.box.adjusted(-1.0, -1.0, 1.0, 1.0))
    lines = [_pixels(frame, xs, ys) for xs, ys in plot.curves]
    for entry, (across, down), centre in zip(plot.entries, lines, plot.centres, strict=True):
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(mark(entry.number, theme).pen())
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(
            [QPointF(*at) for at in zip(across.tolist(), down.tolist(), strict=True)]
        )
        if np.isfinite(centre):
            _paint_centre(painter, frame, centre, entry.number, theme)
    painter.restore()


def paint_cursor(
    painter: QPainter,
    plot: Plot,
    frame: Frame,
    place: float,
    theme: Theme,
    font: QFont,
    display: Display,
) -> None:
    """Paint where the levers are, with a dot on each curve and the values above the plot.

    Over the cursor's line and dots, which they interrupt, stand the numbers of the curves.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    x = frame.across(place)
    painter.setPen(QPen(theme.selection, 1))
    painter.drawLine(QLineF(x, frame.box.top(), x, frame.box.bottom()))
    values = []
    for entry, (xs, ys) in zip(plot.entries, plot.curves, strict=True):
        shown = mark(entry.number, theme)
        value = value_at(xs, ys, place)
        values.append((entry.number, value / units.factor(plot.quantity, display)))
        if np.isfinite(value):
            painter.setPen(QPen(theme.paper, 1))
            painter.setBrush(shown.ink)
            painter.drawEllipse(QPointF(x, frame.down(value)), _DOT, _DOT)
    for number, at in frame.discs:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.paper)
        painter.drawEllipse(at, DISC / 2.0 + _RING, DISC / 2.0 + _RING)
        paint_disc(painter, at, mark(number, theme), theme)
    texts = [(n, units.number(value, plot.quantity, display)) for n, value in values]
    _paint_values(painter, texts, frame, theme, font)
    painter.restore()


def _paint_values(
    painter: QPainter,
    texts: Sequence[tuple[int, str]],
    frame: Frame,
    theme: Theme,
    font: QFont,
) -> None:
    """The values at the cursor above the plot: each with its number, in smaller type if need be."""
    numbered = [(number, f"{number}: {text}") for number, text in texts]
    small = QFont(font)
    for line, gap, scale in ((numbered, 10.0, 1.0), (numbered, 6.0, 0.82), (texts, 6.0, 0.82)):
        _scale(small, font, scale)
        metrics = QFontMetricsF(small)
        taken = sum(metrics.horizontalAdvance(text) + gap for _, text in line)
        if taken > frame.box.width() + _OVERHANG and line is numbered:
            continue
        painter.setFont(small)
        right = frame.box.right()
        for number, text in reversed(line):
            right -= metrics.horizontalAdvance(text)
            painter.setPen(mark(number, theme).ink)
            painter.drawText(QPointF(right, frame.box.top() - 4.0 - metrics.descent()), text)
            right -= gap
        return


def _scale(font: QFont, like: QFont, scale: float) -> None:
    """Give a font the size of another, scaled."""
    if like.pixelSize() > 0:
        font.setPixelSize(round(like.pixelSize() * scale))
    else:
        font.setPointSizeF(like.pointSizeF() * scale)


def value_at(xs: Curve, ys: Curve, place: float) -> float:
    """A curve's value at a place on the x axis; at its end where it does not go so far."""
    if xs[0] > xs[-1]:
        xs, ys = xs[::-1], ys[::-1]
    return float(np.interp(place, xs, ys))


def _pixels(frame: Frame, xs: Curve, ys: Curve) -> tuple[Curve, Curve]:
    """A curve in pixels from left to right, with about as many corners as it has pixels."""
    step = max(1, int(len(xs) / max(frame.box.width(), 1.0)))
    places = np.append(np.arange(0, len(xs) - 1, step), len(xs) - 1)
    xs, ys = xs[places], ys[places]
    across = frame.box.left() + (xs - frame.x.low) * (frame.box.width() / _span(frame.x))
    down = frame.box.top() + (frame.y.high - ys) * (frame.box.height() / _span(frame.y))
    finite = np.isfinite(down)
    across, down = across[finite], down[finite]
    backwards = len(across) > 1 and across[0] > across[-1]
    return (across[::-1], down[::-1]) if backwards else (across, down)


def _span(scale: Scale) -> float:
    return scale.high - scale.low


def _paint_grid(
    painter: QPainter, frame: Frame, theme: Theme, font: QFont, mark_of_axis: str
) -> None:
    box, metrics = frame.box, QFontMetricsF(font)
    painter.fillRect(box, theme.paper)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(QPen(theme.grid_major, 1))
    for tick in frame.x.ticks():
        x = frame.across(tick)
        painter.drawLine(QLineF(x, box.top(), x, box.bottom()))
    for tick in frame.y.ticks():
        y = frame.down(tick)
        painter.drawLine(QLineF(box.left(), y, box.right(), y))
    if frame.y.low < 0.0 < frame.y.high:
        painter.setPen(QPen(theme.faint_ink, 1))
        painter.drawLine(QLineF(box.left(), frame.down(0.0), box.right(), frame.down(0.0)))
    painter.setPen(QPen(theme.panel_edge, 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
    painter.setPen(theme.faint_ink)
    for tick in frame.x.ticks():
        text = tick_text(tick, frame.x.step) + mark_of_axis
        at = frame.across(tick) - metrics.horizontalAdvance(text) / 2.0
        painter.drawText(QPointF(at, box.bottom() + metrics.ascent() + 3.0), text)
    for tick in frame.y.ticks():
        text = tick_text(tick, frame.y.step)
        at = box.left() - metrics.horizontalAdvance(text) - 5.0
        painter.drawText(QPointF(at, frame.down(tick) + metrics.ascent() / 2.0 - 1.0), text)


def _paint_axis_name(painter: QPainter, frame: Frame, theme: Theme, font: QFont, axis: str) -> None:
    """What the x axis shows, below its numbers."""
    metrics = QFontMetricsF(font)
    text = metrics.elidedText(axis, Qt.TextElideMode.ElideRight, frame.box.width())
    left = frame.box.center().x() - metrics.horizontalAdvance(text) / 2.0
    painter.setPen(theme.faint_ink)
    painter.drawText(
        QPointF(left, frame.box.bottom() + metrics.ascent() + metrics.height() + 3.0), text
    )


def _paint_title(painter: QPainter, plot: Plot, frame: Frame, theme: Theme, font: QFont) -> None:
    """Title and unit above the plot."""
    metrics = QFontMetricsF(font)
    base = frame.box.top() - metrics.height() - 4.0 - metrics.descent()
    bold = QFont(font)
    bold.setWeight(QFont.Weight.DemiBold)
    painter.setFont(bold)
    painter.setPen(theme.ink)
    painter.drawText(QPointF(frame.box.left(), base), plot.title)
    left = frame.box.left() + QFontMetricsF(bold).horizontalAdvance(plot.title)
    painter.setFont(font)
    painter.setPen(theme.faint_ink)
    grip = " at the grip" if plot.quantity == "force" else ""
    for text in (f", {plot.unit}{grip}", f", {plot.unit}"):
        if left + metrics.horizontalAdvance(text) <= frame.box.right():
            painter.drawText(QPointF(left, base), text)
            return


def _paint_centre(
    painter: QPainter, frame: Frame, centre: float, number: int, theme: Theme
) -> None:
    """The dead centre of one variant: a short line at the foot, in its colour, pointed at."""
    shown = mark(number, theme)
    x, foot = frame.across(centre), frame.box.bottom()
    painter.setPen(QPen(shown.ink, 1.5))
    painter.drawLine(QLineF(x, foot - 9.0, x, foot))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(shown.ink)
    painter.drawPolygon(
        [QPointF(x, foot - 12.0), QPointF(x - 3.5, foot - 6.0), QPointF(x + 3.5, foot - 6.0)]
    )
