"""Adding variants: from a starting layout, or from another project's file."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QFileDialog, QMenu, QWidget

from app.examples import SUFFIX
from app.variants.desk import Desk
from solver.layouts import LAYOUTS

ARROW = 16
"""Pixels for the arrow of a button with a menu, for which the style leaves none."""


class StayingMenu(QMenu):
    """A menu of things to check that stays open, so that several can be checked."""

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Check what was clicked."""
        action = self.actionAt(event.position().toPoint())
        if not _check(action):
            super().mouseReleaseEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Check what the space bar is pressed on; Enter checks it and closes."""
        if event.key() != Qt.Key.Key_Space or not _check(self.activeAction()):
            super().keyPressEvent(event)


def _check(action: QAction | None) -> bool:
    """Turn a checkable action over, if it is one."""
    if action is None or not action.isCheckable():
        return False
    if action.isEnabled():
        action.trigger()
    return True


def fill_layouts(menu: QMenu, desk: Desk) -> None:
    """Offer every starting layout as a new variant."""
    for layout in LAYOUTS:
        action = menu.addAction(layout.title)
        action.setToolTip(layout.sentence)
        action.setStatusTip(layout.sentence)
        action.triggered.connect(partial(desk.add_layout, layout))


def add_file(parent: QWidget, desk: Desk, folder: Path | None = None) -> None:
    """Ask for another project's file and add its variants."""
    name, _ = QFileDialog.getOpenFileName(
        parent,
        "Add the variants of another project",
        str(folder or Path.cwd()),
        f"Throwover projects (*{SUFFIX});;All files (*)",
    )
    if name:
        desk.add_file(Path(name))
