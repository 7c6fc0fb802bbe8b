"""A box for the builder's notes."""

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from app.field_line import is_undo
from app.redo_keys import is_redo


class NoteBox(QPlainTextEdit):
    """Some lines of text; `edited` carries them on leaving, when they changed."""

    edited = Signal(object)

    def __init__(
        self, name: str, tip: str = "", lines: int = 4, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._value = ""
        self.setAccessibleName(name)
        self.setAccessibleDescription(tip)
        self.setToolTip(tip)
        self.setTabChangesFocus(True)
        around = 2 * (round(self.document().documentMargin()) + self.frameWidth())
        self.setFixedHeight(self.fontMetrics().lineSpacing() * lines + around)

    def set_value(self, value: str) -> None:
        """Follow a change from elsewhere; what the user is typing stays."""
        if value != self._value:
            typing = self.document().isModified()
            self._value = value
            if not typing:
                self._write()

    def load(self, value: str) -> None:
        """Show another design's notes."""
        self._value = value
        self._write()

    def finish(self) -> None:
        """Take what is typed."""
        typed = self.toPlainText()
        if typed != self._value:
            self._value = typed
            self.document().setModified(False)
            self.edited.emit(typed)

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the window with no typing to take back."""
        if is_undo(event):
            event.setAccepted(self.document().isModified())
            return self.document().isModified()
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Give up what was typed on Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self._write()
        elif is_redo(event):
            self.redo()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Leaving takes what was typed."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.finish()

    def _write(self) -> None:
        if self.toPlainText() != self._value:
            self.setPlainText(self._value)
        self.document().setModified(False)
