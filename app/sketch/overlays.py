"""Small widgets that lie on the canvas: the problem strip and the legend of what is drawn."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QLabel, QWidget

from app.theme import Theme

_LEGEND = 250
"""Pixels that the legend is wide at most: it lies in a corner, beside the linkage."""
_VEIL = 245
"""Opacity of the legend's ground, of 255."""


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
        ground = QColor(theme.field)
        # An opaque widget would cut a hole into the canvas, and Qt copies pictures through a
        # clip of several rectangles many times as slowly.
        ground.setAlpha(_VEIL)
        palette.setColor(QPalette.ColorRole.Window, ground)
        palette.setColor(QPalette.ColorRole.WindowText, theme.ink)
        self.setPalette(palette)

    def place(self) -> None:
        """Lie in the parent's lower right corner, clear of the scale bar."""
        wanted = min(self.fontMetrics().horizontalAdvance(self.text()) + 24, _LEGEND)
        high = max(self.heightForWidth(wanted), 24)
        left = self._canvas.width() - wanted - 12
        self.setGeometry(left, self._canvas.height() - high - 10, wanted, high)
