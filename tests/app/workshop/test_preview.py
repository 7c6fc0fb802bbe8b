"""The preview with real events: it follows the document, and every edit can be undone."""

import errno
import os
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QPalette
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QWidget

from app.drawing.model import Drawing
from app.inspect.choice_box import ChoiceBox
from app.inspect.text_line import TextLine
from app.settings import Settings
from app.workshop import page_view
from app.workshop.page_view import PageView
from app.workshop.papers import Key
from app.workshop.preview import Preview
from solver.project import Sheet
from tests.app.drawing.faults import texts
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import impossible, moved, session
from tests.app.waiting import Wait
from tests.app.windows_for_tests import Hand, choose_file, shown_window


@pytest.fixture
def preview(keep: Keeper, own_home: Path, wait: Wait) -> Iterator[Preview]:
    shown = session()
    made = keep(Preview(shown, Settings(own_home / "settings.ini")))
    shown.setParent(made)
    made.open()
    wait.until(lambda: made.view.page is not None)
    yield made
    made.hide()


def sheet(preview: Preview) -> Sheet:
    return preview._session.document.project.sheet


def words(page: Drawing | None) -> list[str]:
    assert page is not None
    return [text.text for text in texts(page)]


def choose(box: QWidget, value: str) -> None:
    assert isinstance(box, ChoiceBox)
    index = [known for known, _ in box._options].index(value)
    box.setCurrentIndex(index)
    box.activated.emit(index)


def paper(view: PageView) -> page_view._Paper:
    found = view.widget()
    assert isinstance(found, page_view._Paper)
    return found


def text_place(canvas: page_view._Paper, key: str) -> QPointF:
    """Where a dimension's text is on the page, pixels."""
    (box,) = [box for known, box in canvas._texts if known == key]
    return canvas._corners(box).boundingRect().center()


def test_a_setting_of_the_sheet_is_seen_at_once_and_can_be_undone(
    preview: Preview, wait: Wait
) -> None:
    before = preview.view.page
    assert before is not None
    choose(preview.form.control("size"), "A4")
    assert sheet(preview).size == "A4"
    wait.until(lambda: preview.view.page is not None and preview.view.page.size == (297.0, 210.0))
    document = preview._session.document
    assert document.undo_stack.undoText() == "Set sheet of the sheet"
    QTest.keyClick(preview, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert sheet(preview) == Sheet()
    wait.until(lambda: preview.view.page is not None and preview.view.page.size == before.size)
    QTest.keyClick(preview, Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
    assert sheet(preview).size == "A4"


def test_a_scale_that_does_not_fit_is_said_under_the_page(preview: Preview, wait: Wait) -> None:
    choose(preview.form.control("scale"), "20:1")
    wait.until(lambda: preview.said.text().startswith("20:1 does not fit on A3; drawn at "))
    choose(preview.form.control("scale"), "")
    wait.until(lambda: preview.said.text() == "")


def test_what_is_said_has_the_width_under_the_page(preview: Preview) -> None:
    left, right = preview.pages.geometry().left(), preview.view.geometry().right()
    assert (preview.said.geometry().left(), preview.said.geometry().right()) == (left, right)


def test_the_parts_list_on_the_sheet_is_a_setting(preview: Preview, wait: Wait) -> None:
    heading = "Parts list, sizes in mm"
    flag = preview.form.control("parts")
    QTest.keyClick(flag, Qt.Key.Key_Space)
    assert not sheet(preview).parts

    def listed() -> bool:
        assert preview._papers is not None
        pages = preview._papers.pages("sheet")
        return any(word.startswith(heading) for page in pages for word in words(page))

    wait.until(lambda: preview._papers is not None and not listed())
    preview._session.document.undo()
    wait.until(lambda: preview._papers is not None and listed())


def test_the_title_block_is_typed(preview: Preview, wait: Wait) -> None:
    line = preview.form.control("owner")
    assert isinstance(line, TextLine)
    line.setFocus()
    QTest.keyClicks(line, "Orchard workshop")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert sheet(preview).owner == "Orchard workshop"
    wait.until(lambda: "Orchard workshop" in words(preview.view.page))


def test_the_preview_follows_the_design(preview: Preview, wait: Wait) -> None:
    document = preview._session.document
    before = preview.view.page
    document.apply(moved(document.design, 11.0), "move")
    wait.until(lambda: preview.view.page is not before)
    assert words(preview.view.page) != words(before)


def test_what_cannot_be_solved_is_said_and_cannot_be_written(preview: Preview, wait: Wait) -> None:
    document, before = preview._session.document, preview.view.page
    document.apply(impossible(document.design), "break")
    wait.until(lambda: preview.said.text())
    assert preview.view.page is before
    assert not preview._buttons.buttons["write"].isEnabled()
    document.undo()
    wait.until(lambda: not preview.said.text())
    assert preview._buttons.buttons["write"].isEnabled()


def test_a_dimension_is_hidden_and_shown_by_its_box(preview: Preview, wait: Wait) -> None:
    page = preview.view.page
    assert page is not None
    key = next(one.key for one in page.dimensions() if one.key == "throw")
    item = preview.dimensions.list.item(preview.dimensions._row(key))
    item.setCheckState(Qt.CheckState.Unchecked)
    wait.until(lambda: key not in [one.key for one in _page(preview).dimensions()])
    preview._session.document.undo()
    wait.until(lambda: key in [one.key for one in _page(preview).dimensions()])
    assert preview.dimensions.list.item(preview.dimensions._row(key)).checkState() == (
        Qt.CheckState.Checked
    )


def _page(preview: Preview) -> Drawing:
    page = preview.view.page
    assert page is not None
    return page


def test_the_text_of_a_dimension_is_dragged_and_put_back(preview: Preview, wait: Wait) -> None:
    canvas = paper(preview.view)
    start = text_place(canvas, "throw").toPoint()
    by = QPoint(40, -24)
    QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=start)
    QTest.mouseMove(canvas, start + by / 2)
    QTest.mouseMove(canvas, start + by)
    QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=start + by)
    assert preview.dimensions.key == "throw"
    (choice,) = sheet(preview).dimensions
    assert choice.key == "throw"
    assert choice.shift_x == pytest.approx(by.x() / canvas.scale, abs=0.06)
    assert choice.shift_y == pytest.approx(-by.y() / canvas.scale, abs=0.06)
    now = text_place(canvas, "throw")
    assert (now - start - by).manhattanLength() <= 3.0
    preview.view.setFocus()
    QTest.keyClick(preview.view, Qt.Key.Key_Right)
    assert sheet(preview).dimensions[0].shift_x == pytest.approx(choice.shift_x + 1.0, abs=1e-9)
    wait.until(lambda: preview.dimensions.back.isEnabled())
    preview.dimensions.back.click()
    assert sheet(preview).dimensions[0].shift_x == 0.0


def test_a_click_moves_nothing(preview: Preview) -> None:
    canvas = paper(preview.view)
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=text_place(canvas, "throw").toPoint())
    assert preview.dimensions.key == "throw"
    assert sheet(preview) == Sheet()


def test_a_dimension_of_ones_own_is_added_and_removed(preview: Preview, wait: Wait) -> None:
    design = preview._session.document.design
    a, b = design.points[0].name, design.grip
    mine = preview.dimensions
    assert not mine.add.isEnabled()
    choose(mine.a, a)
    choose(mine.b, b)
    choose(mine.way, "up")
    mine.add.click()
    key = f"own:{a}:{b}:up"
    wait.until(lambda: key in [one.key for one in _page(preview).dimensions()])
    mine.list.setCurrentRow(mine._row(key))
    assert mine.remove.isEnabled()
    mine.remove.click()
    assert sheet(preview).own_dimensions == ()


def test_every_paper_is_shown_and_zoomed(preview: Preview, wait: Wait) -> None:
    keys: tuple[Key, ...] = ("template", "outlines", "parts", "report")
    for key in keys:
        choose(preview.chooser, key)
        assert preview.paper.key == key
        wait.until(lambda: preview.pages.count() > 0)
        last = preview.pages.count() - 1
        preview.pages.setCurrentRow(last)
        assert preview._papers is not None
        assert preview.view.page is preview._papers.pages(key)[last]
        assert not preview.view.grab().isNull()
    preview._buttons.buttons["true"].click()
    assert preview.view.zoom == pytest.approx(1.0)
    preview._buttons.buttons["larger"].click()
    assert preview.view.zoom == pytest.approx(1.25)
    preview._buttons.buttons["fit"].click()
    page = preview.view.page
    assert page is not None
    canvas = paper(preview.view)
    assert canvas.height() <= preview.view.viewport().height()


def test_a_paper_is_written_where_the_user_says(preview: Preview, tmp_path: Path) -> None:
    target = tmp_path / "flap sheet.svg"
    hand = choose_file(target)
    preview._buttons.buttons["write"].click()
    assert hand.gone()
    assert target.read_bytes().startswith(b"<?xml")
    assert "flap sheet.svg" in preview.said.text()
    assert preview._settings.folder == tmp_path


def refused(code: int) -> Callable[..., int]:
    """An os.open that the system refuses, as on a full disk or in a folder kept from writing."""

    def open_file(*_: object) -> int:
        raise OSError(code, os.strerror(code))

    return open_file


@pytest.mark.parametrize(
    ("code", "said"),
    [(errno.ENOSPC, "the disk is full"), (errno.EACCES, "you have no permission there")],
)
def test_what_cannot_be_written_is_a_notice_with_the_path_and_the_old_file_stays(
    preview: Preview, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, said: str
) -> None:
    target = tmp_path / "flap sheet.svg"
    target.write_text("old")
    with monkeypatch.context() as patched:
        patched.setattr("solver.files.os.open", refused(code))
        write_to(preview, target)
    notice = preview.notices.notice
    assert notice is not None
    assert preview.notices.isVisible()
    assert said in notice.sentence
    assert str(target) in notice.sentence
    assert "Name a folder" in notice.sentence
    assert preview.said.text() == ""
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]
    write_to(preview, target)
    assert preview.notices.notice is None
    assert target.read_bytes().startswith(b"<?xml")


def write_to(preview: Preview, target: Path) -> None:
    """As the button does, without the question whether to replace what is there."""
    preview._hand_out(lambda made: str(made.write("sheet", "svg", target)))


def test_a_folder_that_is_a_file_is_a_notice_too(preview: Preview, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("old")
    (tmp_path / "page.pdf").mkdir()
    for target in (tmp_path / "taken" / "sheet.svg", tmp_path / "page.pdf"):
        write_to(preview, target)
        notice = preview.notices.notice
        assert notice is not None
        assert str(target) in notice.sentence
        assert "Traceback" not in notice.sentence
    assert (tmp_path / "taken").read_text() == "old"


def test_a_name_of_another_format_and_no_name(preview: Preview, tmp_path: Path) -> None:
    hand = choose_file(tmp_path / "sheet.html")
    preview._buttons.buttons["write"].click()
    assert hand.gone()
    assert preview.notices.notice is not None
    assert "pdf, svg, dxf, png" in preview.notices.notice.sentence
    hand = choose_file(None)
    preview._buttons.buttons["write"].click()
    assert hand.gone()
    assert preview.said.text() == ""
    assert list(tmp_path.iterdir()) == []


def test_print_asks_for_a_printer_first(preview: Preview) -> None:
    def leave(dialog: QWidget) -> None:
        assert isinstance(dialog, QDialog)
        dialog.reject()

    hand = Hand(leave)
    QTest.keyClick(preview, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    assert hand.gone()
    assert preview.said.text() == ""


@pytest.mark.parametrize("title", ["../../x", "Clamp 3/8 left", "a\\b", ""])
def test_what_is_printed_has_a_name_that_leads_nowhere(title: str, preview: Preview) -> None:
    names = []

    def leave(dialog: QWidget) -> None:
        assert isinstance(dialog, QPrintDialog)
        names.append(dialog.printer().docName())
        dialog.reject()

    document = preview._session.document
    document.apply_project(replace(document.project, title=title), "Set title")
    hand = Hand(leave)
    QTest.keyClick(preview, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    assert hand.gone()
    (name,) = names
    assert name.endswith("Dimensioned-sheet")
    assert not set(name) & set("/\\.:")


def test_a_drag_in_the_sketch_waits_for_its_end(preview: Preview, wait: Wait) -> None:
    document, before = preview._session.document, preview.view.page
    document.preview(moved(document.design, 5.0))
    preview.refresh()
    assert preview.view.page is before
    document.commit("drag")
    wait.until(lambda: preview.view.page is not before)


def test_the_menu_opens_the_papers(keep: Keeper, own_home: Path, wait: Wait) -> None:
    window = keep(shown_window(own_home, wait))
    for key in ("sheet", "parts"):
        action = window.actions_by_key[f"workshop_{key}"]
        assert isinstance(action, QAction)
        action.trigger()
        shown = window.commands._workshop.preview()
        assert shown.isVisible()
        assert shown.paper.key == key
    window.session.document.apply_project(
        replace(window.session.document.project, title="Another"), "title"
    )
    wait.until(lambda: "Another" in words(shown.view.page))
    shown.close()
    window.session.document.undo()


def test_pages_are_named_and_the_dimensions_say_where_they_belong(
    preview: Preview, wait: Wait
) -> None:
    listed = preview.dimensions
    wait.until(lambda: listed.list.count() > 0)
    assert "Tick what the sheet shows" in listed.hint.text()
    assert preview.pages.item(0).text() == "page 1"
    preview.open("report")
    wait.until(lambda: "Only the dimensioned sheet" in listed.hint.text())
    assert not listed.list.isEnabled()
    preview.open("parts")
    wait.until(lambda: preview.pages.count() == 1 and preview.pages.item(0).text() == "page 1")
    preview.open("sheet")
    wait.until(listed.list.isEnabled)


def test_a_list_to_tick_lies_on_the_ground_of_fields(preview: Preview) -> None:
    # Of the role Window its palette has the boxes' outline, on which words are hard to read.
    assert preview.dimensions.list.viewport().backgroundRole() == QPalette.ColorRole.Base
