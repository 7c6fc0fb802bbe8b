"""The copy key in a list that has the focus: the list's own, before the window's shortcuts."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QKeyEvent, QKeySequence


def is_copy(event: QKeyEvent) -> bool:
    """Whether a key means copying on this desktop."""
    return event.matches(QKeySequence.StandardKey.Copy)


def keeps_copy(event: QEvent) -> bool:
    """Accept, and tell of, the question whether the copy key is a shortcut of the window."""
    asked = event.type() == QEvent.Type.ShortcutOverride
    if asked and isinstance(event, QKeyEvent) and is_copy(event):
        event.accept()
        return True
    return False
