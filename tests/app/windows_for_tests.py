"""The window on a project of the tests, and hands for its dialogs."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QMessageBox, QWidget

from app.settings import Settings
from app.window import MainWindow
from tests.app.projects_for_tests import session
from tests.app.waiting import Wait


def window(home: Path, key: str = "extension") -> MainWindow:
    """A window, not shown, on a project from a layout; all that it keeps is under `home`."""
    shown = session(key)
    made = MainWindow(shown, Settings(home / "settings.ini"), home / "recovery")
    shown.setParent(made)
    return made


def shown_window(home: Path, wait: Wait, key: str = "extension") -> MainWindow:
    """The same on screen, with its panels filled."""
    made = window(home, key)
    made.resize(1280, 800)
    made.show()
    made.activateWindow()
    wait.until(lambda: all(dock.widget() for dock in made.panels.docks.values()))
    wait.until(made.isActiveWindow)
    return made


class Hand:
    """Does something to the next dialog that opens; `met` is whether one did."""

    def __init__(self, act: Callable[[QWidget], None]) -> None:
        self.met = False
        self._act = act
        self._look = QTimer()
        self._look.timeout.connect(self._meet)
        self._look.start(5)

    def _meet(self) -> None:
        dialog = QApplication.activeModalWidget()
        if dialog is not None and dialog.isVisible():
            self._look.stop()
            self.met = True
            self._act(dialog)

    def gone(self) -> bool:
        """Whether it met its dialog; it looks for no other after this."""
        self._look.stop()
        return self.met


def press(button: QMessageBox.StandardButton) -> Hand:
    """Press a button of the next message box."""

    def act(dialog: QWidget) -> None:
        assert isinstance(dialog, QMessageBox)
        dialog.button(button).click()

    return Hand(act)


def choose_file(path: Path | None) -> Hand:
    """Type a file name into the next file dialog and accept it; None: close it."""

    def act(dialog: QWidget) -> None:
        assert isinstance(dialog, QFileDialog)
        if path is None:
            dialog.reject()
            return
        line = dialog.findChild(QLineEdit, "fileNameEdit")
        assert isinstance(line, QLineEdit)
        line.setText(str(path))
        dialog.accept()

    return Hand(act)
