"""Whether a panel is on screen. Qt calls the panel behind a tab visible; nobody sees it there."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtWidgets import QDockWidget, QWidget


class Seen(QObject):
    """Watches a panel, in a dock or not; owned by it."""

    changed = Signal(bool)
    """The panel has come on screen or gone from it."""

    def __init__(self, panel: QWidget) -> None:
        super().__init__(panel)
        self._panel = panel
        self._in_front = True
        self._seen = False
        dock = panel.parentWidget()
        if isinstance(dock, QDockWidget):
            # Before the first change of its own, what a dock shows is told by where it lies.
            self._in_front = not dock.visibleRegion().isEmpty()
            dock.visibilityChanged.connect(self._come_in_front)
        panel.installEventFilter(self)

    def __bool__(self) -> bool:
        """Whether the panel is on screen."""
        return self._seen

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Note that the panel is shown or hidden."""
        if event.type() in (QEvent.Type.Show, QEvent.Type.Hide):
            self._look(shown=event.type() == QEvent.Type.Show)
        return False

    def _come_in_front(self, in_front: bool) -> None:
        self._in_front = in_front
        self._look(shown=self._panel.isVisible())

    def _look(self, shown: bool) -> None:
        seen = shown and self._in_front
        if seen != self._seen:
            self._seen = seen
            self.changed.emit(seen)
