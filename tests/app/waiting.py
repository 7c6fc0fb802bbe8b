"""Waiting in tests without sleeping: Qt's event loop runs until the thing has happened."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from PySide6.QtCore import QEventLoop, QTimer, SignalInstance


class Wait:
    """Waits for conditions and signals; a thing that never comes fails the test."""

    def until(self, condition: Callable[[], object], seconds: float = 10.0) -> None:
        """Run the event loop until `condition()` is true.

        Raises AssertionError after `seconds`.
        """
        if condition():
            return
        loop = QEventLoop()
        look, deadline = QTimer(), QTimer()
        deadline.setSingleShot(True)
        deadline.timeout.connect(loop.quit)
        look.timeout.connect(lambda: loop.quit() if condition() else None)
        look.start(2)
        deadline.start(round(1000 * seconds))
        loop.exec()
        look.stop()
        deadline.stop()
        assert condition(), f"still not so after {seconds:g} s"

    @contextmanager
    def for_signal(
        self, signal: SignalInstance, seconds: float = 10.0
    ) -> Iterator[list[tuple[object, ...]]]:
        """Do what is in the block, then wait until the signal has come.

        Gives the list of what it carried, one tuple for each time. Raises AssertionError after
        `seconds`.
        """
        came: list[tuple[object, ...]] = []

        def note(*carried: object) -> None:
            came.append(carried)

        signal.connect(note)
        try:
            yield came
            self.until(lambda: came, seconds)
        finally:
            signal.disconnect(note)
