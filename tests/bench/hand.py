"""A hand on the mouse, and an eye on what has been painted."""

from __future__ import annotations

import time

from PySide6.QtCore import QEvent, QObject, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication, QGraphicsView

from app.window import MainWindow

_LONGEST = 5.0
"""Seconds after which a picture counts as never painted."""


class Painted(QObject):
    """Sees whether sketch and curves, which follow every step of a drag, have been painted."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        views = window.findChildren(QGraphicsView)
        self._views = [view.viewport() for view in views if view.isVisible()]
        self._waiting: set[QObject] = set()
        for view in self._views:
            view.installEventFilter(self)

    def wait(self, application: QApplication) -> None:
        """Go on till all of them have been painted once more."""
        self._waiting, began = set(self._views), time.perf_counter()
        while self._waiting:
            application.processEvents()
            if time.perf_counter() - began > _LONGEST:
                raise SystemExit("a step of the drag was not painted")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Note what is painted."""
        if event.type() == QEvent.Type.Paint:
            self._waiting.discard(watched)
        return False


class Hand:
    """Takes a point of the sketch with the mouse and moves it about."""

    def __init__(self, application: QApplication, window: MainWindow, point: str) -> None:
        self._application = application
        self._view = window.canvas.viewport()
        self._start = window.canvas.to_pixel(window.session.places()[point])

    def press(self) -> None:
        """Take the point, and move it far enough to begin a drag."""
        self._send(QEvent.Type.MouseButtonPress, self._start, Qt.MouseButton.LeftButton)
        self.move(9.0, 0.0)

    def move(self, right: float, down: float) -> None:
        """Move the mouse to so many pixels from where it was pressed."""
        at = self._start + QPointF(right, down)
        self._send(QEvent.Type.MouseMove, at, Qt.MouseButton.LeftButton)

    def release(self) -> None:
        """Let go of the point where it was."""
        self._send(QEvent.Type.MouseButtonRelease, self._start, Qt.MouseButton.NoButton)

    def _send(self, kind: QEvent.Type, at: QPointF, held: Qt.MouseButton) -> None:
        moving = kind == QEvent.Type.MouseMove
        button = Qt.MouseButton.NoButton if moving else Qt.MouseButton.LeftButton
        spot = self._view.mapToGlobal(at)
        # With Alt the point is not held by the grid: every step is another place.
        alt = Qt.KeyboardModifier.AltModifier
        self._application.sendEvent(self._view, QMouseEvent(kind, at, spot, button, held, alt))


def settle(application: QApplication, turns: int = 20) -> None:
    """Let what is under way come to its end."""
    for _ in range(turns):
        application.processEvents()
        time.sleep(0.02)
