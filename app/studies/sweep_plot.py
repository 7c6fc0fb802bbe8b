"""The picture of a sweep: a curve over one number, or a map over two."""

from __future__ import annotations

from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QColor, QPen
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.curves.scale import Scale, round_step, tick_text
from app.mark_styles import pen_of
from app.studies.sweep_places import free_place, inmost, is_high
from app.studies.sweep_words import bounds_on, meetings, met, places
from app.theme import Theme, theme_source
from solver import units
from solver.model import Design
from solver.number_names import NamedNumber
from solver.project import Display
from solver.readings import ReadingKind
from solver.sweep import Sweep, SweepMap, Values

_LEFT, _BOTTOM = 66, 46
_SCALE, _GAP = 22, 14
"""Pixels for the axes with their names, and for a map's scale of colours."""
_TICKS = 7
"""Numbers at an axis, at most."""
_LEVELS = 9
"""Contour lines of a map, at most."""


class SweepPlot(QWidget):
    """Draws a sweep with the limits on its reading and the place of the present design."""

    pointed = Signal(str)
    """What is under the mouse, in words; "" where nothing is."""

    def __init__(self, parent: QWidget | None = None, theme: Theme | None = None) -> None:
        """`theme` is kept to; without one the plot has the window's."""
        super().__init__(parent)
        self._own_theme = theme
        self._swept: Sweep | SweepMap | None = None
        self._design: Design | None = None
        self._display = Display()
        self._ratio = self.devicePixelRatioF()
        self._items: list[Any] = []
        self._view: Any = pg.GraphicsView(self, background=None)
        self._view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._box, self._scale_box = _box(), _box()
        self._axes = {
            "left": _axis("left", self._box),
            "bottom": _axis("bottom", self._box),
            "right": _axis("right", self._scale_box),
        }
        self._lay_out()
        self._view.scene().sigMouseMoved.connect(self._point)
        self.setAccessibleName("The reading over the range")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._view)
        theme_source.changed.connect(self._draw)
        self._draw()

    def _lay_out(self) -> None:
        layout: Any = pg.GraphicsLayout()
        layout.setContentsMargins(4, 8, 8, 4)
        layout.setSpacing(0)
        layout.addItem(self._axes["left"], 0, 0)
        layout.addItem(self._box, 0, 1)
        layout.addItem(self._axes["bottom"], 1, 1)
        layout.addItem(self._scale_box, 0, 3)
        layout.addItem(self._axes["right"], 0, 4)
        self._axes["left"].setWidth(_LEFT)
        self._axes["bottom"].setHeight(_BOTTOM)
        self._columns = layout.layout
        self._view.setCentralItem(layout)

    @property
    def theme(self) -> Theme:
        """The colours it has."""
        return self._own_theme or theme_source.theme

    @property
    def swept(self) -> Sweep | SweepMap | None:
        """What is drawn."""
        return self._swept

    def show_sweep(self, swept: Sweep | SweepMap | None, design: Design, display: Display) -> None:
        """Draw a sweep of a design; None: draw nothing."""
        self._swept, self._design, self._display = swept, design, display
        self._draw()

    def _draw(self) -> None:
        theme = self.theme
        for box, item in self._items:
            box.removeItem(item)
        self._items = []
        self._view.setBackground(theme.paper)
        for axis in self._axes.values():
            axis.setPen(self._pen(theme.panel_edge, 1))
            axis.setTextPen(theme.faint_ink)
        self._show_scale(isinstance(self._swept, SweepMap))
        if isinstance(self._swept, Sweep):
            self._draw_curve(self._swept)
        elif self._swept is not None:
            self._draw_map(self._swept)
        self.settle()

    def _pen(self, colour: QColor, width: int, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
        """A pen so many logical pixels wide."""
        return pen_of(colour, style, self._ratio, width)

    def event(self, event: QEvent) -> bool:
        """Have lines as thick on a screen of another scale."""
        if event.type() == QEvent.Type.DevicePixelRatioChange:
            self.set_ratio(self.devicePixelRatioF())
        return super().event(event)

    def set_ratio(self, ratio: float) -> None:
        """Draw for so many device pixels in a logical one."""
        if ratio != self._ratio:
            self._ratio = ratio
            self._draw()

    def settle(self) -> None:
        """Put the axes' names to their middles, which they lose when only the words change."""
        self._columns.activate()
        for axis in self._axes.values():
            axis.resizeEvent()

    def _add(self, item: Any, box: Any = None) -> None:  # noqa: ANN401  # pyqtgraph brings no types
        """Put an item into the plot, or into another box."""
        home = box or self._box
        home.addItem(item, ignoreBounds=True)
        self._items.append((home, item))

    def _show_scale(self, shown: bool) -> None:
        """Make room for a map's scale of colours, or none."""
        for part, width in ((self._scale_box, _SCALE), (self._axes["right"], _LEFT)):
            part.setVisible(shown)
            part.setMaximumWidth(width if shown else 0)
            part.setMinimumWidth(width if shown else 0)
        self._columns.setColumnFixedWidth(2, _GAP if shown else 0)

    def _draw_curve(self, swept: Sweep) -> None:
        theme, kind = self.theme, swept.kinds[0]
        xs, ys = self._shown(swept.values, swept.number), self._read(swept, kind)
        self._name("bottom", swept.number.label, swept.number)
        self._name("left", kind.label, kind)
        self._add(
            pg.PlotCurveItem(xs, ys, pen=self._pen(theme.ink, 2), connect="finite", antialias=True)
        )
        known = ys[np.isfinite(ys)]
        bounds = [value for value, _ in self._bounds(kind)]
        low, high = 0.0, 1.0
        if known.size:
            low, high = min([known.min(), *bounds]), max([known.max(), *bounds])
        here = self._present(swept.number)
        found = {one.bound: one for one in meetings(swept, self._design, self._display)}
        for bound in bounds_on(kind, self._design, self._display):
            value = units.displayed(bound.size, kind.quantity, self._display)
            words = bound.words
            if bound in found:
                words += f" at {places(swept, found[bound], self._display)}"
            pen = self._pen(theme.good, 1, Qt.PenStyle.DashLine)
            self._add(
                self._line(
                    value,
                    0,
                    pen,
                    words,
                    free_place(xs, ys, value, high - low, here, self._half(words)),
                )
            )
        now = f"now {units.show(swept.number.value or 0.0, swept.number.quantity, self._display)}"
        place = 0.06 if is_high(xs, ys, here, low, high) else 0.94
        self._add(self._line(here, 90, self._pen(theme.selection, 1), now, place))
        self._box.setXRange(float(xs.min()), float(xs.max()), padding=0.0)
        if known.size:
            self._box.setYRange(float(low), float(high), padding=0.08)
        self._tick("bottom", float(xs.min()), float(xs.max()))
        self._tick("left", float(low), float(high))

    def _half(self, words: str) -> float:
        """Half the width of some words as a share of the plot's, so that they stand inside."""
        wide = self.fontMetrics().horizontalAdvance(words) / max(float(self._box.width()), 1.0)
        return min(max(0.5 * wide + 0.03, 0.15), 0.45)

    def crossed(self) -> str:
        """Where the curve meets the limits on its reading; "" where it does not, or of a map."""
        swept = self._swept
        return met(swept, self._design, self._display) if isinstance(swept, Sweep) else ""

    def _draw_map(self, swept: SweepMap) -> None:
        kind = swept.kinds[0]
        xs = self._shown(swept.across, swept.number_across)
        ys = self._shown(swept.up, swept.number_up)
        values = self._read(swept, kind)
        self._name("bottom", swept.number_across.label, swept.number_across)
        self._name("left", swept.number_up.label, swept.number_up)
        known = values[np.isfinite(values)]
        if not known.size:
            return
        low, high = float(known.min()), float(known.max())
        image = pg.ImageItem(values.T)
        step_x, step_y = xs[1] - xs[0], ys[1] - ys[0]
        image.setRect(xs[0] - step_x / 2, ys[0] - step_y / 2, step_x * len(xs), step_y * len(ys))
        self._add(image)
        high = high if high > low else low + 1.0
        colours = pg.colormap.get("cividis")  # made for all eyes, colour-blind ones too
        image.setColorMap(colours)
        image.setLevels((low, high))
        ramp = pg.ImageItem(np.linspace(low, high, 256)[None, :])
        ramp.setColorMap(colours)
        ramp.setRect(0.0, low, 1.0, high - low)
        self._add(ramp, self._scale_box)
        self._scale_box.setRange(xRange=(0.0, 1.0), yRange=(low, high), padding=0.0)
        self._name("right", kind.label, kind)
        self._draw_levels(xs, ys, values, low, high)
        self._draw_bounds(xs, ys, values, kind)
        here = (self._present(swept.number_across), self._present(swept.number_up))
        spot = pg.ScatterPlotItem(
            [here[0]], [here[1]], symbol="+", size=18, pen=self._pen(QColor("white"), 3)
        )
        self._add(spot)
        self._box.setXRange(float(xs[0]), float(xs[-1]), padding=0.0)
        self._box.setYRange(float(ys[0]), float(ys[-1]), padding=0.0)
        self._tick("bottom", float(xs[0]), float(xs[-1]))
        self._tick("left", float(ys[0]), float(ys[-1]))
        self._tick("right", low, high)

    def _line(self, at: float, angle: int, pen: QPen, words: str, place: float) -> Any:  # noqa: ANN401
        """A line across the plot with words beside it, on the plot's own ground."""
        beside = [(0.5, 1.15), (0.5, 1.15)] if angle == 0 else [(-0.08, 0.5), (1.08, 0.5)]
        options = {"position": place, "color": pen.color(), "fill": self.theme.paper}
        options["anchors"] = beside
        return pg.InfiniteLine(at, angle, pen=pen, label=words, labelOpts=options)

    def _tick(self, side: str, low: float, high: float) -> None:
        """Numbers at round places of an axis, all with as many decimals."""
        edge = 0.08 * (high - low) if high > low else 1.0
        step = round_step(max(high - low, 1e-9), _TICKS)
        scale = Scale(low - edge, high + edge, step)
        self._axes[side].setTicks([[(at, tick_text(at, step)) for at in scale.ticks()], []])

    def _draw_levels(
        self,
        xs: Values,
        ys: Values,
        values: Values,
        low: float,
        high: float,
    ) -> None:
        """Contour lines at round values, each with its number."""
        if not high > low:
            return
        step = round_step(high - low, _LEVELS)
        for level in np.arange(np.ceil(low / step), np.floor(high / step) + 1) * step:
            words = tick_text(float(level), step)
            pen = self._pen(QColor(0, 0, 0, 140), 1)
            self._draw_level(xs, ys, values, float(level), pen, words)

    def _draw_bounds(
        self,
        xs: Values,
        ys: Values,
        values: Values,
        kind: ReadingKind,
    ) -> None:
        """Where the reading is just at its limit, as a strong dashed line."""
        for value, words in self._bounds(kind):
            pen = self._pen(QColor("white"), 3, Qt.PenStyle.DashLine)
            self._draw_level(xs, ys, values, value, pen, words)

    def _draw_level(
        self, xs: Values, ys: Values, values: Values,
        level: float, pen: QPen, words: str,
    ) -> None:  # fmt: skip
        from contourpy import contour_generator

        masked = np.ma.masked_invalid(values)
        lines: Any = contour_generator(xs, ys, masked).lines(level)
        longest = max(lines, key=len, default=None)
        for line in lines:
            self._add(pg.PlotCurveItem(line[:, 0], line[:, 1], pen=pen, antialias=True))
        if longest is not None and len(longest) > 3:
            x, y = inmost(longest, xs, ys)
            text = pg.TextItem(words, color=QColor("white"), fill=QColor(0, 0, 0, 150))
            text.setAnchor((0.5, 0.5))
            self._add(text)
            text.setPos(x, y)

    def _point(self, at: QPointF) -> None:
        """Say what is under the mouse."""
        swept, box = self._swept, self._box
        if swept is None or not box.sceneBoundingRect().contains(at):
            self.pointed.emit("")
            return
        place = box.mapSceneToView(at)
        kind = swept.kinds[0]
        values = self._read(swept, kind)
        if isinstance(swept, Sweep):
            xs = self._shown(swept.values, swept.number)
            column = int(np.abs(xs - place.x()).argmin())
            told = [(swept.number, swept.values[column])]
            value = values[column]
        else:
            xs = self._shown(swept.across, swept.number_across)
            ys = self._shown(swept.up, swept.number_up)
            column, row = int(np.abs(xs - place.x()).argmin()), int(np.abs(ys - place.y()).argmin())
            told = [
                (swept.number_across, swept.across[column]),
                (swept.number_up, swept.up[row]),
            ]
            value = values[row, column]
        where = ", ".join(
            f"{number.label} {units.show(float(base), number.quantity, self._display)}"
            for number, base in told
        )
        unit = units.unit_of(kind.quantity, self._display)
        shown = "the linkage locks or has no such reading"
        if np.isfinite(value):
            shown = f"{kind.label} {value:.4g}{' ' + unit if unit else ''}"
        self.pointed.emit(f"{where}: {shown}")

    def _name(self, side: str, label: str, what: NamedNumber | ReadingKind) -> None:
        unit = units.unit_of(what.quantity, self._display)
        title = f"{label}, {unit}" if unit else label
        self._axes[side].setLabel(title, color=self.theme.ink.name())

    def _shown(self, values: Values, what: NamedNumber) -> Values:
        shown = [units.displayed(float(each), what.quantity, self._display) for each in values]
        return np.array(shown)

    def _read(self, swept: Sweep | SweepMap, kind: ReadingKind) -> Values:
        values = swept.readings[kind.key]
        shown = [
            units.displayed(float(each), kind.quantity, self._display) for each in values.ravel()
        ]
        return np.array(shown).reshape(values.shape)

    def _present(self, number: NamedNumber) -> float:
        return units.displayed(number.value or 0.0, number.quantity, self._display)

    def _bounds(self, kind: ReadingKind) -> list[tuple[float, str]]:
        """The limits on the reading, in display units, with their words."""
        return [
            (units.displayed(bound.size, kind.quantity, self._display), bound.words)
            for bound in bounds_on(kind, self._design, self._display)
        ]


def _box() -> Any:  # noqa: ANN401  # pyqtgraph brings no types
    box: Any = pg.ViewBox(enableMenu=False, enableMouse=False)
    box.disableAutoRange()
    return box


def _axis(side: str, box: Any) -> Any:  # noqa: ANN401  # pyqtgraph brings no types
    axis: Any = pg.AxisItem(side)
    axis.linkToView(box)
    axis.enableAutoSIPrefix(False)
    return axis
