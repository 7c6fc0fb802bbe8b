"""A strip above the sketch with one sentence, and buttons where there is something to decide.

It says what went wrong with a file, or offers work that a killed program left, without standing in
the way of the sketch as a dialog would.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from app.theme import current, theme_source


@dataclass(frozen=True, slots=True)
class Notice:
    """One sentence, and what can be done about it: button texts and what they do."""

    sentence: str
    choices: tuple[tuple[str, Callable[[], None]], ...] = ()


class NoticeStrip(QFrame):
    """Shows the oldest notice that is not answered yet; hidden while there is none."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._waiting: list[Notice] = []
        self._buttons: list[QPushButton] = []
        self._label = QLabel(self)
        self._label.setWordWrap(True)
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._label.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._label.setAccessibleName("Notice")
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(12, 6, 8, 6)
        self._row.addWidget(self._label, 1)
        self.setAutoFillBackground(True)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        theme_source.changed.connect(self._colour)
        self._colour()
        self.hide()

    @property
    def notice(self) -> Notice | None:
        """The one shown."""
        return self._waiting[0] if self._waiting else None

    def put(self, notice: Notice) -> None:
        """Show a notice, after those that wait; one that says the same is not repeated."""
        if all(notice.sentence != other.sentence for other in self._waiting):
            self._waiting.append(notice)
            self._show()

    def say(self, sentence: str) -> None:
        """Show a sentence that only needs to be read."""
        self.put(Notice(sentence))

    def answer(self, choice: int | None = None) -> None:
        """Do the choice of that number (none: just close) and go on to the next notice."""
        if self._waiting:
            notice = self._waiting.pop(0)
            self._show()
            if choice is not None:
                notice.choices[choice][1]()

    def _show(self) -> None:
        for button in self._buttons:
            self._row.removeWidget(button)
            button.hide()
            button.deleteLater()
        self._buttons = []
        notice = self.notice
        self.setVisible(notice is not None)
        if notice is None:
            return
        self._label.setText(notice.sentence)
        for index, (text, _) in enumerate(notice.choices):
            self._add(text, index)
        if not notice.choices:
            self._add("Close", None)

    def _add(self, text: str, choice: int | None) -> None:
        button = QPushButton(text, self)
        button.clicked.connect(lambda: self.answer(choice))
        self._row.addWidget(button)
        button.show()
        self._buttons.append(button)

    def _colour(self) -> None:
        theme = current()
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.Window, theme.field)
        palette.setColor(QPalette.ColorRole.WindowText, theme.ink)
        self.setPalette(palette)
