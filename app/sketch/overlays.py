"""Small widgets that lie on the canvas: the problem strip and the legend of what is drawn."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QLabel, QWidget

from app.sketch.boxes import Rect
from app.sketch.room import Room, emptiest
from app.theme import Theme

_LEGEND = 250
"""Pixels that the legend is wide at most."""
_ASIDE = 12
"""Pixels from the legend to the canvas's edges."""
_PLACES = 6
"""Four corners, and the middles of the right and the left side."""
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
    """A few words at an edge on what studies have drawn: in the place where it covers least."""

    def __init__(self, canvas: QWidget) -> None:
        super().__init__(canvas)
        self._canvas = canvas
        self._chosen = 0
        self._under = 0.0
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

    def box(self) -> Rect:
        """Left, top, width and height on the canvas, pixels."""
        return (float(self.x()), float(self.y()), float(self.width()), float(self.height()))

    def settle(self, room: Room, under: float) -> None:
        """Choose the place; at the lower left keep `under` pixels free for the scale bar."""
        self._under = under
        self._chosen = emptiest(room, [self._at(place) for place in range(_PLACES)])
        self.place()

    def place(self) -> None:
        """Lie in the place chosen."""
        self.setGeometry(*(round(number) for number in self._at(self._chosen)))

    def _at(self, place: int) -> Rect:
        """The box in a corner, lower right, lower left, upper right, upper left, or amid a side."""
        room = self._canvas.width() - 2 * _ASIDE
        words = max(map(self.fontMetrics().horizontalAdvance, self.text().split("\n")))
        width = max(min(words + 24, _LEGEND, room), 40)
        height = max(self.heightForWidth(width), 24)
        low = self._canvas.height() - height - 10.0
        right = float(self._canvas.width() - width - _ASIDE)
        aside, amid = float(_ASIDE), max((self._canvas.height() - height) / 2.0, float(_ASIDE))
        left, top = (
            (right, low), (aside, low - self._under), (right, aside), (aside, aside),
            (right, amid), (aside, amid),
        )[place]  # fmt: skip
        return (left, top, float(width), float(height))
