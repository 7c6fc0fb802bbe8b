"""Figures for a drag with bands and go zone on: its frames, and how soon these follow."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from PySide6.QtWidgets import QApplication

from app.findings import Findings, findings_of
from app.main import make_application, open_window
from app.session import Ref
from app.settings import Settings
from app.window import MainWindow
from solver.number_names import with_number
from tests.bench.hand import Hand, Painted, settle
from tests.bench.timing import Row, fixed_work, milliseconds, within

FRAMES = 120
"""Of each drag; the first ones are left out, while the studies begin."""
ROUNDS = 4
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
            settle(application)
            found += _case(application, window, name, point)
            window.session.document.undo_stack.setClean()
            window.close()
            window.deleteLater()
            settle(application)
    return found


def _case(application: QApplication, window: MainWindow, name: str, point: str) -> list[Row]:
    findings = findings_of(window.session)
    delays = _Delays(findings)
    window.session.select(Ref("point", point))
    work: list[float] = []
    bare: list[float] = []
    drag: list[float] = []
    for _ in range(ROUNDS):  # by turns, for what else the machine does changes by the minute
        work += fixed_work()
        for shading, times in ((False, bare), (True, drag)):
            findings.switch("bands", shading)
            findings.switch("zone", shading)
            _until_idle(application, findings)
            times += _drag(application, window, point, delays)
            _until_idle(application, findings)
    step = _step(application, window, delays)
    _until_idle(application, findings)
    share = np.percentile(drag, (50, 95)) / np.percentile(bare, (50, 95))
    return [
        Row(f"a fixed piece of work, in the same run as {name}", within(work), "–"),
        Row(f"a drag frame without go zone and bands, {name}", within(bare), "95 % within 16 ms"),
        Row(
            f"the same with go zone and bands on, {name}",
            f"{within(drag)}; {share[0]:.2f} and {share[1]:.2f} × as long",
            "95 % within 16 ms",
        ),
        Row(
            f"bands follow a drag after, {name}",
            milliseconds(delays.middle("spread", "drag")),
            "≤ 150 ms",
        ),
        Row(
            f"one step of another number, with go zone and bands, {name}",
            within(step),
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
    """Times of the frames of a drag of one point."""
    delays.phase = "drag"
    hand = Hand(application, window, point)
    hand.press()

    def move(frame: int) -> None:
        hand.move(8.0 * np.sin(frame / 9.0), 6.0 * np.sin(frame / 7.0))

    times = _frames(application, window, move, FRAMES)
    hand.release()
    return times[20:]


def _step(application: QApplication, window: MainWindow, delays: _Delays) -> list[float]:
    """Times of the frames while another point's number is stepped, as with a held key."""
    delays.phase = "step"
    document = window.session.document
    grip = document.design.grip
    path, design = f"points.{grip}.x", document.design

    def step(frame: int) -> None:
        off = design.point(grip).x + 5.0 * np.sin((frame + 1) / 9.0)
        document.preview(with_number(design, path, float(off)))

    times = _frames(application, window, step, FRAMES)
    document.cancel()
    return times[5:]


def _frames(
    application: QApplication, window: MainWindow, act: Callable[[int], None], count: int
) -> list[float]:
    """How long after an act was due its picture was there; sixty acts a second are due.

    Between two acts the event loop goes on, as it does under a hand: texts and answers of
    studies are worked off then. An act that has to wait for them, or for the picture before it,
    is late by that. Acts that come due meanwhile become one, as moves of a mouse do.
    """
    painted = Painted(window)
    times: list[float] = []
    began, frame = time.perf_counter(), 0
    while len(times) < count:
        while time.perf_counter() < began + frame / 60.0:
            application.processEvents()
            time.sleep(0.0005)
        act(frame)
        painted.wait(application)
        now = time.perf_counter() - began
        times.append(now - frame / 60.0)
        frame = max(frame + 1, int(now * 60.0))
    painted.deleteLater()
    return times


def _until_idle(application: QApplication, findings: Findings) -> None:
    until = time.perf_counter() + 20.0
    while findings.busy and time.perf_counter() < until:
        application.processEvents()
        time.sleep(0.005)
