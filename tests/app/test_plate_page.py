"""What a link is cut from, edited on its page with real events."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from app.inspect.note_box import NoteBox
from app.inspector import Inspector
from app.session import Ref
from app.units_field import QuantityField
from solver.model import Plate
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import session
from tests.app.waiting import Wait


@pytest.fixture
def inspector(keep: Keeper, wait: Wait) -> Inspector:
    shown = session()
    made = keep(Inspector(shown))
    shown.setParent(made)
    made.resize(320, 900)
    made.show()
    shown.select(Ref("link", shown.document.design.lever))
    wait.until(lambda: made.page is not None and "plate" in made.page.form._controls)
    return made


def control(inspector: Inspector, key: str) -> QWidget:
    assert inspector.page is not None
    return inspector.page.form.control(key)


def plate(inspector: Inspector) -> Plate | None:
    design = inspector._session.document.design
    return design.plate_of(design.lever)


def test_a_link_gets_a_plate_its_numbers_and_loses_it(inspector: Inspector, wait: Wait) -> None:
    document = inspector._session.document
    box = control(inspector, "plate")
    if plate(inspector) is not None:
        QTest.keyClick(box, Qt.Key.Key_Space)
        wait.until(lambda: plate(inspector) is None)
    QTest.keyClick(box, Qt.Key.Key_Space)
    made = plate(inspector)
    assert made is not None
    wait.until(control(inspector, "thickness").isVisible)
    field = control(inspector, "thickness")
    assert isinstance(field, QuantityField)
    field.line.setFocus()
    field.line.selectAll()
    QTest.keyClicks(field.line, "1/4 in")
    QTest.keyClick(field.line, Qt.Key.Key_Return)
    changed = plate(inspector)
    assert changed is not None
    assert changed.thickness == pytest.approx(6.35)
    document.undo()
    assert plate(inspector) == made
    document.undo()
    assert plate(inspector) is None


def _own(inspector: Inspector, wait: Wait) -> NoteBox:
    page = inspector.page
    assert page is not None
    page._edited("plate", True)
    page._edited("shape", "own")
    box = control(inspector, "corners")
    assert isinstance(box, NoteBox)
    wait.until(box.isVisible)
    return box


def test_own_corners_are_typed(inspector: Inspector, wait: Wait) -> None:
    box = _own(inspector, wait)
    made = plate(inspector)
    assert made is not None
    assert len(made.outline) == 4
    box.setPlainText("-10, -10\n1 in; -10\n\n25, 160\n-10, 160")
    box.finish()
    changed = plate(inspector)
    assert changed is not None
    assert changed.outline == ((-10.0, -10.0), (25.4, -10.0), (25.0, 160.0), (-10.0, 160.0))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1, 2, 3", "Line 1"),
        ("1, 2\nhere, 3\n4, 5", "Line 2"),
        ("", "three corners"),
        ("0, 0\n10, 10\n10, 0\n0, 10", "crosses"),
    ],
)
def test_corners_that_make_no_outline_get_a_sentence(
    inspector: Inspector, wait: Wait, typed: str, said: str
) -> None:
    box = _own(inspector, wait)
    before = plate(inspector)
    box.setPlainText(typed)
    box.finish()
    assert plate(inspector) == before
    assert said in inspector._problem.text()


def test_corners_lie_where_the_link_is_seen(inspector: Inspector, wait: Wait) -> None:
    box = _own(inspector, wait)
    drawn = box.toPlainText()
    inspector._session.set_travel(360.0)
    wait.until(lambda: box.toPlainText() != drawn)
    inspector._session.set_direction(None)
    wait.until(lambda: box.toPlainText() == drawn)
