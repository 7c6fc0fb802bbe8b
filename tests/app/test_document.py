"""The document: its values, its history, its file."""

from dataclasses import replace
from pathlib import Path

import pytest

from app.document import Document
from solver import files
from solver.errors import FileProblem
from solver.project import Display
from tests.app.projects_for_tests import moved, project


@pytest.fixture
def document(qapp: object) -> Document:
    return Document(project())


def test_an_edit_is_one_command_that_undo_takes_back(document: Document) -> None:
    before = document.project
    document.apply(moved(document.design), "move grip")
    after = document.project
    assert after != before
    assert document.undo_stack.count() == 1
    assert document.undo_stack.undoText() == "move grip"
    document.undo()
    assert document.project is before
    document.redo()
    assert document.project is after


def test_an_edit_that_changes_nothing_is_no_command(document: Document) -> None:
    document.apply(document.design, "move grip")
    assert document.undo_stack.count() == 0
    assert not document.modified


def test_a_gesture_is_one_command_however_many_steps_it_had(document: Document) -> None:
    before = document.project
    shown = []
    document.changed.connect(lambda: shown.append(document.project))
    for step in (1.0, 2.0, 3.0):
        document.preview(moved(before.design, step))
    assert document.undo_stack.count() == 0
    assert not document.modified
    assert document.committed is before
    document.commit("drag grip")
    assert document.project == before.with_design(moved(before.design, 3.0))
    assert document.undo_stack.count() == 1
    assert len(shown) == 3
    document.undo()
    assert document.project is before


def test_a_step_to_the_same_place_tells_nobody(document: Document) -> None:
    document.preview(moved(document.design))
    told = []
    document.changed.connect(lambda: told.append(1))
    document.preview(document.design)
    assert told == []


def test_a_cancelled_gesture_leaves_no_trace(document: Document) -> None:
    before = document.project
    document.preview(moved(before.design))
    document.cancel()
    assert document.project is before
    assert document.undo_stack.count() == 0
    assert not document.in_gesture


def test_a_gesture_that_comes_back_is_no_command(document: Document) -> None:
    before = document.project
    document.preview(moved(before.design))
    document.preview(before.design)
    document.commit("drag grip")
    assert document.undo_stack.count() == 0
    assert not document.in_gesture
    assert document.project is before


def test_undo_during_a_gesture_drops_the_gesture_alone(document: Document) -> None:
    document.apply(moved(document.design), "move grip")
    kept = document.project
    document.preview(moved(document.design, 9.0))
    document.undo()
    assert document.project is kept
    assert document.undo_stack.canUndo()


def test_an_edit_ends_the_gesture_and_undoes_to_its_beginning(document: Document) -> None:
    before = document.project
    document.preview(moved(before.design))
    document.apply_project(replace(document.project, display=Display("inch")), "units")
    assert not document.in_gesture
    document.undo()
    assert document.project is before


def test_saved_undone_and_saved_again_is_the_same_file(document: Document, tmp_path: Path) -> None:
    path = tmp_path / "lever.throwover"
    document.save(path)
    first = path.read_bytes()
    document.apply(moved(document.design), "move grip")
    document.save()
    assert path.read_bytes() != first
    document.undo()
    document.save()
    assert path.read_bytes() == first


def test_modified_tells_whether_the_file_lacks_something(
    document: Document, tmp_path: Path
) -> None:
    told: list[bool] = []
    document.modified_changed.connect(told.append)
    document.apply(moved(document.design), "move grip")
    document.save(tmp_path / "lever.throwover")
    document.undo()
    document.redo()
    assert told == [True, False, True, False]


def test_a_save_during_a_gesture_writes_what_was_before_it(
    document: Document, tmp_path: Path
) -> None:
    before = document.project
    document.preview(moved(before.design))
    document.save(tmp_path / "lever.throwover")
    assert files.load(tmp_path / "lever.throwover") == before
    document.commit("drag grip")
    assert document.modified


def test_open_begins_a_new_history(document: Document, tmp_path: Path) -> None:
    path = tmp_path / "other.throwover"
    other = project("compression", "Other")
    files.save(other, path)
    document.apply(moved(document.design), "move grip")
    document.open(path)
    assert document.project == other
    assert document.path == path
    assert not document.undo_stack.canUndo()
    assert not document.modified


def test_a_file_that_cannot_be_used_changes_nothing(document: Document, tmp_path: Path) -> None:
    path = tmp_path / "broken.throwover"
    path.write_text('{"format": ', encoding="utf-8")
    document.apply(moved(document.design), "move grip")
    before = document.project
    with pytest.raises(FileProblem):
        document.open(path)
    assert document.project is before
    assert document.path is None
    assert document.undo_stack.canUndo()


def test_a_folder_that_cannot_be_written_leaves_the_document_unsaved(
    document: Document, tmp_path: Path
) -> None:
    document.apply(moved(document.design), "move grip")
    with pytest.raises(FileProblem):
        document.save(tmp_path / "no such folder" / "lever.throwover")
    assert document.modified
    assert document.path is None


def test_recovered_work_counts_as_unsaved(document: Document, tmp_path: Path) -> None:
    document.recover(project("compression"), tmp_path / "lever.throwover")
    assert document.modified
    assert document.path == tmp_path / "lever.throwover"


def test_a_document_without_a_name_needs_one(document: Document) -> None:
    with pytest.raises(ValueError, match="name"):
        document.save()
