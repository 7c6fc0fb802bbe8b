"""The keys that do again what was undone: the desktop's own, and Ctrl+Y on every desktop."""

from __future__ import annotations

from PySide6.QtGui import QKeyEvent, QKeySequence

_EVERYWHERE = QKeySequence("Ctrl+Y")


def redo_keys() -> list[QKeySequence]:
    """All of them, the one that is shown in menus first."""
    own = QKeySequence.keyBindings(QKeySequence.StandardKey.Redo)
    return own if _EVERYWHERE in own else [*own, _EVERYWHERE]


def is_redo(event: QKeyEvent) -> bool:
    """Whether a key is one of them."""
    return QKeySequence(event.keyCombination()) in redo_keys()
