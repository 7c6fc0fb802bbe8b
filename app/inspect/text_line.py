"""A line for a name."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.field_line import FieldLine


class TextLine(FieldLine):
    """A name; `edited` carries it once, on Return or on leaving, and only when it changed."""

    edited = Signal(object)

    def __init__(self, name: str, tip: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._value = ""
        self.setAccessibleName(name)
        self.setAccessibleDescription(tip)
        self.setToolTip(tip)
        self.setMinimumWidth(64)
        self.finished.connect(self._take)
        self.escaped.connect(self._write)

    def set_value(self, value: str) -> None:
        """Follow a change from elsewhere; what the user is typing stays."""
        if value != self._value:
            self._value = value
            if not self.isModified():
                self._write()

    def load(self, value: str) -> None:
        """Show another thing's name."""
        self._value = value
        self._write()

    def _write(self) -> None:
        if self.text() != self._value:
            self.setText(self._value)
            self.setCursorPosition(0)
        self.setModified(False)

    def _take(self) -> None:
        typed = self.text().strip()
        if not self.isModified() or typed == self._value:
            self._write()
            return
        self.setModified(False)
        self.edited.emit(typed)
