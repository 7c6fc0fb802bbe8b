"""Paces the words and numbers of the window while a hand moves things.

Nobody reads a number that changes more often than eight times a second. What is drawn follows
every step of a drag; texts follow at this pace, some views with each step, so that their painting
is part of the step's own and every step gets its picture in about the same time.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer, Signal

from app.document import Document

PACE = 125
"""Milliseconds in which every view is shown once while a gesture runs."""
PAUSE = 25
"""Milliseconds without a step after which the hand holds still."""
NUMBERS = "numbers"
"""The word under which the panels that tell the same readings follow."""
QUICK_FROM = 1.5
"""Device pixels per pixel from which a gesture is drawn unsmoothed: broad pens are dear."""


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
        self._told = 0.0
        self._due = 0.0
        self._turn = QTimer(self, singleShot=True)
        self._turn.timeout.connect(self._show_next)
        document.rested.connect(self._show_waiting)

    def follow(self, show: Callable[[], object], together: str = "") -> None:
        """Have `show`, a method of a view, called when there is news; till the view is gone.

        Those that follow under one word are shown in the same turn, so that they never disagree.
        """
        view = next((each for each in self._views if together and each.word == together), None)
        if view is None:
            view = _View(together, self)
            self._views.append(view)
        view.due.connect(show)
        view.weight += 1

    @property
    def waiting(self) -> bool:
        """Whether some view does not show the last news yet."""
        return bool(self._waiting)

    def tell(self) -> None:
        """There is news."""
        self._waiting.extend(view for view in self._views if view not in self._waiting)
        if not self._document.in_gesture:
            self._show_waiting()
            return
        now = time.monotonic()
        shows = sum(view.weight for view in self._views)
        self._due += min(1000.0 * (now - self._told), PAUSE) * shows / PACE
        self._told = now
        while self._due >= 1.0 and self._waiting:
            self._due -= self._waiting[0].weight
            self._show_next()
        if self._waiting:
            self._turn.start(PAUSE)

    def _show_next(self) -> None:
        self._waiting.popleft().due.emit()
        if self._waiting:
            self._turn.start(PACE // len(self._views))
        else:
            self._due = 0.0
            self._turn.stop()
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

    def __init__(self, word: str, parent: QObject) -> None:
        super().__init__(parent)
        self.word = word
        self.weight = 0
