"""A line edit in which arrow keys and wheel ask for steps."""

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QWheelEvent
from PySide6.QtWidgets import QLineEdit, QWidget

_QUIET_MS = 350
"""The wheel has no release: a turn ends when it has been quiet for so long."""


class SteppedLine(QLineEdit):
    """A line edit that hands arrows, wheel, Escape and leaving to its field."""

    stepped = Signal(float)
    step_ended = Signal()
    escaped = Signal()
    left = Signal()
    entered = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._notches = 0
        self._quiet = QTimer(self)
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(_QUIET_MS)
        self._quiet.timeout.connect(self.step_ended)

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the window while there is no typing to take back."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and not self.isModified()
            and (
                event.matches(QKeySequence.StandardKey.Undo)
                or event.matches(QKeySequence.StandardKey.Redo)
            )
        ):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step on the vertical arrows, give up on Escape."""
        match event.key():
            case Qt.Key.Key_Up:
                self.stepped.emit(_stride(event.modifiers()))
            case Qt.Key.Key_Down:
                self.stepped.emit(-_stride(event.modifiers()))
            case Qt.Key.Key_Escape:
                self.escaped.emit()
            case _:
                super().keyPressEvent(event)
                if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                    event.accept()  # or a dialog around it would close

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """End a run of steps when the arrow key comes up."""
        if event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down) and not event.isAutoRepeat():
            self.step_ended.emit()
        super().keyReleaseEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Step on the wheel, only with the focus: scrolling past must change nothing."""
        if not self.hasFocus():
            event.ignore()
            return
        self._notches += event.angleDelta().y()
        steps = int(self._notches / 120)
        if steps:
            self._notches -= 120 * steps
            self.stepped.emit(steps * _stride(event.modifiers()))
            self._quiet.start()
        event.accept()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell the field first, so that what is selected now is the text it then has."""
        self.entered.emit()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell the field; a popup (the context menu) is no leaving."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self._quiet.stop()
            self.left.emit()


def _stride(modifiers: Qt.KeyboardModifier) -> float:
    if modifiers & Qt.KeyboardModifier.ShiftModifier:
        return 10.0
    if modifiers & Qt.KeyboardModifier.ControlModifier:
        return 0.1
    return 1.0
