"""What is typed and not yet entered is not lost when the project is saved or left."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.inspector import Inspector
from app.units_field import QuantityField
from app.window import MainWindow
from solver import files
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait
from tests.app.windows_for_tests import shown_window


@pytest.fixture
def main(qapp: QApplication, keep: Keeper, tmp_path: Path, wait: Wait) -> Iterator[MainWindow]:
    made = keep(shown_window(tmp_path, wait))
    made.session.document.save(tmp_path / "gate.throwover")
    yield made
    made.session.document.undo_stack.setClean()


def _inspector(main: MainWindow) -> Inspector:
    found = main.findChild(Inspector)
    assert isinstance(found, Inspector)
    return found


def test_a_note_being_typed_is_saved(main: MainWindow, tmp_path: Path) -> None:
    page = _inspector(main).page
    assert page is not None
    notes = page.form.control("notes")
    notes.setFocus()
    QTest.keyClicks(notes, "greased")
    main.actions_by_key["save"].trigger()
    assert files.load(tmp_path / "gate.throwover").design.notes == "greased"
    assert notes.hasFocus()


def test_a_number_being_typed_is_saved(main: MainWindow, tmp_path: Path) -> None:
    page = _inspector(main).page
    assert page is not None
    field = page.form.control("throw")
    assert isinstance(field, QuantityField)
    field.setFocus()
    field.line.selectAll()
    QTest.keyClicks(field.line, "44")
    main.actions_by_key["save"].trigger()
    stops = files.load(tmp_path / "gate.throwover").design.stops
    assert (stops.rest_a, stops.rest_b) == (112.0, 68.0)
