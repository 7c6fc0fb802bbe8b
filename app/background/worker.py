"""The window's end of the line to the process that works beside it.

The process is started when it is first needed and kept. Of each kind of job only the newest
waits; one job is under way at a time. Its answer is given although a newer one may be wanted
by then: while a hand drags, there would be none otherwise.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import shiboken6
from PySide6.QtCore import QCoreApplication, QObject, QProcess, QProcessEnvironment, Signal

import app
from app.background.frames import Splitter, packed

TABLE = "app.background.jobs"
"""The module whose `JOBS` the process can do."""
_END = 2000
"""Milliseconds that a killed process gets to be gone."""
_AGAIN = "The process that works out studies stopped; it was started again."
_GONE = (
    "The process that works out studies stopped again, so there are no studies until Throwover "
    "is started anew; your work is safe."
)


@dataclass(frozen=True, slots=True)
class _Job:
    ticket: int
    kind: str
    arguments: tuple[Any, ...]


class Worker(QObject):
    """Asks for jobs (see `app.background.jobs`) and tells of their answers by signals."""

    answered = Signal(str, int, object)
    """Kind, ticket and value of a job that is done."""
    failed = Signal(str, int, str)
    """Kind, ticket and one sentence."""
    progressed = Signal(str, int, object)
    """Kind, ticket and what the job has to show so far."""
    trouble = Signal(str)
    """One sentence for the user: the process itself went away."""

    def __init__(self, parent: QObject | None = None, table: str = TABLE) -> None:
        super().__init__(parent)
        self._table = table
        self._process: QProcess | None = None
        self._splitter = Splitter()
        self._waiting: dict[str, _Job] = {}
        self._doing: _Job | None = None
        self._dropped = False
        self._last = 0
        self._stops = 0
        application = QCoreApplication.instance()
        if application is not None:
            application.aboutToQuit.connect(self.close)

    @property
    def process_id(self) -> int:
        """The process's number; 0 while there is none."""
        return self._process.processId() if self._process is not None else 0

    @property
    def busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._doing is not None or bool(self._waiting)

    def ask(self, kind: str, *arguments: object) -> int:
        """Have a job done; one of the same kind that still waits is forgotten. Its ticket."""
        self._last += 1
        # A place in a queue is kept by who asks anew, so that no kind of job starves another.
        self._waiting[kind] = _Job(self._last, kind, arguments)
        self._go_on()
        return self._last

    def cancel(self, kind: str) -> None:
        """Have no answer to what was asked of that kind so far."""
        self._waiting.pop(kind, None)
        if self._doing is not None and self._doing.kind == kind:
            self._dropped = True
            if self._process is not None:
                self._process.write(packed(("cancel", self._doing.ticket)))

    def hurry(self, kind: str) -> None:
        """Have the job of that kind under way end soon, with what it has by then."""
        if self._doing is not None and self._doing.kind == kind and self._process is not None:
            self._process.write(packed(("cancel", self._doing.ticket)))

    def close(self) -> None:
        """End the process, at once, whatever it does; the next job would start another."""
        self._waiting.clear()
        self._doing = None
        process, self._process = self._process, None
        if process is not None:
            process.blockSignals(True)
            _end(process)
            process.deleteLater()

    def _go_on(self) -> None:
        if self._doing is not None or not self._waiting:
            return
        if self._stops > 1:
            self._refuse()
            return
        if self._process is None:
            self._start()
        kind = next(iter(self._waiting))
        self._doing, self._dropped = self._waiting.pop(kind), False
        assert self._process is not None
        job = self._doing
        self._process.write(packed(("work", job.ticket, job.kind, job.arguments)))

    def _start(self) -> None:
        process = QProcess(self)
        place = QProcessEnvironment.systemEnvironment()
        # The work is one thread's: more would take the cores that the window needs.
        for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
            place.insert(name, "1")
        paths = [str(Path(app.__path__[0]).parent), place.value("PYTHONPATH", "")]
        separator = ";" if sys.platform == "win32" else ":"
        place.insert("PYTHONPATH", separator.join(filter(None, paths)))
        process.setProcessEnvironment(place)
        process.setStandardErrorFile(QProcess.nullDevice())
        process.readyReadStandardOutput.connect(self._read)
        process.finished.connect(self._stopped)
        process.errorOccurred.connect(self._not_started)
        self.destroyed.connect(lambda: _end(process))
        self._process, self._splitter = process, Splitter()
        # With -P, a folder `app` where the user happens to be is not taken for ours.
        process.start(sys.executable, ["-P", "-m", "app.background.child", self._table])

    def _read(self) -> None:
        process = self._process
        if process is None:
            return
        piece = bytes(process.readAllStandardOutput().data())
        for word, ticket, value in self._splitter.feed(piece):
            self._take(word, ticket, value)

    def _take(self, word: str, ticket: int, value: Any) -> None:  # noqa: ANN401
        job = self._doing
        if job is None or job.ticket != ticket:
            return
        if word == "progress":
            if not self._dropped:
                self.progressed.emit(job.kind, ticket, value)
            return
        dropped, self._doing = self._dropped, None
        self._stops = 0
        self._go_on()
        if not dropped:
            told = self.answered if word == "done" else self.failed
            told.emit(job.kind, ticket, value)

    def _not_started(self, error: QProcess.ProcessError) -> None:
        if error == QProcess.ProcessError.FailedToStart:
            self._stopped()

    def _stopped(self) -> None:
        """The process went away by itself."""
        process, self._process = self._process, None
        if process is not None:
            process.deleteLater()
        job, self._doing = self._doing, None
        self._stops += 1
        self.trouble.emit(_AGAIN if self._stops == 1 else _GONE)
        if job is not None and not self._dropped:
            if self._stops == 1:
                self._waiting = {job.kind: job} | self._waiting
            else:
                self.failed.emit(job.kind, job.ticket, _GONE)
        self._go_on()

    def _refuse(self) -> None:
        """Say for all that waits that nothing will come of it."""
        waiting, self._waiting = list(self._waiting.values()), {}
        for job in waiting:
            self.failed.emit(job.kind, job.ticket, _GONE)


def _end(process: QProcess) -> None:
    if shiboken6.isValid(process) and process.state() != QProcess.ProcessState.NotRunning:
        process.kill()
        process.waitForFinished(_END)
