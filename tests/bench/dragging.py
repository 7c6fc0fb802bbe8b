"""Figures for the window: one drag frame, event to painted, and the time to the first picture."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PySide6.QtCore import QEvent, QObject, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication, QGraphicsView

from app.main import make_application, open_window
from app.settings import Settings
from app.sketch.canvas import SketchCanvas
from app.window import MainWindow
from tests.bench.timing import Row, milliseconds

FRAMES = 300

_FIRST_PICTURE = """
import time; start = time.perf_counter()
from pathlib import Path
from PySide6.QtCore import QTimer
from app.main import make_application, open_window
from app.settings import Settings
app = make_application()
window = open_window(Settings(Path("settings.ini")), None, Path("recovery"))
window.resize(1600, 1000)
window.show()
app.processEvents()
print(time.perf_counter() - start)
import os; os._exit(0)
"""


def rows(examples: Path) -> list[Row]:
    """All rows of the window; the examples' names are paths in `examples`."""
    application = make_application()
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for name, point in (
            ("01-sorting-flap", "spring anchor"),
            ("03-diverter-flap", "lever foot"),
        ):
            window = open_window(
                Settings(Path(folder) / "settings.ini"), examples / f"{name}.throwover",
                Path(folder) / "recovery",
            )  # fmt: skip
            window.resize(1600, 1000)
            window.show()
            _settle(application)
            found.append(_drag_row(application, window, name, point))
            window.session.document.undo_stack.setClean()
            window.close()
            window.deleteLater()
            _settle(application)
        found.append(_start_row(Path(folder)))
    return found


class _Painted(QObject):
    """Sees whether sketch and curves, which follow every step of a drag, have been painted."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        views = window.findChildren(QGraphicsView)
        self._views = [view.viewport() for view in views if view.isVisible()]
        self._waiting: set[QObject] = set()
        for view in self._views:
            view.installEventFilter(self)

    def clear(self) -> None:
        """Wait for all of them."""
        self._waiting = set(self._views)

    def all(self) -> bool:
        """Whether all have been painted since."""
        return not self._waiting

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Note what is painted."""
        if event.type() == QEvent.Type.Paint:
            self._waiting.discard(watched)
        return False


def _settle(application: QApplication) -> None:
    for _ in range(20):
        application.processEvents()
        time.sleep(0.02)


def _drag_row(application: QApplication, window: MainWindow, name: str, point: str) -> Row:
    canvas = window.findChild(SketchCanvas)
    assert isinstance(canvas, SketchCanvas)
    place = window.session.places()[point]
    start = canvas.to_pixel(place)
    view = canvas.viewport()

    def mouse(kind: QEvent.Type, at: QPointF, held: Qt.MouseButton) -> None:
        moving = kind == QEvent.Type.MouseMove
        button = Qt.MouseButton.NoButton if moving else Qt.MouseButton.LeftButton
        spot = view.mapToGlobal(at)
        event = QMouseEvent(kind, at, spot, button, held, Qt.KeyboardModifier.AltModifier)
        application.sendEvent(view, event)

    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    painted = _Painted(window)
    mouse(QEvent.Type.MouseButtonPress, start, left)
    mouse(QEvent.Type.MouseMove, start + QPointF(9.0, 0.0), left)  # far enough to begin a drag
    _settle(application)
    times = []
    for frame in range(FRAMES):
        at = start + QPointF(8.0 * np.sin(frame / 9.0), 6.0 * np.sin(frame / 7.0))
        painted.clear()
        began = time.perf_counter()
        mouse(QEvent.Type.MouseMove, at, left)
        while not painted.all():
            application.processEvents()
        times.append(time.perf_counter() - began)
    mouse(QEvent.Type.MouseButtonRelease, start, none)
    _settle(application)
    middle, late = np.percentile(times[20:], [50, 95])
    ratio = canvas.devicePixelRatioF()
    return Row(
        f"one drag frame, event to painted, 1600 × 1000 at {ratio:.0%}, {name}",
        f"{milliseconds(middle)}, 95 % within {milliseconds(late)}",
        "≤ 8.3 ms, 95 % within 16 ms",
    )


def _start_row(folder: Path) -> Row:
    times = []
    for _ in range(5):
        done = subprocess.run(
            [sys.executable, "-c", _FIRST_PICTURE], cwd=folder, check=True, text=True,
            capture_output=True, env=os.environ | {"PYTHONPATH": str(Path.cwd())},
        )  # fmt: skip
        times.append(float(done.stdout))
    return Row("start to first picture, warm", milliseconds(float(np.median(times))), "≤ 0.6 s")
