"""Figures for the window: one drag frame, event to painted, and the time to the first picture."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PySide6.QtWidgets import QApplication

from app.main import make_application, open_window
from app.settings import Settings
from app.window import MainWindow
from tests.bench.hand import Hand, Painted, settle
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
            settle(application)
            found.append(_drag_row(application, window, name, point))
            window.session.document.undo_stack.setClean()
            window.close()
            window.deleteLater()
            settle(application)
        found.append(_start_row(Path(folder)))
    return found


def _drag_row(application: QApplication, window: MainWindow, name: str, point: str) -> Row:
    hand, painted = Hand(application, window, point), Painted(window)
    hand.press()
    settle(application)
    times = []
    for frame in range(FRAMES):
        began = time.perf_counter()
        hand.move(8.0 * np.sin(frame / 9.0), 6.0 * np.sin(frame / 7.0))
        painted.wait(application)
        times.append(time.perf_counter() - began)
    hand.release()
    settle(application)
    middle, late = np.percentile(times[20:], [50, 95])
    ratio = window.canvas.devicePixelRatioF()
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
