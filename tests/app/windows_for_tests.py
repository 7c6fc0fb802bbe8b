"""The window on a project of the tests."""

from pathlib import Path

from app.settings import Settings
from app.window import MainWindow
from tests.app.projects_for_tests import session


def window(home: Path, key: str = "extension") -> MainWindow:
    """A window, not shown, on a project from a layout; all that it keeps is under `home`."""
    shown = session(key)
    made = MainWindow(shown, Settings(home / "settings.ini"), home / "recovery")
    shown.setParent(made)
    return made
