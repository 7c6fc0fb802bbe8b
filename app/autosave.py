"""Work that is not saved yet, kept on disk in case the program or the machine dies.

A changed document has one recovery file in the program's data folder, written a moment after
the change and removed when the document is saved or given up. A lock beside it tells a running
program's file from one that a killed program left behind.
"""

from __future__ import annotations

import contextlib
import json
import uuid
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QLockFile, QObject, QTimer, Signal

from app.document import Document
from solver import files
from solver.errors import FileProblem
from solver.project import Project

DELAY = 2000
"""Milliseconds from a change to its recovery file."""
_SUFFIX = ".recovery"
_FORMAT = "throwover recovery 1"


@dataclass(frozen=True, slots=True)
class Leftover:
    """What a killed program left: the project, and the file that it belongs to (None: unnamed)."""

    file: Path
    project: Project
    path: Path | None
    saved: float
    """When it was written, seconds since the epoch."""


class Autosave(QObject):
    """Keeps the recovery file of one document."""

    failed = Signal(str)
    """The recovery file could not be written: a sentence, once per run of failures."""

    def __init__(self, document: Document, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._folder = folder
        self._file = folder / f"{uuid.uuid4().hex}{_SUFFIX}"
        self._lock: QLockFile | None = None
        self._failing = False
        self._timer = QTimer(self, singleShot=True, interval=DELAY)
        self._timer.timeout.connect(self.write)
        document.changed.connect(self._changed)
        document.modified_changed.connect(self._changed)

    @property
    def file(self) -> Path:
        """Where the recovery file is while there is something to recover."""
        return self._file

    def write(self) -> None:
        """Write the recovery file now, if the document has something that its file lacks."""
        self._timer.stop()
        if not self._document.modified:
            self.clear()
            return
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            self._claim()
            record = _encode(self._document.committed, self._document.path)
            files.write_whole(self._file, record.encode())
        except (OSError, FileProblem) as problem:
            if not self._failing:
                reason = getattr(problem, "strerror", None) or str(problem).rstrip(".")
                self.failed.emit(
                    f"Unsaved work cannot be kept safe in {self._folder} ({reason}): save often."
                )
            self._failing = True
        else:
            self._failing = False

    def clear(self) -> None:
        """Remove the recovery file: saved, or given up by the user."""
        self._timer.stop()
        if self._lock is not None:
            with contextlib.suppress(OSError):
                self._file.unlink(missing_ok=True)
            self._lock.unlock()
            self._lock = None

    def _changed(self) -> None:
        """Restarting the timer during a drag would put the file off for ever."""
        if not self._document.modified:
            self.clear()
        elif not self._timer.isActive():
            self._timer.start()

    def _claim(self) -> None:
        if self._lock is None:
            lock = _lock(self._file)
            if not lock.tryLock(0):
                raise OSError("another program holds the recovery file")
            self._lock = lock


def leftovers(folder: Path) -> tuple[Leftover, ...]:
    """What killed programs left in `folder`, the latest first.

    A file that cannot be read is set aside under another name, so that it is neither lost nor
    asked about again.
    """
    found = []
    for file in folder.glob(f"*{_SUFFIX}"):
        lock = _lock(file)
        if not lock.tryLock(0):
            continue
        lock.unlock()
        try:
            project, path = _decode(file.read_text(encoding="utf-8"))
            found.append(Leftover(file, project, path, file.stat().st_mtime))
        except (OSError, ValueError, RecursionError, FileProblem):
            with contextlib.suppress(OSError):
                file.rename(file.with_suffix(".unreadable"))
    return tuple(sorted(found, key=lambda leftover: -leftover.saved))


def discard(leftover: Leftover) -> None:
    """Remove what was brought back or is not wanted."""
    with contextlib.suppress(OSError):
        leftover.file.unlink(missing_ok=True)


def _lock(file: Path) -> QLockFile:
    """The lock of a recovery file; stale only when the process that holds it is gone."""
    lock = QLockFile(str(file.with_suffix(".lock")))
    lock.setStaleLockTime(0)
    return lock


def _encode(project: Project, path: Path | None) -> str:
    record = {
        "format": _FORMAT,
        "path": None if path is None else str(path.absolute()),
        "project": files.encode(project),
    }
    return json.dumps(record)


def _decode(text: str) -> tuple[Project, Path | None]:
    record = json.loads(text)
    if not isinstance(record, dict) or record.get("format") != _FORMAT:
        raise ValueError("not a recovery file")
    path = record.get("path")
    return files.decode(record.get("project")), Path(path) if isinstance(path, str) else None
