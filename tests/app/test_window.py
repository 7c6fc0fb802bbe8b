"""The window, driven by real events."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QMetaMethod, QMimeData, QPoint, QPointF, QSize, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QLabel, QLineEdit, QMessageBox, QTabBar

from app import dialogs, examples
from app.actions import COMMANDS
from app.session import Ref
from app.theme import DARK, theme_source
from app.window import MainWindow
from solver import files
from solver.project import Display
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import moved, project
from tests.app.waiting import Wait
from tests.app.windows_for_tests import Hand, choose_file, press, shown_window, window

_BUTTON = QMessageBox.StandardButton

CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def main(qapp: QApplication, keep: Keeper, tmp_path: Path, wait: Wait) -> Iterator[MainWindow]:
    before = theme_source.choice
    made = keep(shown_window(tmp_path, wait))
    yield made
    made.session.document.undo_stack.setClean()
    theme_source.choose(before)


def trigger(main: MainWindow, key: str) -> None:
    main.actions_by_key[key].trigger()


def drag(main: MainWindow, name: str, by: QPoint) -> None:
    """Drag a point of the sketch with the mouse, in three steps."""
    view = main.canvas.viewport()
    start = main.canvas.to_pixel(main.session.places()[name]).toPoint()
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=start)
    for step in (1, 2, 3):
        QTest.mouseMove(view, start + by * step / 3)
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=start + by)


def test_every_command_does_something(main: MainWindow) -> None:
    for command in COMMANDS:
        action = main.actions_by_key[command.key]
        assert action.isSignalConnected(QMetaMethod.fromSignal(action.triggered)), command.key


def test_dragging_saving_and_undoing_gives_the_first_file_again(
    main: MainWindow, tmp_path: Path, wait: Wait
) -> None:
    path = tmp_path / "lever.throwover"
    hand = choose_file(path)
    trigger(main, "save")
    assert hand.gone()
    first = path.read_bytes()
    before = main.session.analysis
    drag(main, "spring anchor", QPoint(0, 30))
    assert main.isWindowModified()
    assert main.session.document.undo_stack.count() == 1
    after = main.session.analysis
    assert before is not None
    assert after is not None
    assert after.readings["peak_effort"].value != before.readings["peak_effort"].value
    trigger(main, "save")
    assert path.read_bytes() != first
    assert not main.isWindowModified()
    main.activateWindow()
    wait.until(main.isActiveWindow)
    QTest.keyClick(main, Qt.Key.Key_Z, CONTROL)
    assert main.isWindowModified()
    trigger(main, "save")
    assert path.read_bytes() == first
    for held in (CONTROL, CONTROL | Qt.KeyboardModifier.ShiftModifier):
        QTest.keyClick(main, Qt.Key.Key_Y if held == CONTROL else Qt.Key.Key_Z, held)
        assert main.session.analysis is not None
        assert main.session.analysis.readings == after.readings
        QTest.keyClick(main, Qt.Key.Key_Z, CONTROL)
        assert not main.isWindowModified()


def test_a_name_without_suffix_gets_it(main: MainWindow, tmp_path: Path) -> None:
    hand = choose_file(tmp_path / "gate")
    trigger(main, "save")
    assert hand.gone()
    assert main.session.document.path == tmp_path / "gate.throwover"
    assert main.windowTitle() == "gate.throwover[*] – Throwover"
    assert main.projects.recent.paths() == (tmp_path / "gate.throwover",)


def test_a_save_that_fails_is_told_and_loses_nothing(main: MainWindow, tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    main.session.document.save(folder / "lever.throwover")
    main.session.document.apply(moved(main.session.document.design), "move grip")
    (folder / "lever.throwover").unlink()
    folder.rmdir()
    trigger(main, "save")
    assert main.notices.notice is not None
    assert "lever.throwover" in main.notices.notice.sentence
    assert main.isWindowModified()
    main.notices.answer()


def test_a_file_that_cannot_be_used_is_told_and_leaves_the_sketch(
    main: MainWindow, tmp_path: Path
) -> None:
    (tmp_path / "broken.throwover").write_text("{", encoding="utf-8")
    before = main.session.document.project
    hand = choose_file(tmp_path / "broken.throwover")
    trigger(main, "open")
    assert hand.gone()
    assert main.notices.isVisible()
    assert main.session.document.project is before
    main.notices.answer()
    assert not main.notices.isVisible()


def test_open_shows_the_file(main: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "other.throwover"
    files.save(project("rocker", "Other"), path)
    hand = choose_file(path)
    trigger(main, "open")
    assert hand.gone()
    assert main.session.document.path == path
    assert "other.throwover" in main.windowTitle()
    menu = main.menus["recent"]
    menu.aboutToShow.emit()
    assert menu.actions()[0].toolTip() == str(path)


@pytest.mark.parametrize(
    ("button", "closes"),
    [(_BUTTON.Discard, True), (_BUTTON.Cancel, False), (_BUTTON.Save, True)],
    ids=["discard", "cancel", "save"],
)
def test_closing_asks_about_unsaved_changes(
    main: MainWindow, tmp_path: Path, button: QMessageBox.StandardButton, closes: bool
) -> None:
    path = tmp_path / "lever.throwover"
    main.session.document.save(path)
    first = path.read_bytes()
    main.session.document.apply(moved(main.session.document.design), "move grip")
    main.autosave.write()
    hand = press(button)
    assert main.close() is closes
    assert hand.gone()
    assert (path.read_bytes() != first) is (button == _BUTTON.Save)
    assert main.autosave.file.exists() is not closes


def test_saving_on_the_way_out_can_still_be_cancelled(main: MainWindow) -> None:
    main.session.document.apply(moved(main.session.document.design), "move grip")

    def save_then_cancel(dialog: object) -> None:
        later.append(choose_file(None))
        assert isinstance(dialog, QMessageBox)
        dialog.button(_BUTTON.Save).click()

    later: list[Hand] = []
    hand = Hand(save_then_cancel)
    assert not main.close()
    assert hand.gone()
    assert later[0].gone()
    assert main.isVisible()
    assert main.isWindowModified()


def test_a_saved_document_closes_unasked(main: MainWindow) -> None:
    assert main.close()


def test_unsaved_changes_are_asked_about_before_another_project(main: MainWindow) -> None:
    main.session.document.apply(moved(main.session.document.design), "move grip")
    before = main.session.document.project
    hand = press(_BUTTON.Cancel)
    trigger(main, "new")
    assert hand.gone()
    assert main.session.document.project is before


def test_every_layout_begins_a_project(main: MainWindow) -> None:
    titles = []
    for action in main.menus["layouts"].actions():
        action.trigger()
        titles.append(main.session.document.project.title)
        assert main.session.problem is None
        assert main.session.document.path is None
    assert len(set(titles)) == len(titles) >= 4
    trigger(main, "new")
    assert main.session.document.project.title not in titles


def test_every_example_opens_unnamed(main: MainWindow, tmp_path: Path) -> None:
    actions = main.menus["examples"].actions()
    assert len(actions) == len(examples.examples())
    assert actions[0].text() == "&1  Sorting flap – one lever, one compression spring"
    for action in actions:
        action.trigger()
        assert main.session.problem is None
        assert main.session.document.path is None, "saving must not touch the example"


def test_a_dropped_file_is_opened(main: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "dropped.throwover"
    files.save(project("rocker", "Dropped"), path)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    action, button = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    none = Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(50, 50), action, data, button, none)
    QApplication.sendEvent(main, enter)
    assert enter.isAccepted()
    drop = QDropEvent(QPointF(50, 50), action, data, button, none)
    QApplication.sendEvent(main, drop)
    assert main.session.document.path == path


def test_the_keys_throw_the_lever(main: MainWindow) -> None:
    session = main.session
    analysis = session.analysis
    assert analysis is not None
    assert analysis.dead_centre is not None
    for key, travel in (
        (Qt.Key.Key_A, 0.0),
        (Qt.Key.Key_Period, 1.0),
        (Qt.Key.Key_B, analysis.throw),
        (Qt.Key.Key_Comma, analysis.throw - 1.0),
        (Qt.Key.Key_D, analysis.dead_centre),
    ):
        QTest.keyClick(main.canvas, key)
        assert session.travel() == pytest.approx(travel)
    QTest.keyClick(main.canvas, Qt.Key.Key_R)
    assert session.direction is None


def test_typing_in_a_field_throws_nothing(main: MainWindow) -> None:
    line = main.panels.docks["inspector"].findChild(QLineEdit)
    assert isinstance(line, QLineEdit)
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, "bad lever, p.l.")
    assert line.text() == "bad lever, p.l."
    assert main.session.direction is None
    assert main.canvas.tool == ""
    QTest.keyClick(line, Qt.Key.Key_Escape)  # or closing would ask about what is typed


def test_an_edit_at_a_rest_becomes_the_drawn_pose(main: MainWindow) -> None:
    trigger(main, "to_rest_a")
    assert main.actions_by_key["edit_here"].isEnabled()
    places = main.session.places()
    trigger(main, "edit_here")
    assert main.session.direction is None
    for name, place in main.session.places().items():
        assert place == pytest.approx(places[name])
    trigger(main, "undo")
    assert not main.session.document.modified


def test_delete_and_undo(main: MainWindow) -> None:
    design = main.session.document.design
    assert not main.actions_by_key["delete"].isEnabled()
    main.session.select(Ref("spring", design.springs[0].name))
    QTest.keyClick(main, Qt.Key.Key_Delete)
    assert main.session.document.design.springs == ()
    assert main.actions_by_key["undo"].isEnabled()
    trigger(main, "undo")
    assert main.session.document.design == design
    assert not main.actions_by_key["undo"].isEnabled()


def test_select_all_and_nothing(main: MainWindow) -> None:
    trigger(main, "select_all")
    design = main.session.document.design
    chosen = main.session.selection
    assert Ref("point", design.grip) in chosen
    assert Ref("spring", design.springs[0].name) in chosen
    trigger(main, "select_none")
    assert main.session.selection == ()


def test_the_tool_in_hand_is_shown_and_put_down(main: MainWindow) -> None:
    action = main.actions_by_key["add_weight"]
    action.trigger()
    assert main.canvas.tool == "weight"
    assert action.isChecked()
    main.actions_by_key["add_point"].trigger()
    assert not action.isChecked()
    QTest.keyClick(main.canvas, Qt.Key.Key_Escape)
    assert not main.actions_by_key["add_point"].isChecked()
    action.trigger()
    action.trigger()
    assert main.canvas.tool == ""
    assert not action.isChecked()


def test_units_are_saved_and_can_be_undone(main: MainWindow) -> None:
    trigger(main, "inch")
    trigger(main, "from_x")
    assert main.session.display.units == "inch"
    assert main.session.display.angle_from == "x"
    assert main.settings.display == main.session.display
    trigger(main, "undo")
    trigger(main, "undo")
    assert main.session.display.units == "metric"
    assert main.actions_by_key["metric"].isChecked()
    assert not main.actions_by_key["inch"].isChecked()


def test_grid_and_look_are_remembered(main: MainWindow) -> None:
    trigger(main, "snap_five")
    assert main.session.snap == 5.0
    assert main.settings.snap == 5.0
    trigger(main, "look_dark")
    assert theme_source.theme is DARK
    assert main.settings.theme == "dark"
    assert main.actions_by_key["look_dark"].isChecked()


def test_an_impossible_drag_says_why_and_keeps_the_last_good_picture(
    main: MainWindow, wait: Wait
) -> None:
    document, session = main.session.document, main.session
    document.new(project("rocker"))
    wait.until(lambda: session.analysis is not None)
    QApplication.processEvents()
    design = document.design
    end, pivot = design.point("rocker end"), design.point("rocker pivot")
    across, up = (pivot.x - end.x) * 0.9, (pivot.y - end.y) * 0.9
    good = session.analysis
    scale = main.canvas.pixels_per_mm
    drag(main, "rocker end", QPoint(round(across * scale), round(-up * scale)))
    assert document.design != design
    assert session.problem
    assert "rocker" in session.problem
    assert session.analysis is not None
    assert session.analysis.design != document.design
    trigger(main, "undo")
    assert document.design == design
    assert session.problem is None
    assert session.analysis is not good


def test_the_panels_come_back_as_they_were_left(
    main: MainWindow, keep: Keeper, tmp_path: Path, wait: Wait
) -> None:
    main.panels.docks["gauge"].hide()
    main.resize(1100, 700)
    assert main.close()
    again = keep(shown_window_as_left(tmp_path, wait))
    assert again.panels.docks["gauge"].isHidden()
    assert again.panels.docks["curves"].isVisible()
    trigger(again, "reset_panels")
    assert again.panels.docks["gauge"].isVisible()


def shown_window_as_left(home: Path, wait: Wait) -> MainWindow:
    made = window(home)
    made.show()
    wait.until(lambda: all(dock.widget() for dock in made.panels.docks.values()))
    return made


@pytest.mark.parametrize(
    ("key", "words"),
    [("tour", "Drag a point"), ("cautions", "eye protection"), ("about", "MIT licence")],
)
def test_help_opens_beside_the_window(main: MainWindow, key: str, words: str) -> None:
    trigger(main, key)
    (dialog,) = main.findChildren(QDialog)
    assert dialog.isVisible()
    texts = {
        "tour": dialogs.TOUR,
        "cautions": dialogs.caution_text(Display()),
        "about": dialogs.about("1"),
    }
    assert words in texts[key]
    dialog.close()


def test_the_status_bar_says_where_lever_and_mouse_are(main: MainWindow) -> None:
    view = main.canvas.viewport()
    grip = main.session.document.design.grip
    trigger(main, "to_rest_b")
    place = main.session.places()[grip]
    QTest.mouseMove(view, main.canvas.to_pixel(place).toPoint())
    texts = {
        label.accessibleName(): label.text() for label in main.statusBar().findChildren(QLabel)
    }
    assert texts["Lever position"] == "Lever at rest B"
    x, y = (float(text.replace("−", "-")) for text in texts["Mouse position"][:-3].split(", "))
    assert (x, y) == pytest.approx(place, abs=1.0)


def test_every_part_of_the_window_has_a_name_to_read_out(main: MainWindow) -> None:
    for dock in main.panels.docks.values():
        assert dock.windowTitle()
        assert dock.objectName()
    for widget in (main.canvas, main.travel):
        assert widget.accessibleName()


def test_the_sides_begin_with_their_widths(tmp_path: Path, keep: Keeper, wait: Wait) -> None:
    main = keep(window(tmp_path))
    main.resize(1280, 800)
    main.panels.reset()
    main.show()
    wait.until(lambda: all(dock.widget() for dock in main.panels.docks.values()))
    assert 285 <= main.panels.docks["inspector"].width() <= 305
    assert 310 <= main.panels.docks["readings"].width() <= 330


def test_a_small_screen_has_room_for_the_window_and_its_sheet(
    tmp_path: Path, keep: Keeper, wait: Wait
) -> None:
    main = keep(window(tmp_path))
    main.resize(784, 460)
    main.panels.reset()
    main.show()
    wait.until(lambda: all(dock.widget() for dock in main.panels.docks.values()))
    QApplication.processEvents()
    assert main.size() == main.size().boundedTo(QSize(800, 500))
    assert main.canvas.width() >= 220
    assert main.canvas.height() >= 250
    assert main.panels.docks["verdict"] in main.tabifiedDockWidgets(main.panels.docks["copies"])
    main.resize(1280, 800)
    main.panels.reset()
    assert not main.tabifiedDockWidgets(main.panels.docks["verdict"])


def test_no_tabs_are_left_of_groups_that_are_no_more(tmp_path: Path, keep: Keeper) -> None:
    main = keep(window(tmp_path))
    assert main.panels.small, "the screen of the tests is a small one"
    main.show()
    main.fill()
    QApplication.processEvents()
    assert shown_tabs(main) == ["Curves", "Parts", "Verdict"]
    main.resize(1600, 1000)
    main.panels.reset()
    QApplication.processEvents()
    assert shown_tabs(main) == ["Parts", "Readings"]


def shown_tabs(main: MainWindow) -> list[str]:
    """The first tab of every group of panels that shows tabs."""
    tabs = [bar for bar in main.findChildren(QTabBar) if bar.isVisible() and bar.count()]
    return sorted(bar.tabText(0) for bar in tabs)


def test_each_size_of_room_keeps_its_own_arrangement(tmp_path: Path, keep: Keeper) -> None:
    main = keep(window(tmp_path))
    for size in (QSize(784, 460), QSize(1280, 800)):
        main.resize(size)
        main.panels.reset()
        main.close()
    small, usual = main.settings.layout("small"), main.settings.layout("usual")
    assert small is not None
    assert usual is not None
    assert small[1] != usual[1]


def test_several_variants_come_forward_and_are_counted(main: MainWindow, wait: Wait) -> None:
    dock, panel = main.panels.docks["variants"], main.panels.docks["variants"].widget()
    assert dock.windowTitle() == "Variants"
    assert panel.visibleRegion().isEmpty()
    main.projects.open(examples.examples()[-1])
    wait.until(lambda: not panel.visibleRegion().isEmpty())
    assert dock.windowTitle() == "Variants (2)"
    trigger(main, "variant_keep")
    assert dock.windowTitle() == "Variants (3)"
    main.session.document.undo()
    assert dock.windowTitle() == "Variants (2)"
