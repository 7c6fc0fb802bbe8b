"""Figures for a drag with bands and go zone on: its frames, and how soon these follow."""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

import numpy as np
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from app.findings import Findings, findings_of
from app.main import make_application, open_window
from app.session import Ref
from app.settings import Settings
from app.window import MainWindow
from solver.number_names import with_number
from tests.bench.timing import Row, milliseconds

FRAMES = 300
CASES = (("01-sorting-flap", "spring anchor"), ("03-diverter-flap", "lever foot"))


def rows(examples: Path) -> list[Row]:
    """All rows; the examples' names are paths in `examples`."""
    application = make_application()
    found: list[Row] = []
    with tempfile.TemporaryDirectory() as folder:
        for name, point in CASES:
            window = open_window(
                Settings(Path(folder) / "settings.ini"), examples / f"{name}.throwover",
                Path(folder) / "recovery",
            )  # fmt: skip
            window.resize(1600, 1000)
            window.show()
            _settle(application, 20)
            found += _case(application, window, name, point)
            window.session.document.undo_stack.setClean()
            window.close()
            window.deleteLater()
            _settle(application, 20)
    return found


def _case(application: QApplication, window: MainWindow, name: str, point: str) -> list[Row]:
    findings = findings_of(window.session)
    findings.switch("bands", True)
    findings.switch("zone", True)
    window.session.select(Ref("point", point))
    _until_idle(application, findings)
    delays = _Delays(findings)
    drag = _drag(application, window, point, delays)
    _until_idle(application, findings)
    step = _step(application, window, delays)
    _until_idle(application, findings)
    return [
        Row(
            f"the same with go zone and bands on, {name}",
            f"{milliseconds(np.percentile(drag, 50))}, 95 % within "
            f"{milliseconds(np.percentile(drag, 95))}",
            "95 % within 16 ms",
        ),
        Row(
            f"bands follow a drag after, {name}",
            milliseconds(delays.middle("spread", "drag")),
            "≤ 150 ms",
        ),
        Row(
            f"one step of another number, with go zone and bands, {name}",
            f"{milliseconds(np.percentile(step, 50))}, 95 % within "
            f"{milliseconds(np.percentile(step, 95))}",
            "95 % within 16 ms",
        ),
        Row(
            f"go zone follows it after, {name}",
            milliseconds(delays.middle("zone", "step")),
            "≤ 150 ms",
        ),
    ]


class _Delays:
    """How old the design is that an answer is of, when it arrives."""

    def __init__(self, findings: Findings) -> None:
        self.phase = ""
        self._asked: dict[int, float] = {}
        self._delays: dict[tuple[str, str], list[float]] = {}
        self._findings = findings
        findings.asked.connect(self._note)
        findings.answered.connect(self._take)

    def middle(self, study: str, phase: str) -> float:
        """The median delay of a study in a phase, seconds; NaN without any."""
        return float(np.median(self._delays.get((study, phase), [np.nan])))

    def _note(self, study: str, ticket: int) -> None:
        self._asked[ticket] = time.perf_counter()

    def _take(self, study: str, ticket: int) -> None:
        self._delays.setdefault((study, self.phase), []).append(
            time.perf_counter() - self._asked[ticket]
        )


def _drag(
    application: QApplication, window: MainWindow, point: str, delays: _Delays
) -> list[float]:
    """Times of the frames of a drag of one point, at sixty a second."""
    delays.phase = "drag"
    view = window.canvas.viewport()
    start = window.canvas.to_pixel(window.session.places()[point])

    def mouse(kind: QEvent.Type, at: QPointF, held: Qt.MouseButton) -> None:
        moving = kind == QEvent.Type.MouseMove
        button = Qt.MouseButton.NoButton if moving else Qt.MouseButton.LeftButton
        event = QMouseEvent(
            kind, at, view.mapToGlobal(at), button, held, Qt.KeyboardModifier.AltModifier
        )
        application.sendEvent(view, event)

    left = Qt.MouseButton.LeftButton
    mouse(QEvent.Type.MouseButtonPress, start, left)
    times = []
    for frame in range(FRAMES):
        at = start + QPointF(8.0 * np.sin(frame / 9.0), 6.0 * np.sin(frame / 7.0))
        began = time.perf_counter()
        mouse(QEvent.Type.MouseMove, at, left)
        times.append(_frame(application, began))
    mouse(QEvent.Type.MouseButtonRelease, start, Qt.MouseButton.NoButton)
    return times[20:]


def _step(application: QApplication, window: MainWindow, delays: _Delays) -> list[float]:
    """Times of the frames while another point's number is stepped, as with a held key."""
    delays.phase = "step"
    document = window.session.document
    grip = document.design.grip
    path, design = f"points.{grip}.x", document.design
    times = []
    for frame in range(FRAMES // 3):
        began = time.perf_counter()
        off = design.point(grip).x + 5.0 * np.sin(frame / 9.0)
        document.preview(with_number(design, path, float(off)))
        times.append(_frame(application, began))
    document.cancel()
    return times[5:]


def _frame(application: QApplication, began: float) -> float:
    """Paint what is due; then wait for the next frame as an event loop does."""
    application.processEvents()
    application.processEvents()
    taken = time.perf_counter() - began
    while time.perf_counter() - began < 1.0 / 60.0:
        time.sleep(0.001)
    # What came in meanwhile is worked off in the next frame's time, and counts there.
    return taken


def _until_idle(application: QApplication, findings: Findings) -> None:
    until = time.perf_counter() + 20.0
    while findings.busy and time.perf_counter() < until:
        application.processEvents()
        time.sleep(0.005)


def _settle(application: QApplication, turns: int) -> None:
    for _ in range(turns):
        application.processEvents()
        time.sleep(0.02)
