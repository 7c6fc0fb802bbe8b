"""A line in which arrow keys and wheel ask for steps."""

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from app.field_line import FieldLine

_QUIET_MS = 350
"""The wheel has no release: a turn ends when it has been quiet for so long."""
_UP_DOWN = (Qt.Key.Key_Up, Qt.Key.Key_Down)


class SteppedLine(FieldLine):
    """`stepped` says how many steps to go: ten with Shift, a tenth with Ctrl."""

    stepped = Signal(float)
    step_ended = Signal()

    own_keys = (*FieldLine.own_keys, *_UP_DOWN)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._notches = 0
        self._quiet = QTimer(self)
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(_QUIET_MS)
        self._quiet.timeout.connect(self.step_ended)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step on the vertical arrows."""
        if event.key() in _UP_DOWN:
            sign = 1.0 if event.key() == Qt.Key.Key_Up else -1.0
            self.stepped.emit(sign * _stride(event.modifiers()))
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """End a run of steps when the arrow key comes up."""
        if event.key() in _UP_DOWN and not event.isAutoRepeat():
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

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Nothing is left to wait for after leaving."""
        self._quiet.stop()
        super().focusOutEvent(event)


def _stride(modifiers: Qt.KeyboardModifier) -> float:
    if modifiers & Qt.KeyboardModifier.ShiftModifier:
        return 10.0
    if modifiers & Qt.KeyboardModifier.ControlModifier:
        return 0.1
    return 1.0
