"""The process that does the work: takes jobs from its input, gives answers to its output.

It is started with nothing but two pipes. A thread listens, so that a cancelled job is heard of
while one runs, and so that the process ends at once when the program on the other side has
gone, however it went.
"""

from __future__ import annotations

import importlib
import os
import queue
import sys
import threading
from collections.abc import Callable, Mapping
from typing import Any, BinaryIO

from app.background.call import Call
from app.background.frames import packed, read
from solver.errors import ThrowoverError

_KINDER = 5
"""Steps of priority that the work gives way to the window by, where the system knows them."""


class _Line:
    """The pipes: jobs in, answers out, and the numbers of jobs that are not wanted any more."""

    def __init__(self, source: BinaryIO, sink: BinaryIO) -> None:
        self.jobs: queue.SimpleQueue[tuple[int, str, tuple[Any, ...]]] = queue.SimpleQueue()
        self.cancelled: set[int] = set()
        self._source, self._sink = source, sink
        threading.Thread(target=self._listen, daemon=True).start()

    def tell(self, word: str, ticket: int, value: object) -> None:
        """Send one value: of the words "progress", "done", "failed" and "cancelled"."""
        try:
            self._sink.write(packed((word, ticket, value)))
            self._sink.flush()
        except OSError:
            os._exit(0)

    def _listen(self) -> None:
        while True:
            try:
                word, *what = read(self._source)
            except (EOFError, OSError):
                os._exit(0)
            if word == "cancel":
                self.cancelled.add(what[0])
            else:
                self.jobs.put((what[0], what[1], what[2]))


def main(table: str) -> None:
    """Work until the other side goes away. `table` is the module that has the `JOBS`."""
    source, sink = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    # Nothing that some library prints may get between the answers.
    sys.stdout = sys.stderr
    os.dup2(2, 1)
    if hasattr(os, "nice"):
        os.nice(_KINDER)
    line = _Line(source, sink)
    jobs = importlib.import_module(table).JOBS
    while True:
        ticket, kind, arguments = line.jobs.get()
        _work(line, jobs, ticket, kind, arguments)


def _work(
    line: _Line,
    jobs: Mapping[str, Callable[..., object]],
    ticket: int,
    kind: str,
    arguments: tuple[Any, ...],
) -> None:
    call = Call(
        progress=lambda value: line.tell("progress", ticket, value),
        cancelled=lambda: ticket in line.cancelled,
    )
    try:
        answer = jobs[kind](call, *arguments)
    except ThrowoverError as problem:
        line.tell("failed", ticket, str(problem))
    except Exception as mishap:  # the program goes on and says so
        told = f"{type(mishap).__name__}: {mishap}".rstrip(": ")
        line.tell("failed", ticket, f"This could not be worked out ({told}).")
    else:
        line.tell("done", ticket, answer)


if __name__ == "__main__":
    main(sys.argv[1])
