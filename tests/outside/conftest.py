"""One application for the checks that write papers, of the kind that the app's tests need too."""

import os

import pytest
from PySide6.QtWidgets import QApplication


@pytest.fixture(scope="session", autouse=True)
def application() -> QApplication:
    """The one application object of the run; a process cannot have another kind later."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    existing = QApplication.instance()
    return existing if isinstance(existing, QApplication) else QApplication(["throwover"])
