"""A portrait of a project without a screen: picture of the window, curves and readings."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from PySide6.QtCore import (
    QBuffer,
    QIODevice,
    QMessageLogContext,
    QtMsgType,
    qInstallMessageHandler,
)
from PySide6.QtWidgets import QApplication

from app import report
from app.main import first_project, make_application, open_window
from app.settings import Settings
from app.targets import made_folder
from app.theme import theme_source
from solver.analysis import analyse
from solver.files import write_whole
from solver.project import Project

_SIZE = (1600, 1000)
_NOISE = "This plugin does not support"


def portrait(project: Project | None, folder: Path) -> str:
    """Write the portrait of a project (None: the worked example) into `folder`.

    The text says what it shows and what was written. DesignProblem for a design that cannot be
    solved; FileProblem for a folder that cannot be written to.
    """
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    qInstallMessageHandler(_pass_on)
    application = make_application()
    with tempfile.TemporaryDirectory() as home:
        settings = Settings(Path(home) / "settings.ini")
        shown = project or first_project(settings)
        analysis = analyse(shown.design, display=shown.display)
        readings = report.as_text(shown, analysis)
        _write(folder, "readings.txt", readings.encode())
        _write(folder, "readings.json", report.as_json(shown, analysis).encode())
        _write(folder, "curves.csv", report.as_csv(analysis, shown.display).encode())
        _write(folder, "window.png", _picture(application, shown, settings, Path(home)))
    return f"{readings}\nIn {folder}: window.png, curves.csv, readings.txt, readings.json\n"


def _picture(application: QApplication, project: Project, settings: Settings, home: Path) -> bytes:
    """The window with the project in it, as PNG."""
    theme_source.choose("light")
    window = open_window(settings, None, home)
    window.session.document.new(project)
    window.resize(*_SIZE)
    window.show()
    window.panels.reset()
    window.fill()
    application.processEvents()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    window.grab().save(buffer, "PNG")
    window.close()
    return bytes(buffer.data().data())


def _pass_on(kind: QtMsgType, where: QMessageLogContext, text: str) -> None:
    """Keep back what the platform without a screen says about not having one."""
    if not text.startswith(_NOISE):
        sys.stderr.write(f"{text}\n")


def _write(folder: Path, name: str, content: bytes) -> None:
    write_whole(made_folder(folder) / name, content)
