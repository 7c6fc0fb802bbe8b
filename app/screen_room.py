"""How much room the screen has for a window: small ones are asked to make do."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QSize
from PySide6.QtWidgets import QWidget

_USUAL = QSize(1000, 680)
"""Pixels of a window below which not everything can stand side by side."""
_TITLE = QSize(16, 40)
"""Pixels that the desktop's frame takes around a window, about."""


def fitted(window: QWidget, wish: QSize) -> QSize:
    """The size that a window wishes for, or what its screen has."""
    return wish.boundedTo(window.screen().availableGeometry().size() - _TITLE)


def middle(window: QWidget) -> QPoint:
    """Where a window has to stand to be wholly on its screen, with its frame."""
    room = window.screen().availableGeometry()
    left = room.left() + (room.width() - window.width() - _TITLE.width()) // 2
    top = room.top() + (room.height() - window.height() - _TITLE.height()) // 2
    return QPoint(max(left, room.left()), max(top, room.top()))


def is_small(window: QWidget) -> bool:
    """Whether a window has too little room for everything to stand side by side."""
    return window.size() != window.size().expandedTo(_USUAL)
