"""Opens the window."""

from __future__ import annotations

import gc
import signal
import sys
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QTimer
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication

from app import examples
from app.assets import asset
from app.document import Document
from app.mishaps import Mishaps
from app.screen import has_screen
from app.session import Session
from app.settings import Settings, data_folder
from app.theme import theme_source
from app.window import MainWindow
from solver import files
from solver.errors import FileProblem, ThrowoverError
from solver.layouts import LAYOUTS
from solver.project import Project, Variant


def run(file: Path | None) -> int:
    """Open the window with `file`, or with a worked example; the process's exit code.

    FileProblem where there is no screen to open it on.
    """
    if not has_screen():
        named = "" if file is None else f"{file} "
        raise FileProblem(
            "There is no screen to open a window on; "
            f"`throwover portrait {named}--into FOLDER` writes picture, curves and readings "
            "instead."
        )
    application = make_application()
    settings = Settings()
    theme_source.choose(settings.theme)
    window = open_window(settings, file)
    Mishaps(window, data_folder() / "mishaps.log").install()
    window.show()
    QTimer.singleShot(0, window, window.offer_recovery)
    gc.freeze()  # all that stands for good: looking through it halts a drag for two frames
    signal.signal(signal.SIGINT, signal.SIG_DFL)  # Ctrl+C in the terminal ends the program
    return application.exec()


def make_application() -> QApplication:
    """The Qt application with the program's name and icon."""
    existing = QApplication.instance()
    if isinstance(existing, QApplication):
        return existing
    QCoreApplication.setApplicationName("throwover")
    application = QApplication(sys.argv[:1])
    application.setApplicationDisplayName("")
    application.setDesktopFileName("throwover")
    icon = icon_file()
    if icon is not None:
        application.setWindowIcon(QIcon(str(icon)))
    return application


def icon_file() -> Path | None:
    """The program's icon; None where it is not installed."""
    try:
        return asset("icon.svg")
    except FileNotFoundError:
        return None


def open_window(settings: Settings, file: Path | None, recovery: Path | None = None) -> MainWindow:
    """The window with a file in it, or with the worked example; not shown yet.

    A file that cannot be used is told about in the window, which then has the example.
    """
    session = Session(Document(first_project(settings)))
    session.set_snap(settings.snap)
    window = MainWindow(session, settings, recovery)
    session.setParent(window)
    session.document.setParent(window)
    if file is not None:
        window.projects.open(file)
    return window


def first_project(settings: Settings) -> Project:
    """What is shown when nothing is asked for: the worked example, else the first layout."""
    example = examples.first_example()
    if example is not None:
        try:
            return files.load(example)
        except ThrowoverError:
            pass  # a damaged installation still opens
    layout = LAYOUTS[0]
    made = Project(layout.title, (Variant("first", layout.build()),), display=settings.display)
    return made.in_units(settings.display.units)
