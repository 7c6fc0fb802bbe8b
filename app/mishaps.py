"""What happens when the program itself is at fault: the work is kept, and one sentence says so."""

from __future__ import annotations

import contextlib
import sys
import time
import traceback
from pathlib import Path
from types import TracebackType

from app.window import MainWindow

_LARGEST = 1_000_000
"""Bytes beyond which the log begins anew."""


class Mishaps:
    """Takes errors that nothing else caught; `install` puts it in Python's place for them."""

    def __init__(self, window: MainWindow, log: Path) -> None:
        self._window = window
        self._log = log

    def install(self) -> None:
        """Take every uncaught error from now on."""
        sys.excepthook = self.take

    def take(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Keep the unsaved work, note the error in the log, tell the user where."""
        if not issubclass(kind, Exception):
            sys.__excepthook__(kind, error, trace)
            return
        self._note("".join(traceback.format_exception(kind, error, trace)))
        self._window.autosave.write()
        self._window.notices.say(
            f"Throwover made a mistake of its own ({kind.__name__}). Your work is kept; "
            f"if something looks wrong, save it and start again. What happened is in {self._log}."
        )

    def _note(self, text: str) -> None:
        with contextlib.suppress(OSError):
            self._log.parent.mkdir(parents=True, exist_ok=True)
            full = self._log.exists() and self._log.stat().st_size > _LARGEST
            with self._log.open("w" if full else "a", encoding="utf-8") as log:
                log.write(f"{time.strftime('%Y-%m-%d %H:%M:%S')}\n{text}\n")
