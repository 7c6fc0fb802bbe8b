"""A line above or below a plot: what it shows at the left, the value at the cursor at the right."""

from functools import lru_cache
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QGraphicsItem

from app.theme import Theme

_GAP = 16.0
_EDGE = 4.0


class Heading(QGraphicsItem):
    """Texts on one line. `holder` is what goes into the layout."""

    def __init__(self, theme: Theme, font: QFont, name: str, indent: float = 0.0) -> None:
        self.holder: Any = pg.GraphicsWidget()
        super().__init__(self.holder)
        self.theme = theme
        self.unit = ""
        self.note = ""
        self.value = ""
        self._short = ""
        self._name = name
        self._indent = indent
        self._rect = QRectF()
        self.set_font(font)
        self.holder.geometryChanged.connect(self._follow)

    def set_font(self, font: QFont) -> None:
        """Set the font, and with it the line's height."""
        self._font = font
        self._bold = QFont(font)
        self._bold.setWeight(QFont.Weight.DemiBold)
        self._metrics, self._bold_metrics = QFontMetricsF(self._font), QFontMetricsF(self._bold)
        # Most texts stay from one painting to the next.
        self._wide = lru_cache(16)(self._metrics.horizontalAdvance)
        self._named = self._bold_metrics.horizontalAdvance(self._name)
        height = self._metrics.height() + 6
        self.holder.setMinimumHeight(height)
        self.holder.setMaximumHeight(height)

    def say(self, value: str, short: str) -> None:
        """Show another value; the short text where the long one would crowd out the name."""
        if value != self.value:
            self.value, self._short = value, short
            self.update()

    def boundingRect(self) -> QRectF:
        """The whole line."""
        return self._rect

    def paint(self, painter: QPainter, option: object, widget: object = None) -> None:
        """Draw name and value; unit and note only where they fit between."""
        middle = Qt.AlignmentFlag.AlignVCenter
        line = self._rect.adjusted(self._indent, 0, -_EDGE, 0)
        wide, named = self._wide, self._named
        fits = wide(self.value) + named + _GAP <= line.width()
        value = self.value if fits else self._short
        painter.setPen(self.theme.ink)
        painter.setFont(self._font)
        painter.drawText(line, int(middle | Qt.AlignmentFlag.AlignRight), value)
        room = line.width() - (wide(value) + _GAP if value else 0.0)
        painter.setFont(self._bold)
        name = self._name
        if named > room:
            name = self._bold_metrics.elidedText(name, Qt.TextElideMode.ElideRight, room)
        painter.drawText(line, int(middle | Qt.AlignmentFlag.AlignLeft), name)
        self._paint_after(painter, line, named, room)

    def _paint_after(self, painter: QPainter, line: QRectF, start: float, room: float) -> None:
        painter.setFont(self._font)
        painter.setPen(self.theme.faint_ink)
        for text in (f", {self.unit}" if self.unit else "", f"  {self.note}" if self.note else ""):
            width = self._wide(text)
            if start + width > room:
                return
            place = line.adjusted(start, 0, 0, 0)
            flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
            painter.drawText(place, int(flags), text)
            start += width

    def _follow(self) -> None:
        self.prepareGeometryChange()
        self._rect = QRectF(0, 0, self.holder.size().width(), self.holder.size().height())
