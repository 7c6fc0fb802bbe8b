"""What holds for every test: its own home, and nothing left over or said that nobody expected.

Nothing in here needs Qt, so the solver's tests run where Qt is not installed; the Qt part is
tests/app/conftest.py.
"""

import logging
import multiprocessing
import os
import re
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

# Read when Qt loads; whoever wants to watch the windows sets it to xcb.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# A busy machine is not a wrong result; and what must pass before others get it, must not be luck.
settings.register_profile("house", deadline=None, print_blob=True, derandomize="CI" in os.environ)
settings.load_profile("house")

_GRACE = 2.0
"""Seconds that a thread or process, told to end, gets to do so."""


class Expected:
    """What a test says will be logged; everything else at warning level or above fails it."""

    def __init__(self) -> None:
        self._patterns: list[str] = []

    def expect(self, pattern: str) -> None:
        """The test passes only if a message matching this regular expression comes."""
        self._patterns.append(pattern)

    def surprises(self, messages: list[str]) -> list[str]:
        """Messages that nobody expected, and expected ones that never came."""
        wild = [text for text in messages if not any(re.search(p, text) for p in self._patterns)]
        missing = [p for p in self._patterns if not any(re.search(p, text) for text in messages)]
        return wild + [f"never came: {pattern}" for pattern in missing]


class _Listener(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(f"{record.name}: {record.levelname}: {record.getMessage()}")


@pytest.fixture(autouse=True)
def own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home folder that only this test sees, also for settings and recovery files."""
    home = tmp_path_factory.mktemp("home")
    for name in ("HOME", "USERPROFILE"):
        monkeypatch.setenv(name, str(home))
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME"):
        monkeypatch.setenv(name, str(home / name.lower()))
    for name in ("APPDATA", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(home / name.lower()))
    monkeypatch.setenv("THROWOVER_HOME", str(home / "throwover"))
    return home


@pytest.fixture(autouse=True)
def logged() -> Iterator[Expected]:
    """Fail the test on a log record at warning level or above that it did not expect."""
    expected, listener = Expected(), _Listener()
    root = logging.getLogger()
    root.addHandler(listener)
    yield expected
    root.removeHandler(listener)
    surprises = expected.surprises(listener.messages)
    assert not surprises, f"logged: {surprises}"


@pytest.fixture(autouse=True)
def nothing_running() -> Iterator[None]:
    """Fail the test on a thread or child process that it leaves running."""
    before = set(threading.enumerate())
    yield
    threads = [thread for thread in threading.enumerate() if thread not in before]
    for thread in threads:
        thread.join(_GRACE)
    left: list[str] = [thread.name for thread in threads if thread.is_alive()]
    children = multiprocessing.active_children()
    for child in children:
        child.join(_GRACE)
        if child.is_alive():
            left.append(child.name)
            child.terminate()
    assert not left, f"left running: {left}"
