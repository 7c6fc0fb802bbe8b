"""Paces the words and numbers of the window while a hand moves things.

Nobody reads a number that changes more often than thirty times a second. What is drawn follows
every step of a drag; texts follow at this pace, and one view after the other in the pauses
between the steps, which leaves the drag its frames.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer, Signal

from app.document import Document

PACE = 33
"""Least milliseconds between two showings of one view while a gesture runs."""


class Calm(QObject):
    """Passes news on to views: at once, or while the document is in a gesture one by one.

    The last news always comes through: at the latest when the gesture ends.
    """

    settled = Signal()
    """Every view shows the last news."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._views: list[_View] = []
        self._waiting: deque[_View] = deque()
        self._turn = QTimer(self, singleShot=True)
        self._turn.timeout.connect(self._show_next)
        document.rested.connect(self._show_waiting)

    def follow(self, show: Callable[[], object]) -> None:
        """Have `show`, a method of a view, called when there is news; till the view is gone."""
        view = _View(self)
        view.due.connect(show)
        self._views.append(view)

    def tell(self) -> None:
        """There is news."""
        self._waiting.extend(view for view in self._views if view not in self._waiting)
        if not self._document.in_gesture:
            self._show_waiting()
        elif self._waiting and not self._turn.isActive():
            self._turn.start(PACE // len(self._views))

    def _show_next(self) -> None:
        self._waiting.popleft().due.emit()
        if self._waiting:
            self._turn.start(PACE // len(self._views))
        else:
            self.settled.emit()

    def _show_waiting(self) -> None:
        self._turn.stop()
        if self._waiting:
            views, self._waiting = self._waiting, deque()
            for view in views:
                view.due.emit()
            self.settled.emit()


class _View(QObject):
    """Where one view hangs on; Qt lets go of it when the view goes."""

    due = Signal()
