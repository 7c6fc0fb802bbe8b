"""Paces the words and numbers of the window while a hand moves things.

Nobody reads a number that changes more often than thirty times a second. What is drawn follows
every step of a drag; texts follow at this pace, which leaves the drag its frames.
"""

from __future__ import annotations

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

from app.document import Document

PACE = 33
"""Least milliseconds between two showings while a gesture runs."""


class Calm(QObject):
    """Passes news on at once, or while the document is in a gesture at most every `PACE` ms.

    The last news always comes through: at the latest when the gesture ends.
    """

    due = Signal()
    """Texts are to be shown anew."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._since = QElapsedTimer()
        # Twice the pace, so that the next step of a drag, if there is one, takes it along.
        self._late = QTimer(self, singleShot=True, interval=2 * PACE)
        self._late.timeout.connect(self._pass_on)
        document.rested.connect(self._catch_up)

    def tell(self) -> None:
        """There is news."""
        soon = self._since.isValid() and self._since.elapsed() < PACE
        if self._document.in_gesture and soon:
            self._late.start()
        else:
            self._pass_on()

    def _catch_up(self) -> None:
        if self._late.isActive():
            self._pass_on()

    def _pass_on(self) -> None:
        self._late.stop()
        self._since.start()
        self.due.emit()
