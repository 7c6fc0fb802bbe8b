"""What every one-line field shares: when its entry is taken, given up, or left to the window."""

from typing import TypeGuard

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QLineEdit

from app.redo_keys import is_redo


class FieldLine(QLineEdit):
    """A line that says when it is entered, finished (by Return or by leaving) and given up."""

    entered = Signal()
    finished = Signal()
    escaped = Signal()

    own_keys: tuple[Qt.Key, ...] = (Qt.Key.Key_Escape,)
    """Keys that are the line's even where they are commands of the window."""

    def finish(self) -> None:
        """Have the entry taken now, as on Return."""
        self.finished.emit()

    def event(self, event: QEvent) -> bool:
        """Keep the line's own keys; leave undo to the window with no typing to take back."""
        if is_undo(event):
            event.setAccepted(self.isModified())
            return self.isModified()
        if _is_asked(event) and event.key() in self.own_keys:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Finish on Return, give up on Escape; neither may close a dialog around the line."""
        if event.key() == Qt.Key.Key_Escape:
            self.escaped.emit()
        elif is_redo(event):
            self.redo()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
            self.finished.emit()
            event.accept()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell first, so that what is selected now is the text that the line then has."""
        self.entered.emit()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Finish on leaving; to open the line's own menu is no leaving."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.finished.emit()


def is_undo(event: QEvent) -> bool:
    """Whether a widget is asked if undo or redo is for it and not for the window."""
    return _is_asked(event) and (event.matches(QKeySequence.StandardKey.Undo) or is_redo(event))


def _is_asked(event: QEvent) -> TypeGuard[QKeyEvent]:
    return event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent)
