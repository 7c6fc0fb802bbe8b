"""Variants side by side, driven by real events."""

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetrics, QFontMetricsF, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QTreeWidgetItemIterator, QWidget

from app.sketch.sheet import Sheet
from app.study_words import percent
from app.theme import DARK, LIGHT
from app.variants import records
from app.variants.comparison import Comparison, with_copies
from app.variants.ghost_names import have_room, placed_names
from app.variants.marks import mark
from app.variants.names import shortened, two_lines
from app.variants.pictures import Pictures, paint_heading, paper_of
from app.variants.side_by_side import SideBySide
from app.variants.table_view import Table
from app.window import MainWindow
from solver import edit, units, variants
from solver.project import Display
from solver.spread import spread
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import moved
from tests.app.variants.showing import comparison, example, four, long_names
from tests.app.waiting import Wait
from tests.app.windows_for_tests import choose_file, shown_window


@pytest.fixture
def main(qapp: QApplication, keep: Keeper, tmp_path: Path, wait: Wait) -> Iterator[MainWindow]:
    made = keep(shown_window(tmp_path, wait))
    made.session.document.new(four())
    yield made
    made.session.document.undo_stack.setClean()


@pytest.fixture
def beside(main: MainWindow, wait: Wait) -> SideBySide:
    main.canvas.setFocus()
    QTest.keyClick(main.canvas, Qt.Key.Key_F6)
    shown = main.findChild(SideBySide)
    assert isinstance(shown, SideBySide)
    wait.until(lambda: shown.isVisible() and shown.comparison is not None)
    shown.resize(1280, 800)
    wait.until(shown.isActiveWindow)
    return shown


def showing(beside: SideBySide) -> Comparison:
    assert beside.comparison is not None
    return beside.comparison


def column(beside: SideBySide, number: int) -> dict[str, str]:
    """The texts of one variant's column by the names of the rows."""
    rows = QTreeWidgetItemIterator(beside.answers.table)
    found = {}
    while (row := rows.value()) is not None:
        found[row.text(0)] = row.text(number + 1)
        rows += 1
    return found


def test_it_opens_with_the_variants_in_their_order(beside: SideBySide) -> None:
    names = [entry.name for entry in showing(beside).entries]
    assert names == ["with rod", "direct", "pulls", "stuck"]
    assert beside.chooser.text().startswith("Variants: 4 of 4")
    assert "Gate lever" in beside.windowTitle()
    assert "Cannot be solved" in beside.gallery.accessibleDescription()


def test_the_slider_throws_all_levers_together(beside: SideBySide) -> None:
    beside.slider.setFocus()
    QTest.keyClick(beside.slider, Qt.Key.Key_End)
    assert beside.share == 1.0
    for entry, travel in zip(showing(beside).entries, beside.gallery.travels(), strict=True):
        assert travel == (entry.analysis.throw if entry.analysis else 0.0)
    QTest.keyClick(beside.slider, Qt.Key.Key_Home)
    assert beside.gallery.travels() == [0.0, 0.0, 0.0, 0.0]
    assert beside.diagrams.share == 0.0


def drag(widget: QWidget, start: QPointF, end: QPointF) -> None:
    QTest.mousePress(widget, Qt.MouseButton.LeftButton, pos=start.toPoint())
    for step in (1, 2, 3):
        QTest.mouseMove(widget, (start + (end - start) * step / 3).toPoint())
    QTest.mouseRelease(widget, Qt.MouseButton.LeftButton, pos=end.toPoint())


def test_a_lever_is_turned_by_hand_and_takes_the_others_along(beside: SideBySide) -> None:
    entry, cells = showing(beside).entries[1], beside.gallery.cells()
    assert entry.analysis is not None
    view = Pictures(showing(beside)).view(2, cells)
    spots = []
    for travel in (0.0, 0.75 * entry.analysis.throw):
        places = entry.analysis.pose_at(travel)
        spots.append(view.map(QPointF(*places[entry.outcome.design.grip])))
    drag(beside.gallery, *spots)
    assert beside.share == pytest.approx(0.75, abs=0.02)
    first = showing(beside).entries[0].analysis
    assert first is not None
    assert beside.gallery.travels()[0] == pytest.approx(beside.share * first.throw)


def test_a_press_in_a_diagram_moves_the_levers_there(beside: SideBySide, wait: Wait) -> None:
    wait.until(lambda: beside.diagrams.frames())
    for frame in beside.diagrams.frames():
        for share in (0.2, 0.9):
            at = QPoint(round(frame.across(100.0 * share)), round(frame.box.center().y()))
            QTest.mouseClick(beside.diagrams, Qt.MouseButton.LeftButton, pos=at)
            assert beside.share == pytest.approx(share, abs=0.01)
    first, *_, last = beside.diagrams.frames()
    middle = first.box.center().y()
    drag(beside.diagrams, QPointF(first.across(20.0), middle), QPointF(last.across(5.0), middle))
    assert beside.share == 1.0


def test_levers_may_go_by_direction(beside: SideBySide) -> None:
    beside.ways.setFocus()
    QTest.keyClick(beside.ways, Qt.Key.Key_Down)
    assert beside.together == "direction"
    beside.slider.setValue(0)
    first, second, *_ = showing(beside).entries
    assert first.analysis is not None
    assert second.analysis is not None
    there = second.analysis.direction[0] + second.analysis.sense * beside.gallery.travels()[1]
    assert there == pytest.approx(float(first.analysis.direction[0]), abs=1.5)


def test_it_follows_every_edit_of_the_document(
    beside: SideBySide, main: MainWindow, wait: Wait
) -> None:
    document = main.session.document
    before = column(beside, 1)["Peak effort, harder way"]
    document.preview(moved(document.design, 30.0))
    wait.until(lambda: column(beside, 1)["Peak effort, harder way"] != before)
    analysis = main.session.analysis
    assert analysis is not None
    reading = analysis.readings["peak_effort"]
    shown = units.number(reading.value, reading.quantity, document.project.display)
    assert shown in column(beside, 1)["Peak effort, harder way"]
    document.cancel()
    wait.until(lambda: column(beside, 1)["Peak effort, harder way"] == before)
    document.apply_project(replace(document.project, display=Display("inch")), "Change units")
    wait.until(lambda: column(beside, 1)["Peak effort, harder way"] != before)


def test_copies_are_counted_beside_the_window(
    beside: SideBySide, main: MainWindow, wait: Wait
) -> None:
    key = "All limits hold"
    wait.until(lambda: "…" not in column(beside, 3).get(key, "…"), 30.0)
    first, third = column(beside, 1)[key], column(beside, 3)[key]
    for number, text in ((1, first), (3, third)):
        entry = showing(beside).entries[number - 1]
        share = spread(entry.outcome.design).all_limits.share
        assert text.removeprefix("◆ ").startswith(percent(share))
    assert column(beside, 4)[key] == "–"
    document = main.session.document
    document.preview(moved(document.design))
    wait.until(lambda: column(beside, 1)[key] == "…")
    assert column(beside, 3)[key].endswith(third.removeprefix("◆ "))
    document.commit("Move grip")
    wait.until(lambda: column(beside, 1)[key] != "…", 30.0)


def test_what_changed_is_told_in_words_as_one_drags(
    beside: SideBySide, main: MainWindow, wait: Wait
) -> None:
    document = main.session.document
    document.apply_project(variants.keep(document.project), "Keep as a variant")
    beside.choose("with rod", "with rod 2")
    wait.until(lambda: "Nothing that counts" in beside.answers.changes.toPlainText())
    document.preview(edit.move_point(document.design, "spring anchor", 0.0, -96.0))
    words = "Spring anchor 4.0 mm closer to the lever pivot."
    wait.until(lambda: words in beside.answers.changes.toPlainText())
    document.cancel()


def test_the_choice_survives_renaming_and_removing(
    beside: SideBySide, main: MainWindow, wait: Wait
) -> None:
    document = main.session.document
    beside.choose("direct", "pulls")
    document.apply_project(variants.rename(document.project, 2, "draws"), "Rename variant")
    wait.until(lambda: beside.chosen == ("direct", "draws"))
    document.apply_project(variants.remove(document.project, 1), "Delete variant")
    wait.until(lambda: beside.chosen == ("with rod", "draws"))


def test_two_stay_chosen_and_no_more_than_four_are(beside: SideBySide, main: MainWindow) -> None:
    document = main.session.document
    document.apply_project(variants.keep(document.project), "Keep as a variant")
    beside.refresh()
    beside.choices.aboutToShow.emit()
    able = {action.text(): action.isEnabled() for action in beside.choices.actions()}
    assert not able["with rod 2"]
    next(a for a in beside.choices.actions() if a.text() == "stuck").trigger()
    next(a for a in beside.choices.actions() if a.text() == "pulls").trigger()
    assert beside.chosen == ("with rod", "direct")
    beside.choices.aboutToShow.emit()
    able = {action.text(): action.isEnabled() for action in beside.choices.actions()}
    assert able["with rod 2"]
    assert not able["direct"]


def test_the_menu_stays_open_while_variants_are_checked(beside: SideBySide, wait: Wait) -> None:
    beside.choices.popup(beside.mapToGlobal(QPoint(20, 40)))
    wait.until(beside.choices.isVisible)
    *_, third, fourth = [each for each in beside.choices.actions() if each.isCheckable()]
    for action in (fourth, third):
        spot = beside.choices.actionGeometry(action).center()
        QTest.mouseClick(beside.choices, Qt.MouseButton.LeftButton, pos=spot)
        assert beside.choices.isVisible()
    assert beside.chosen == ("with rod", "direct")
    first = beside.choices.actions()[0]
    assert not first.isEnabled()
    beside.choices.setActiveAction(third)
    QTest.keyClick(beside.choices, Qt.Key.Key_Space)
    assert beside.chosen == ("with rod", "direct", "pulls")
    assert first.isEnabled()
    QTest.keyClick(beside.choices, Qt.Key.Key_Escape)
    assert not beside.choices.isVisible()
    assert beside.isVisible()


def test_new_variants_are_taken_up_while_there_is_room(
    beside: SideBySide, main: MainWindow, wait: Wait
) -> None:
    document = main.session.document
    beside.choose("with rod", "direct", "pulls")
    document.apply_project(variants.keep(document.project), "Keep as a variant")
    wait.until(lambda: beside.chosen == ("with rod", "with rod 2", "direct", "pulls"))
    document.apply_project(variants.keep(document.project), "Keep as a variant")
    wait.until(lambda: "of 6" in beside.chooser.text())
    assert beside.chosen == ("with rod", "with rod 2", "direct", "pulls")


@pytest.mark.parametrize("way", ["Esc", "Ctrl+W", "button"])
def test_it_is_closed_by_key_and_by_button(beside: SideBySide, way: str) -> None:
    if way == "button":
        QTest.mouseClick(beside.shut, Qt.MouseButton.LeftButton)
    elif way == "Esc":
        QTest.keyClick(beside.answers.table, Qt.Key.Key_Escape)
    else:
        QTest.keyClick(beside.gallery, Qt.Key.Key_W, Qt.KeyboardModifier.ControlModifier)
    assert not beside.isVisible()


def test_nothing_is_worked_out_while_it_is_closed(beside: SideBySide, main: MainWindow) -> None:
    beside.close()
    before = beside.comparison
    main.session.document.apply(moved(main.session.document.design), "Move grip")
    QApplication.processEvents()
    assert beside.comparison is before
    main.actions_by_key["variant_compare"].trigger()
    QApplication.processEvents()
    assert beside.comparison is not before


def test_it_saves_the_page_and_the_table(
    beside: SideBySide, main: MainWindow, tmp_path: Path
) -> None:
    for button, name, start in (
        (beside.pdf, "compared.pdf", b"%PDF"),
        (beside.csv, "compared.csv", b"group,what,unit"),
    ):
        hand = choose_file(tmp_path / name)
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        assert hand.gone()
        assert (tmp_path / name).read_bytes().startswith(start)
        assert beside.saved.toolTip() == f"Saved as {tmp_path / name}."
        assert beside.saved.text().startswith("Saved as ")
    written = (tmp_path / "compared.csv").read_text(encoding="utf-8")
    assert written == records.as_csv(with_copies(showing(beside)))
    assert "Share of copies that hold,All limits hold,," in written
    document = main.session.document
    document.apply(moved(document.design), "Move grip")
    assert beside.saved.text() == ""


def test_a_file_that_cannot_be_written_is_told(beside: SideBySide, tmp_path: Path) -> None:
    (tmp_path / "folder.csv").mkdir()
    hand = choose_file(tmp_path / "folder.csv" / "none" / "table.csv")
    QTest.mouseClick(beside.csv, Qt.MouseButton.LeftButton)
    assert hand.gone()
    assert beside.notices.notice is not None
    beside.notices.answer()


# ---- painting --------------------------------------------------------------------------


def test_pictures_have_one_scale_and_stay_in_their_cells(qapp: QApplication) -> None:
    pictures = Pictures(comparison(0, 1, 2, 3))
    for box in (QRectF(0, 0, 800, 300), QRectF(0, 0, 500, 600)):
        cells = pictures.cells(box)
        scales = {round(pictures.view(number, cells).m11(), 9) for number in (1, 2, 3, 4)}
        assert len(scales) == 1
        for one in cells:
            assert box.contains(one)
            assert not any(one.intersects(other) for other in cells if other is not one)
        for entry, cell in zip(pictures.comparison.entries, cells, strict=True):
            view = pictures.view(entry.number, cells)
            if entry.analysis is not None:
                for travel in (0.0, entry.analysis.throw):
                    for place in entry.analysis.pose_at(travel).values():
                        assert paper_of(cell).contains(view.map(QPointF(*place)))


def test_four_pictures_take_two_rows_where_that_shows_them_larger(qapp: QApplication) -> None:
    pictures = Pictures(comparison(0, 1, 2, 3))
    wide = pictures.cells(QRectF(0, 0, 1600, 300))
    square = pictures.cells(QRectF(0, 0, 600, 600))
    assert len({cell.top() for cell in wide}) == 1
    assert len({cell.top() for cell in square}) == 2


def test_pictures_take_no_height_that_does_not_make_them_larger(qapp: QApplication) -> None:
    pictures = Pictures(comparison(0, 1, 2))
    for width, most in ((600.0, 440.0), (900.0, 440.0), (1600.0, 300.0)):
        high = pictures.wanted_height(width, most)
        assert high <= most
        largest = pictures.scale(pictures.cells(QRectF(0.0, 0.0, width, most)))
        wanted = pictures.scale(pictures.cells(QRectF(0.0, 0.0, width, high)))
        assert wanted == pytest.approx(largest, rel=0.01)
    assert pictures.wanted_height(600.0, 440.0) < 400.0
    assert pictures.wanted_height(1600.0, 300.0) > 295.0


@pytest.mark.parametrize("width", [150.0, 190.0, 330.0])
def test_every_picture_has_a_sample_of_its_line(qapp: QApplication, width: float) -> None:
    entry = comparison(0, 1, 2).entries[2]
    for name in ("pulls", "pulls at the lower pin"):
        image = QImage(round(width), 50, QImage.Format.Format_RGB32)
        painter = QPainter(image)
        named = replace(entry, name=name)
        paint_heading(painter, named, QRectF(0.0, 0.0, width, 50.0), LIGHT, qapp.font())
        painter.end()
        ink = mark(3, LIGHT).ink
        ending = range(round(width) - 38, round(width) - 8)
        dots = sum(image.pixelColor(x, y) == ink for x in ending for y in range(50))
        assert dots > 10


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_variants_are_told_apart_by_line_and_colour(theme: object) -> None:
    assert theme in (LIGHT, DARK)
    looks = [mark(number, LIGHT if theme is LIGHT else DARK) for number in (1, 2, 3, 4)]
    assert len({look.dashes for look in looks}) == 4
    assert len({look.ink.name() for look in looks}) == 4


@pytest.mark.parametrize("size", [(240.0, 300.0), (300.0, 260.0), (140.0, 250.0)])
def test_names_of_rests_stand_at_their_knobs(qapp: QApplication, size: tuple[float, float]) -> None:
    shown = comparison(0, 1, 2, project=None)
    pictures = Pictures(shown)
    cells = [QRectF(0.0, 0.0, *size)] * 3
    image = QImage(400, 400, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    for number, still in enumerate(pictures.stills, start=1):
        sheet = Sheet(painter, pictures.view(number, cells), LIGHT, "")
        knobs = {ghost.key: QPointF(*sheet.pixels(ghost.grip)) for ghost in still.ghosts}
        letters = not have_room(sheet, still, paper_of(cells[0]))
        placed = list(placed_names(sheet, still, paper_of(cells[0]), letters))
        assert {ghost.key for ghost, _, _ in placed} >= {"A", "B"}
        for ghost, _, box in placed:
            away = {key: _gap(box, knob) for key, knob in knobs.items()}
            assert min(away, key=away.__getitem__) == ghost.key
            assert away[ghost.key] < 24.0
    painter.end()


@pytest.mark.parametrize(("width", "said"), [(329.0, {"A", "B"}), (500.0, {"Rest A", "Rest B"})])
def test_rests_are_named_alike_in_all_pictures(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch, width: float, said: set[str]
) -> None:
    """The picture of the first variant has no room for a rest's name in full where it is narrow."""
    told: list[str] = []
    monkeypatch.setattr(Sheet, "text", lambda self, box, text, *more: told.append(text))
    cells = [QRectF(number * width, 0.0, width, 434.0) for number in (0, 1)]
    pictures = Pictures(comparison(0, 1, project=example()))
    image = QImage(round(2 * width), 434, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    pictures.paint_ground(painter, cells, LIGHT, qapp.font())
    painter.end()
    assert sorted(told) == sorted([*said, "Dead centre"] * 2)


@pytest.mark.parametrize("size", [(290.0, 214.0), (240.0, 300.0), (329.0, 434.0), (132.0, 300.0)])
@pytest.mark.parametrize("indices", [(0, 1, 2), (0, 1)])
def test_the_scale_stands_clear_of_every_pose(
    qapp: QApplication, size: tuple[float, float], indices: tuple[int, ...]
) -> None:
    shown = comparison(*indices)
    pictures = Pictures(shown)
    cells = [QRectF(number * size[0], 0.0, *size) for number in range(len(indices))]

    def blank() -> QImage:
        image = QImage(round(len(cells) * size[0]), round(size[1]), QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.white)
        return image

    scale = blank()
    painter = QPainter(scale)
    pictures._paint_scale(painter, cells, LIGHT, qapp.font())
    painter.end()
    inked = [
        (x, y)
        for x in range(scale.width())
        for y in range(scale.height() - 40, scale.height())
        if scale.pixelColor(x, y) != Qt.GlobalColor.white
    ]
    assert len(inked) > 100
    across = [x for x, _ in inked]
    assert any(cell.left() < min(across) and max(across) < cell.right() - 4.0 for cell in cells)
    for share in (0.0, 0.5, 1.0):
        poses = blank()
        painter = QPainter(poses)
        travels = [share * entry.analysis.throw for entry in shown.entries if entry.analysis]
        pictures.paint_linkages(painter, cells, travels, LIGHT, qapp.font())
        painter.end()
        for x, y in inked:
            for near in (y - 3, y):
                assert poses.pixelColor(x, near) == Qt.GlobalColor.white


def _gap(box: QRectF, at: QPointF) -> float:
    """From a place to the nearest of a box, pixels."""
    across = max(box.left() - at.x(), at.x() - box.right(), 0.0)
    down = max(box.top() - at.y(), at.y() - box.bottom(), 0.0)
    return math.hypot(across, down)


# ---- little room -----------------------------------------------------------------------


def test_long_names_can_still_be_told_apart(qapp: QApplication) -> None:
    metrics, shown = QFontMetricsF(qapp.font()), long_names()
    for make in (shortened, two_lines):
        told = {make(entry.name, metrics, 130.0) for entry in shown.entries}
        assert len(told) == 4
        for line in "\n".join(told).split("\n"):
            assert metrics.horizontalAdvance(line) <= 130.0
    assert two_lines("with rod", metrics, 300.0) == "with rod"


def test_numbers_in_the_table_are_never_cut(qapp: QApplication, keep: Keeper) -> None:
    table = keep(Table())
    table.resize(420, 500)
    table.show()
    table.show_comparison(long_names())
    heads = [table.headerItem().text(column) for column in range(2, 6)]
    assert len(set(heads)) == 4
    rows = QTreeWidgetItemIterator(table)
    while (row := rows.value()) is not None:
        for column in range(2, 6):
            wide = QFontMetrics(row.font(column)).horizontalAdvance(row.text(column))
            assert wide + 6 <= table.header().sectionSize(column)
        rows += 1
    assert table.horizontalScrollBar().maximum() > 0


def test_the_differences_go_to_the_variant_chosen(beside: SideBySide, main: MainWindow) -> None:
    first, second = beside.chosen[:2]
    held = "Holding force, weaker rest"
    before = [column(beside, number)[held] for number in (1, 2)]
    assert "(" not in before[0]
    box = beside.answers.base
    box.setCurrentIndex(1)
    box.activated.emit(1)
    after = [column(beside, number)[held] for number in (1, 2)]
    assert "(" not in after[1]
    analyses = [entry.analysis for entry in showing(beside).entries[:2]]
    values = [each.readings["holding_force"].value for each in analyses if each is not None]
    more = units.number(values[0] - values[1], "force", main.session.display)
    assert more.lstrip("−") in after[0].partition("(")[2]
    assert f"against 2 {second}" in beside.answers.changes.toPlainText()
    document = main.session.document
    place = variants.find(document.project, second)
    document.apply_project(variants.rename(document.project, place, "other name"), "rename")
    beside.refresh()
    assert showing(beside).base.name == "other name"
    beside.choose(first, beside.chosen[2])
    assert showing(beside).base.name == first


def test_the_table_takes_no_more_than_half_and_curves_what_pictures_cannot_use(
    beside: SideBySide,
) -> None:
    beside.choose(*beside.chosen[:3])
    for width, height in ((1280, 800), (1600, 1000)):
        beside.resize(width, height)
        QApplication.processEvents()
        left, right = beside._halves.sizes()
        assert right <= left + beside._halves.handleWidth() + 1
        assert right <= beside.answers.table.wanted_width() + 1
        both = beside.gallery.height() + beside.diagrams.height()
        assert 0.49 * both <= beside.gallery.height() <= 0.61 * both


def test_the_table_shows_its_numbers_in_a_narrow_window(beside: SideBySide) -> None:
    beside.choose(*beside.chosen[:2])
    beside.resize(800, 470)
    QApplication.processEvents()
    assert beside.width() <= 800
    table = beside.answers.table
    assert table.header().sectionViewportPosition(2) < table.viewport().width() - 40


def test_labels_are_read_whole_beside_three_variants(beside: SideBySide) -> None:
    beside.choose(*beside.chosen[:3])
    beside.resize(1280, 800)
    QApplication.processEvents()
    table = beside.answers.table
    metrics, room = table.fontMetrics(), table.columnWidth(0) - table.indentation()
    most = 0
    for item in table._items.values():
        if item.isFirstColumnSpanned():
            continue
        label, count = table.labels.broken(table.indexFromItem(item))
        parts = label.split("\u2028")
        assert " ".join(parts).replace("\u00a0", " ") == item.text(0)
        assert max(metrics.horizontalAdvance(part) for part in parts) < room
        assert table.visualItemRect(item).height() >= count * metrics.height()
        most = max(most, count)
    assert most > 1
