"""Small widgets that lie on the canvas: the problem strip and the scale bar."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QLabel, QWidget

from app.sketch.grid import INCH, grid_steps
from app.sketch.sheet import NARROW, WIDE, pen
from app.theme import Theme
from solver.project import Units

_LEGEND = 250
"""Pixels that the legend is wide at most: it lies in a corner, beside the linkage."""


class ProblemStrip(QLabel):
    """One quiet sentence at the top edge: why the picture shows the last good state."""

    def __init__(self, canvas: QWidget) -> None:
        super().__init__(canvas)
        self._canvas = canvas
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setObjectName("problem")
        self.setAccessibleName("Problem of the sketch")
        self.hide()

    def tell(self, sentence: str | None) -> None:
        """Show a sentence, or nothing."""
        if sentence is not None and sentence != self.text():
            self.setText(sentence)
            self.place()
        self.setVisible(sentence is not None)

    def recolour(self, theme: Theme) -> None:
        """Take the theme's colours."""
        self.setStyleSheet(
            f"color: {theme.ink.name()}; background: {theme.field.name()};"
            f"border: 1px solid {theme.panel_edge.name()};"
            f"border-left: 4px solid {theme.bad.name()}; padding: 5px 10px;"
        )

    def place(self) -> None:
        """Lie along the parent's top edge."""
        width = max(self._canvas.width() - 24, 80)
        wanted = min(self.fontMetrics().horizontalAdvance(self.text()) + 40, width)
        self.setGeometry(12, 12, wanted, max(self.heightForWidth(wanted), 24))


class Legend(QLabel):
    """One sentence in the lower right corner on what studies have drawn."""

    def __init__(self, canvas: QWidget) -> None:
        super().__init__(canvas)
        self._canvas = canvas
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAccessibleName("What is drawn")
        self.setAutoFillBackground(True)
        self.setContentsMargins(8, 4, 8, 4)
        self.hide()

    def tell(self, sentence: str) -> None:
        """Show a sentence, or nothing."""
        if sentence != self.text():
            self.setText(sentence)
            self.place()
        self.setVisible(bool(sentence))

    def recolour(self, theme: Theme) -> None:
        """Take the theme's colours."""
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.Window, theme.field)
        palette.setColor(QPalette.ColorRole.WindowText, theme.ink)
        self.setPalette(palette)

    def place(self) -> None:
        """Lie in the parent's lower right corner, clear of the scale bar."""
        wanted = min(self.fontMetrics().horizontalAdvance(self.text()) + 24, _LEGEND)
        high = max(self.heightForWidth(wanted), 24)
        left = self._canvas.width() - wanted - 12
        self.setGeometry(left, self._canvas.height() - high - 10, wanted, high)


class ScaleBar(QWidget):
    """How long one strong grid step is."""

    def __init__(self, canvas: QWidget) -> None:
        super().__init__(canvas)
        self._canvas = canvas
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._text = ""
        self._length = 0.0
        self._theme: Theme | None = None

    def show_scale(self, pixels_per_mm: float, units: Units, theme: Theme) -> None:
        """Fit the bar to the scale in force."""
        step = grid_steps(pixels_per_mm, units)[1]
        shown, unit = (step / INCH, "in") if units == "inch" else (step, "mm")
        self._text, self._length, self._theme = f"{shown:g} {unit}", step * pixels_per_mm, theme
        self.setToolTip(f"Grid: {self._text}")
        self.resize(round(self._length) + 80, 24)
        self.place()
        self.update()

    def place(self) -> None:
        """Lie in the parent's lower left corner."""
        self.move(14, self._canvas.height() - 34)

    def paintEvent(self, event: QPaintEvent) -> None:
        """A measured bar with its length beside it."""
        if self._theme is None:
            return
        painter = QPainter(self)
        painter.setPen(pen(self._theme.faint_ink, WIDE))
        painter.drawLine(QPointF(1.0, 14.0), QPointF(1.0 + self._length, 14.0))
        painter.setPen(pen(self._theme.faint_ink, NARROW))
        for x in (1.0, 1.0 + self._length):
            painter.drawLine(QPointF(x, 9.0), QPointF(x, 19.0))
        painter.drawText(QPointF(self._length + 9.0, 18.0), self._text)
