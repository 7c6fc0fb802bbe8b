"""The rows around the page of the preview: what to show, how large, and where to put it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget


class Buttons(QWidget):
    """Buttons by key; `wanted` carries the key of the one pressed. They live in its parent."""

    wanted = Signal(str)

    _ROW = (
        ("fit", "Fit", "Show the whole page (Ctrl+0)."),
        ("smaller", "−", "Show the page smaller."),
        ("larger", "+", "Show the page larger."),
        ("true", "True size", "Show the page as large as it is on paper, as far as known."),
        ("write", "Write a file…", "Write this paper to a file."),
        ("print", "Print…", "Print this paper at true size."),
    )

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.hide()
        self._zoom = QLabel(parent)
        self.buttons: dict[str, QPushButton] = {}
        for key, text, tip in self._ROW:
            button = QPushButton(text, parent)
            button.setToolTip(tip)
            button.setAccessibleName(tip.rstrip("."))
            button.setAutoDefault(False)
            button.clicked.connect(lambda _=False, key=key: self.wanted.emit(key))
            if len(text) == 1:
                button.setFixedWidth(36)
            self.buttons[key] = button

    def row(self, chooser: QWidget) -> QHBoxLayout:
        """The chooser, and where to put the paper."""
        made = QHBoxLayout()
        made.addWidget(chooser)
        made.addStretch(1)
        for key in ("write", "print"):
            made.addWidget(self.buttons[key])
        return made

    def zoom_row(self) -> QHBoxLayout:
        """How large to show the page."""
        made = QHBoxLayout()
        for key in ("fit", "smaller"):
            made.addWidget(self.buttons[key])
        made.addWidget(self._zoom)
        for key in ("larger", "true"):
            made.addWidget(self.buttons[key])
        made.addStretch(1)
        return made

    def show_zoom(self, zoom: float) -> None:
        """Tell how large the page is shown."""
        self._zoom.setText(f"{100.0 * zoom:.0f} %")

    def enable(self, able: bool) -> None:
        """Whether there are pages to be written."""
        for key in ("write", "print"):
            self.buttons[key].setEnabled(able)
