"""Recovery files: written, removed, found again, and never in the way."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QObject

from app.autosave import Autosave, discard, leftovers
from app.document import Document
from tests.app.projects_for_tests import moved, project
from tests.app.waiting import Wait

ROOT = Path(__file__).resolve().parent.parent.parent
DYING = """
import os, sys
from pathlib import Path
from PySide6.QtCore import QCoreApplication
from app.autosave import Autosave
from app.document import Document
from tests.app.projects_for_tests import moved, project
application = QCoreApplication([])
document = Document(project())
keeper = Autosave(document, Path(sys.argv[1]))
document.save(Path(sys.argv[2]))
document.apply(moved(document.design), "move grip")
keeper.write()
print("written", flush=True)
sys.stdin.read()
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "recovery"


@pytest.fixture
def document(qapp: QObject) -> Document:
    return Document(project())


def test_a_change_is_on_disk_a_moment_later(document: Document, folder: Path, wait: Wait) -> None:
    keeper = Autosave(document, folder)
    document.apply(moved(document.design), "move grip")
    wait.until(keeper.file.exists)
    keeper.clear()
    assert list(folder.iterdir()) == []


def test_our_own_file_is_not_a_leftover(document: Document, folder: Path) -> None:
    keeper = Autosave(document, folder)
    document.apply(moved(document.design), "move grip")
    keeper.write()
    assert keeper.file.exists()
    assert leftovers(folder) == ()
    keeper.clear()


def test_a_saved_or_undone_document_needs_none(
    document: Document, folder: Path, tmp_path: Path
) -> None:
    keeper = Autosave(document, folder)
    document.apply(moved(document.design), "move grip")
    keeper.write()
    document.undo()
    assert not keeper.file.exists()
    document.redo()
    keeper.write()
    assert keeper.file.exists()
    document.save(tmp_path / "lever.throwover")
    assert not keeper.file.exists()


def test_a_gesture_is_not_kept_until_it_is_done(document: Document, folder: Path) -> None:
    keeper = Autosave(document, folder)
    document.preview(moved(document.design))
    keeper.write()
    assert not keeper.file.exists()
    document.cancel()


def test_the_work_of_a_killed_program_comes_back(
    document: Document, folder: Path, tmp_path: Path
) -> None:
    path = tmp_path / "lever.throwover"
    program = subprocess.Popen(
        [sys.executable, "-c", DYING, str(folder), str(path)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ,
    )
    assert program.stdout is not None
    assert program.stdin is not None
    assert program.stdout.readline() == "written\n"
    assert leftovers(folder) == (), "the program still runs"
    program.kill()
    program.wait()
    program.stdout.close()
    program.stdin.close()
    (left,) = leftovers(folder)
    assert left.path == path
    document.open(path)
    assert left.project == document.project.with_design(moved(document.design))
    discard(left)
    assert leftovers(folder) == ()


def test_what_cannot_be_read_is_set_aside(folder: Path) -> None:
    folder.mkdir()
    for name, text in (
        ("cut", '{"format": "throwover recovery 1", "path": nul'),
        ("other", "[]"),
        ("newer", '{"format": "throwover recovery 99"}'),
        ("bad", '{"format": "throwover recovery 1", "path": 7, "project": {"variants": 1}}'),
        ("deep", "[" * 100_000),
    ):
        (folder / f"{name}.recovery").write_text(text, encoding="utf-8")
    (folder / "binary.recovery").write_bytes(bytes(range(256)))
    assert leftovers(folder) == ()
    assert len(list(folder.glob("*.unreadable"))) == 6
    assert list(folder.glob("*.recovery")) == []


def test_a_folder_that_cannot_be_used_is_told_once(document: Document, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    keeper = Autosave(document, tmp_path / "file" / "recovery")
    told: list[str] = []
    keeper.failed.connect(told.append)
    document.apply(moved(document.design), "move grip")
    keeper.write()
    keeper.write()
    (sentence,) = told
    assert "save often" in sentence
    keeper.clear()
