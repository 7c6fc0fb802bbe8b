"""The variants panel and its menu, driven by real events."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from app.variants.list import VariantList
from app.variants.panel import VariantsPanel
from app.window import MainWindow
from solver import files, variants
from solver.project import Project, Variant
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import impossible, layout, moved, project
from tests.app.waiting import Wait
from tests.app.windows_for_tests import choose_file, shown_window


def three() -> Project:
    first = layout("extension")
    return Project(
        "Gate lever",
        (
            Variant("as drawn", first, "the one that hangs in the shed"),
            Variant("with rod", layout("rocker")),
            Variant("stuck", impossible(first)),
        ),
    )


@pytest.fixture
def main(qapp: QApplication, keep: Keeper, tmp_path: Path, wait: Wait) -> Iterator[MainWindow]:
    made = keep(shown_window(tmp_path, wait))
    made.session.document.new(three())
    made.panels.docks["variants"].raise_()
    panel = panel_of(made)
    wait.until(lambda: len(panel.list.rows) == 3 and panel.list.rows[2].words != NOT_YET)
    yield made
    made.session.document.undo_stack.setClean()


NOT_YET = "Not looked at yet"


def panel_of(main: MainWindow) -> VariantsPanel:
    panel = main.panels.docks["variants"].widget()
    assert isinstance(panel, VariantsPanel)
    return panel


def names(main: MainWindow) -> tuple[str, ...]:
    return variants.names(main.session.document.project)


def on_sheet(main: MainWindow) -> str:
    return main.session.document.project.variant.name


def middle(rows: VariantList, index: int) -> QPoint:
    return rows.visualRect(rows.model().index(index, 0)).center()


def click(main: MainWindow, index: int) -> None:
    rows = panel_of(main).list
    rows.scrollTo(rows.model().index(index, 0))
    QTest.mouseClick(rows.viewport(), Qt.MouseButton.LeftButton, pos=middle(rows, index))


def press(main: MainWindow, key: Qt.Key, modifier: Qt.KeyboardModifier) -> None:
    """A key of the window, with the sketch in focus."""
    main.canvas.setFocus()
    QTest.keyClick(main.canvas, key, modifier)


CONTROL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
ALT = Qt.KeyboardModifier.AltModifier


def test_each_row_says_what_becomes_of_its_variant(main: MainWindow) -> None:
    rows = panel_of(main).list.rows
    assert [row.variant.name for row in rows] == ["as drawn", "with rod", "stuck"]
    assert [row.state for row in rows] == ["good", "good", "unknown"]
    assert rows[2].words == "Cannot be solved"
    assert [row.on_sheet for row in rows] == [True, False, False]
    assert "on the sheet" in rows[0].spoken()
    assert "hangs in the shed" in rows[0].spoken()


def test_a_click_puts_a_variant_on_the_sheet_which_is_no_change_of_the_project(
    main: MainWindow, tmp_path: Path
) -> None:
    document = main.session.document
    document.save(tmp_path / "lever.throwover")
    click(main, 1)
    assert on_sheet(main) == "with rod"
    assert "rod end" in main.canvas.picture.places
    assert not document.modified
    assert document.undo_stack.count() == 0
    document.save()
    assert files.load(tmp_path / "lever.throwover").variant.name == "with rod"


def test_undoing_shows_the_variant_in_which_the_edit_was_made(main: MainWindow) -> None:
    document = main.session.document
    drawn = document.design
    document.apply(moved(drawn), "move grip")
    click(main, 1)
    press(main, Qt.Key.Key_Z, CONTROL)
    assert on_sheet(main) == "as drawn"
    assert document.design == drawn
    click(main, 1)
    document.redo()
    assert on_sheet(main) == "as drawn"
    assert document.design == moved(drawn)


def test_a_dragged_row_goes_to_another_place_and_not_on_the_sheet(main: MainWindow) -> None:
    rows = panel_of(main).list
    view, first, last = rows.viewport(), middle(rows, 0), middle(rows, 1)
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=last)
    assert on_sheet(main) == "as drawn"
    QTest.mouseMove(view, QPoint(first.x(), first.y() + 4))
    QTest.mouseMove(view, QPoint(first.x(), first.y() - 8))
    rows.grab()
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=QPoint(first.x(), first.y() - 8))
    assert names(main) == ("with rod", "as drawn", "stuck")
    assert on_sheet(main) == "as drawn"
    press(main, Qt.Key.Key_Z, CONTROL)
    assert names(main) == ("as drawn", "with rod", "stuck")


def test_a_double_click_opens_the_name(main: MainWindow, wait: Wait) -> None:
    rows = panel_of(main).list
    QTest.mouseDClick(rows.viewport(), Qt.MouseButton.LeftButton, pos=middle(rows, 0))
    wait.until(lambda: rows.findChild(QLineEdit) is not None)
    line = rows.findChild(QLineEdit)
    assert isinstance(line, QLineEdit)
    QTest.keyClick(line, Qt.Key.Key_Escape)
    wait.until(lambda: rows.state() == VariantList.State.NoState)


def test_the_lever_keeps_its_share_of_the_travel(main: MainWindow) -> None:
    session = main.session
    assert session.analysis is not None
    session.set_travel(0.25 * session.analysis.throw)
    click(main, 1)
    assert session.analysis is not None
    assert session.travel() == pytest.approx(0.25 * session.analysis.throw)
    click(main, 2)
    assert session.direction is None


def test_keeping_a_copy_goes_on_in_the_same_variant(main: MainWindow) -> None:
    before = main.session.document.design
    press(main, Qt.Key.Key_K, CONTROL)
    assert names(main) == ("as drawn", "as drawn 2", "with rod", "stuck")
    assert on_sheet(main) == "as drawn"
    main.session.document.apply(moved(before), "move grip")
    kept = main.session.document.project.variants
    assert kept[1].design is before
    assert kept[0].design is not before


def test_going_on_in_a_copy_leaves_the_first_alone(main: MainWindow) -> None:
    before = main.session.document.design
    press(main, Qt.Key.Key_K, CONTROL | SHIFT)
    assert on_sheet(main) == "as drawn 2"
    main.session.document.apply(moved(before), "move grip")
    assert main.session.document.project.variants[0].design is before


def test_page_keys_go_through_the_variants_round_and_round(main: MainWindow) -> None:
    press(main, Qt.Key.Key_PageUp, CONTROL)
    assert on_sheet(main) == "stuck"
    press(main, Qt.Key.Key_PageDown, CONTROL)
    assert on_sheet(main) == "as drawn"


def rename(main: MainWindow, typed: str, wait: Wait) -> None:
    press(main, Qt.Key.Key_F2, Qt.KeyboardModifier.NoModifier)
    rows = panel_of(main).list
    wait.until(lambda: rows.findChild(QLineEdit) is not None)
    line = rows.findChild(QLineEdit)
    assert isinstance(line, QLineEdit)
    line.selectAll()
    QTest.keyClicks(line, typed)
    QTest.keyClick(line, Qt.Key.Key_Return)
    wait.until(lambda: rows.state() == VariantList.State.NoState)


def test_a_name_is_edited_in_place(main: MainWindow, wait: Wait) -> None:
    rename(main, "shed lever", wait)
    assert names(main) == ("shed lever", "with rod", "stuck")
    press(main, Qt.Key.Key_Z, CONTROL)
    assert names(main)[0] == "as drawn"


def test_a_name_that_is_taken_is_refused_with_a_sentence(main: MainWindow, wait: Wait) -> None:
    rename(main, "with rod", wait)
    assert names(main)[0] == "as drawn"
    assert main.notices.notice is not None
    assert "already" in main.notices.notice.sentence
    main.notices.answer()


def test_a_note_is_typed_and_stays_with_its_variant(main: MainWindow) -> None:
    note = panel_of(main).note
    note.setFocus()
    note.selectAll()
    QTest.keyClicks(note, "needs a longer pin")
    click(main, 1)
    kept = main.session.document.project.variants
    assert kept[0].note == "needs a longer pin"
    assert kept[1].note == ""
    assert note.toPlainText() == ""


def test_delete_and_alt_arrows_work_in_the_list(main: MainWindow) -> None:
    rows = panel_of(main).list
    rows.setFocus()
    QTest.keyClick(rows, Qt.Key.Key_Down, ALT)
    assert names(main) == ("with rod", "as drawn", "stuck")
    assert on_sheet(main) == "as drawn"
    points = main.session.document.design.points
    QTest.keyClick(rows, Qt.Key.Key_Delete)
    assert names(main) == ("with rod", "stuck")
    press(main, Qt.Key.Key_Z, CONTROL)
    assert names(main) == ("with rod", "as drawn", "stuck")
    assert main.session.document.design.points == points


def test_commands_are_able_only_where_they_can_do_something(main: MainWindow) -> None:
    able = {key: action.isEnabled() for key, action in main.actions_by_key.items()}
    assert able["variant_down"]
    assert not able["variant_up"]
    main.session.document.new(project())
    able = {key: action.isEnabled() for key, action in main.actions_by_key.items()}
    for key in ("next", "before", "compare", "delete", "up", "down"):
        assert not able[f"variant_{key}"]
    assert able["variant_keep"]


def test_a_layout_comes_beside_the_variant_on_the_sheet(main: MainWindow) -> None:
    menu = main.menus["variant_layouts"]
    menu.actions()[0].trigger()
    assert names(main)[1] == menu.actions()[0].text()
    assert on_sheet(main) == names(main)[1]


def test_another_file_brings_all_its_variants(main: MainWindow, tmp_path: Path) -> None:
    other = tmp_path / "other.throwover"
    files.save(variants.switch(three(), 1), other)
    hand = choose_file(other)
    main.actions_by_key["variant_file"].trigger()
    assert hand.gone()
    assert names(main) == ("as drawn", "as drawn 2", "with rod 2", "stuck 2", "with rod", "stuck")
    assert on_sheet(main) == "with rod 2"
    assert main.session.document.undo_stack.count() == 1


def test_a_file_that_cannot_be_used_adds_nothing(main: MainWindow, tmp_path: Path) -> None:
    other = tmp_path / "broken.throwover"
    other.write_text("{", encoding="utf-8")
    hand = choose_file(other)
    main.actions_by_key["variant_file"].trigger()
    assert hand.gone()
    assert len(names(main)) == 3
    assert main.notices.notice is not None
    main.notices.answer()


def test_undoing_all_gives_the_first_file_again(main: MainWindow, tmp_path: Path) -> None:
    document = main.session.document
    path = tmp_path / "lever.throwover"
    document.save(path)
    first = path.read_bytes()
    press(main, Qt.Key.Key_K, CONTROL | SHIFT)
    click(main, 2)
    rows = panel_of(main).list
    rows.setFocus()
    QTest.keyClick(rows, Qt.Key.Key_Delete)
    QTest.keyClick(rows, Qt.Key.Key_Down, ALT)
    while document.undo_stack.canUndo():
        document.undo()
    document.save(path)
    assert path.read_bytes() == first


def test_a_drag_leaves_the_list_alone_until_the_hand_rests(main: MainWindow, wait: Wait) -> None:
    document, rows = main.session.document, panel_of(main).list
    shown = rows.rows[0].variant.design
    QApplication.processEvents()
    document.preview(moved(document.design))
    main.session.refresh()
    assert rows.rows[0].variant.design is shown
    wait.until(lambda: rows.rows[0].variant.design is document.design)
    document.cancel()


def test_a_long_list_is_looked_through_once(main: MainWindow, wait: Wait) -> None:
    made = three()
    for _ in range(40):
        made = variants.add(made, layout("compression"), "more", work_on=False)
    main.session.document.new(made)
    rows = panel_of(main).list
    wait.until(lambda: len(rows.rows) == 43 and all(row.words != NOT_YET for row in rows.rows), 30)
    QApplication.processEvents()
    assert all(row.words != NOT_YET for row in rows.rows)
    assert not any(timer.isActive() for timer in rows.findChildren(QTimer) if timer.interval() == 0)


def test_the_variant_on_the_sheet_stays_in_view(main: MainWindow, wait: Wait) -> None:
    listed, document = panel_of(main).list, main.session.document
    for _ in range(3):
        document.apply_project(variants.branch(document.project), "another")
    document.turn_to(5)
    wait.until(lambda: len(listed.rows) == 6 and listed.currentIndex().row() == 5)
    for height in (400, 130, 250, 90):
        listed.setFixedHeight(height)
        QApplication.processEvents()
        assert listed.height() == height
        row = listed.visualRect(listed.currentIndex())
        assert listed.viewport().rect().contains(row), height
