"""The picture of a sweep: a curve over one number, or a map over two."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QColor, QPen
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.curves.scale import Scale, round_step, tick_text
from app.mark_styles import pen_of
from app.studies import sweep_places as spots
from app.studies.sweep_levels import level_lines, longest, round_levels
from app.studies.sweep_marks import DARK, Words, cross, place, words
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
        self._words: list[Words] = []
        self._mark: tuple[float, float] | None = None
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
        self._box.sigResized.connect(self._place_words)
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
        self._items, self._words, self._mark = [], [], None
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
        self._place_words()
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
        edges = float(xs.min()), float(xs.max())
        self._box.setXRange(*edges, padding=0.0)
        if known.size:
            self._box.setYRange(float(low), float(high), padding=0.08)
        self._tick("bottom", *edges)
        self._tick("left", float(low), float(high))
        here = self._present(swept.number)
        low, high = self._box.viewRange()[1]
        curve, now = np.stack([xs, ys], axis=1), np.array([[here, low], [here, high]])
        levels = [np.array([[edges[0], value], [edges[1], value]]) for value in bounds]
        found = {one.bound: one for one in meetings(swept, self._design, self._display)}
        good = self._pen(theme.good, 1, Qt.PenStyle.DashLine)
        for at, bound in enumerate(bounds_on(kind, self._design, self._display)):
            told = bound.words
            if bound in found:
                told += f" at {places(swept, found[bound], self._display)}"
            self._add(pg.InfiniteLine(bounds[at], 0, pen=good))
            others = [curve, now, *levels[:at], *levels[at + 1 :]]
            self._say(told, theme.good, partial(spots.beside_level, bounds[at]), others)
        told = f"now {units.show(swept.number.value or 0.0, swept.number.quantity, self._display)}"
        self._add(pg.InfiniteLine(here, 90, pen=self._pen(theme.selection, 1)))
        self._say(told, theme.selection, partial(spots.beside_upright, here), [curve, *levels])

    def _say(
        self,
        text: str,
        colour: QColor,
        where: Callable[[spots.View, spots.Size], Values],
        clear_of: Sequence[Values],
        **how: bool,
    ) -> None:
        """Words on the plot's ground, or on a dark one in a map, to be placed."""
        on_map = isinstance(self._swept, SweepMap)
        item = words(text, colour, DARK if on_map else self.theme.paper)
        self._add(item)
        self._words.append(Words(item, where, clear_of, **how))

    def _place_words(self) -> None:
        """Put the words to where they are clear of everything in the plot's present size."""
        box = self._box
        if self._words and box.width() > 0.0 and box.height() > 0.0:
            (left, right), (bottom, top) = box.viewRange()
            view = spots.View(box.width(), box.height(), left, right, bottom, top)
            place(view, self._words, self._mark)

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
        self._box.setXRange(float(xs[0]), float(xs[-1]), padding=0.0)
        self._box.setYRange(float(ys[0]), float(ys[-1]), padding=0.0)
        self._tick("bottom", float(xs[0]), float(xs[-1]))
        self._tick("left", float(ys[0]), float(ys[-1]))
        self._tick("right", low, high)
        self._draw_lines(swept, xs, ys, values, (low, high))

    def _draw_lines(
        self, swept: SweepMap, xs: Values, ys: Values, values: Values, span: tuple[float, float]
    ) -> None:
        """Limits, the present design and contours of a map, each with its words."""
        kind = swept.kinds[0]
        here = (self._present(swept.number_across), self._present(swept.number_up))
        edges = [(words, level_lines(xs, ys, values, value)) for value, words in self._bounds(kind)]
        limits = [line for _, lines in edges for line in lines]
        contours = [
            (tick_text(level, step), level_lines(xs, ys, values, level))
            for level, step in round_levels(*span)
        ]
        thin = self._pen(QColor(0, 0, 0, 140), 1)
        for _, lines in contours:
            self._trace(lines, thin)
        self._trace(limits, self._pen(QColor(0, 0, 0, 110), 5))  # seen where the map is light
        self._trace(limits, self._pen(QColor("white"), 3, Qt.PenStyle.DashLine))
        self._mark = here
        self._add(cross(*here))
        white = QColor("white")
        for told, lines in edges:
            if lines:
                self._say(told, white, partial(spots.along, longest(lines)), ())
        told = ", ".join(
            units.show(number.value or 0.0, number.quantity, self._display)
            for number in (swept.number_across, swept.number_up)
        )
        self._say(f"now {told}", white, partial(spots.around, here), limits, of_cross=True)
        for told, lines in contours:
            if lines:
                where = partial(spots.along, longest(lines))
                self._say(told, white, where, limits, needed=False)

    def _trace(self, lines: Sequence[Values], pen: QPen) -> None:
        for line in lines:
            self._add(pg.PlotCurveItem(line[:, 0], line[:, 1], pen=pen, antialias=True))

    def _tick(self, side: str, low: float, high: float) -> None:
        """Numbers at round places of an axis, all with as many decimals."""
        edge = 0.08 * (high - low) if high > low else 1.0
        step = round_step(max(high - low, 1e-9), _TICKS)
        scale = Scale(low - edge, high + edge, step)
        self._axes[side].setTicks([[(at, tick_text(at, step)) for at in scale.ticks()], []])

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
