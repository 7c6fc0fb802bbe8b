"""The numbers beside a plot: a line along its edge, with a text at each step of the scale.

Texts are laid out once a scale. pyqtgraph's own axis keeps a recording of its painting, and
playing that takes a twentieth of a drag frame.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QStaticText
from PySide6.QtWidgets import QGraphicsItem

from app.curves.scale import Scale, tick_text
from app.theme import Theme

_OFF = 5.0
"""Pixels between the line and the texts left of it."""
_BELOW = 2.0
"""Pixels between the line and the texts below it."""
_APART = 2.0
"""Pixels that texts keep from each other."""
_EVERY = (1, 2, 5, 10)
"""Of the steps every, every second … has a text; always zero."""


class Axis(QGraphicsItem):
    """The axis left of a plot, or the one below it. `holder` is what goes into the layout."""

    def __init__(self, theme: Theme, font: QFont, below: bool = False) -> None:
        self.holder: Any = pg.GraphicsWidget()
        super().__init__(self.holder)
        self.theme = theme
        self._below = below
        self._scale = Scale(0.0, 1.0, 0.5)
        self._place: Callable[[float], float] = float
        self._texts: list[tuple[QPointF, QStaticText]] = []
        self._rect = QRectF()
        self.set_font(font)
        self.holder.geometryChanged.connect(self._follow)

    @property
    def texts(self) -> list[str]:
        """What stands beside the plot, from the least up."""
        return [text.text() for _, text in self._texts]

    def set_font(self, font: QFont) -> None:
        """Set the font, and with it the height of an axis below."""
        self._font, self._metrics = font, QFontMetricsF(font)
        if self._below:
            self.holder.setMinimumHeight(self._metrics.height() + _BELOW)
            self.holder.setMaximumHeight(self._metrics.height() + _BELOW)
        self._lay_out()

    def set_width(self, width: float) -> None:
        """Set the width of an axis at the left."""
        self.holder.setMinimumWidth(width)
        self.holder.setMaximumWidth(width)

    def set_scale(self, scale: Scale, place: Callable[[float], float]) -> None:
        """Show the steps of a scale; `place` gives the pixels along the plot's edge."""
        self._scale, self._place = scale, place
        self._lay_out()

    def boundingRect(self) -> QRectF:
        """The axis, and room for the texts at its ends."""
        over = self._metrics.height()
        return self._rect.adjusted(-over, -over, over, over)

    def paint(self, painter: QPainter, option: object, widget: object = None) -> None:
        """Draw line and texts."""
        rect = self._rect
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setPen(self.theme.panel_edge)
        corner = rect.topLeft() if self._below else rect.topRight()
        painter.drawLine(QLineF(corner, rect.topRight() if self._below else rect.bottomRight()))
        painter.setPen(self.theme.faint_ink)
        painter.setFont(self._font)
        for place, text in self._texts:
            painter.drawStaticText(place, text)

    def _lay_out(self) -> None:
        """Give each step's text its place, or every second one's where there is little room."""
        scale, place_of = self._scale, self._place
        texts = {tick: tick_text(tick, scale.step) for tick in scale.ticks()}
        widths = {tick: self._metrics.horizontalAdvance(text) for tick, text in texts.items()}
        high = self._metrics.height()
        needed = _APART + (max(widths.values(), default=0.0) if self._below else high)
        room = abs(place_of(scale.step) - place_of(0.0))
        every = next((count for count in _EVERY if count * room >= needed), _EVERY[-1])
        self._texts = []
        for tick, text in texts.items():
            if round(tick / scale.step) % every:
                continue
            at, wide = place_of(tick), widths[tick]
            if self._below:
                place = QPointF(at - wide / 2.0, _BELOW)
            else:
                place = QPointF(self._rect.width() - _OFF - wide, at - high / 2.0)
            laid_out = QStaticText(text)
            laid_out.setTextFormat(Qt.TextFormat.PlainText)
            laid_out.prepare(font=self._font)
            self._texts.append((QPointF(round(place.x()), round(place.y())), laid_out))
        self.update()

    def _follow(self) -> None:
        self.prepareGeometryChange()
        self._rect = QRectF(0, 0, self.holder.size().width(), self.holder.size().height())
        self._lay_out()
