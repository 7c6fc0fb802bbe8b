"""What holds for every test that uses Qt, and the helpers that such tests share."""

import gc
import re
import sys
from collections.abc import Generator, Iterator
from pathlib import Path
from types import TracebackType

import pytest
from PySide6.QtCore import (
    QCoreApplication,
    QEvent,
    QMessageLogContext,
    QtMsgType,
    qInstallMessageHandler,
)
from PySide6.QtWidgets import QApplication

from tests.app.leftovers import Keeper, identities, leftovers
from tests.app.waiting import Wait
from tests.conftest import Expected

_SCREENSHOTS = Path(__file__).resolve().parent.parent.parent / "build" / "failed-tests"

# The invisible platform says this of every window that has a least size, and of every menu; it has
# neither window frames nor a keyboard.
_HARMLESS = re.compile(
    r"This plugin does not support (propagateSizeHints\(\)|raise\(\)|grabbing the keyboard)"
)


@pytest.fixture(scope="session")
def qapp() -> QApplication:
    """The one application object of the run."""
    existing = QApplication.instance()
    app = existing if isinstance(existing, QApplication) else QApplication(["throwover"])
    app.setQuitOnLastWindowClosed(False)
    return app


@pytest.fixture(autouse=True)
def qt_said(qapp: QApplication) -> Iterator[Expected]:
    """Fail the test on a Qt message that it did not expect, or an error inside a slot."""
    expected, messages, errors = Expected(), list[str](), list[str]()

    def note(kind: QtMsgType, _where: QMessageLogContext, text: str) -> None:
        if not _HARMLESS.search(text):
            messages.append(f"{kind.name}: {text}")

    def note_error(
        kind: type[BaseException], value: BaseException, trace: TracebackType | None
    ) -> None:
        errors.append(f"{kind.__name__}: {value}{_place(trace)}")

    # An error in a slot does not stop the test by itself: Qt hands it to this hook and goes on.
    hook, sys.excepthook = sys.excepthook, note_error
    handler = qInstallMessageHandler(note)
    yield expected
    qInstallMessageHandler(handler)
    sys.excepthook = hook
    assert not errors, f"raised inside Qt: {errors}"
    surprises = expected.surprises(messages)
    assert not surprises, f"Qt said: {surprises}"


def _place(trace: TracebackType | None) -> str:
    while trace and trace.tb_next:
        trace = trace.tb_next
    return f" ({trace.tb_frame.f_code.co_filename}:{trace.tb_lineno})" if trace else ""


@pytest.fixture(autouse=True)
def nothing_left(qapp: QApplication, qt_said: Expected) -> Iterator[None]:
    """Fail the test on a top-level widget, running QThread or active QTimer that it leaves."""
    # What exists by now is set aside, so that the look afterwards is short.
    gc.freeze()
    before = identities(qapp.topLevelWidgets())
    yield
    _settle()
    left = leftovers(qapp, before)
    assert not left, f"left over: {left}"


def _settle() -> None:
    """Let what was told to go away go."""
    gc.collect()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    QCoreApplication.processEvents()
    gc.collect()


@pytest.fixture
def keep(nothing_left: None) -> Iterator[Keeper]:
    """`keep(widget)` gives the widget back, and closes and deletes it after the test."""
    keeper = Keeper()
    yield keeper
    keeper.close()


@pytest.fixture
def wait(qapp: QApplication) -> Wait:
    """Waits for conditions and signals while Qt goes on working; never sleeps."""
    return Wait()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Keep a picture of every window on show when a test fails."""
    report = yield
    if call.when == "call" and call.excinfo and isinstance(QApplication.instance(), QApplication):
        _SCREENSHOTS.mkdir(parents=True, exist_ok=True)
        name = re.sub(r"\W+", "-", item.nodeid)
        for number, window in enumerate(QApplication.topLevelWidgets()):
            if window.isVisible():
                window.grab().save(str(_SCREENSHOTS / f"{name}-{number}.png"))
    return report
