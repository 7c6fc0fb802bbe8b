"""The whole program killed in the middle of unsaved work, and started again."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from app.main import open_window
from app.settings import Settings, data_folder
from app.window import MainWindow
from solver import files
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import moved, project

ROOT = Path(__file__).resolve().parent.parent.parent
WORKING = """
import sys
from pathlib import Path
from app.main import make_application, open_window
from app.settings import Settings
from tests.app.projects_for_tests import moved
application = make_application()
window = open_window(Settings(), Path(sys.argv[1]))
window.show()
document = window.session.document
document.apply(moved(document.design), "move grip")
window.autosave.write()
print("kept", flush=True)
application.exec()
"""


@pytest.fixture
def killed(tmp_path: Path, own_home: Path) -> Path:
    """The file that a killed program had unsaved changes of."""
    path = tmp_path / "lever.throwover"
    files.save(project(), path)
    program = subprocess.Popen(
        [sys.executable, "-c", WORKING, str(path)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=os.environ,
        text=True,
    )
    assert program.stdout is not None
    assert program.stdout.readline() == "kept\n"
    program.kill()
    program.wait()
    program.stdout.close()
    return path


def started(keep: Keeper, qapp: QApplication) -> MainWindow:
    window = keep(open_window(Settings(), None))
    window.offer_recovery()
    return window


def test_the_next_start_brings_the_work_back(
    killed: Path, keep: Keeper, qapp: QApplication
) -> None:
    window = started(keep, qapp)
    notice = window.notices.notice
    assert notice is not None
    assert "lever.throwover" in notice.sentence
    window.notices.answer(0)
    document = window.session.document
    assert document.path == killed
    assert document.project == files.load(killed).with_design(moved(project().design))
    assert document.modified
    document.save()
    assert list((data_folder() / "recovery").iterdir()) == []


def test_work_thrown_away_is_not_offered_again(
    killed: Path, keep: Keeper, qapp: QApplication
) -> None:
    started(keep, qapp).notices.answer(1)
    assert started(keep, qapp).notices.notice is None
    assert files.load(killed) == project()


def test_work_left_for_later_is_offered_again(
    killed: Path, keep: Keeper, qapp: QApplication
) -> None:
    started(keep, qapp).notices.answer(2)
    assert started(keep, qapp).notices.notice is not None
