"""The list of parts, used with keys and mouse on a real document."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QAccessible, QAction, QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu

from app.parts import PartsList
from app.session import Ref, Session
from solver import edit
from solver.model import Force, Screw, Weight
from solver.project import Display
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import session as make_session
from tests.app.waiting import Wait

KEY = Qt.Key
PIVOT, GRIP, FOOT, ANCHOR = (
    Ref("point", name) for name in ("pivot", "grip", "lever foot", "spring anchor")
)
SPRING = Ref("spring", "main spring")


class Bench:
    """The list of the extension spring layout, with a weight and a load, in an active window."""

    def __init__(self, keep: Keeper, wait: Wait) -> None:
        self.session: Session = make_session("extension")
        document = self.session.document
        design = replace(
            document.design,
            weights=(Weight("knob", "grip", 0.12),),
            loads=(Force("belt pull", "grip", 3.0, -4.0),),
        )
        document.new(document.project.with_design(design))
        self.wait = wait
        self.said: list[str] = []
        self.session.message.connect(self.said.append)
        self.view = keep(PartsList(self.session))
        self.view.resize(300, 500)
        self.view.show()
        self.view.activateWindow()
        assert QTest.qWaitForWindowActive(self.view)
        self.view.setFocus()
        self.until(lambda: self.rows())

    def until(self, condition: Callable[[], object]) -> None:
        self.wait.until(condition)

    def groups(self) -> dict[str, list[str]]:
        model = self.view.model()
        tops = [model.index(row, 0) for row in range(model.rowCount())]
        return {
            top.data(): [model.index(row, 0, top).data() for row in range(model.rowCount(top))]
            for top in tops
        }

    def rows(self) -> list[str]:
        return [name for names in self.groups().values() for name in names]

    def index(self, ref: Ref) -> QModelIndex:
        return self.view.index_of(ref)

    def texts(self, ref: Ref) -> tuple[str, str]:
        index = self.index(ref)
        return index.siblingAtColumn(1).data(), index.siblingAtColumn(2).data()

    def click(self, ref: Ref, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        place = self.view.visualRect(self.index(ref)).center()
        QTest.mouseClick(self.view.viewport(), Qt.MouseButton.LeftButton, held, place)

    def press(
        self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> None:
        QTest.keyClick(self.view, key, held)

    def actions(self) -> dict[str, QAction]:
        """What the menu of the selection offers."""
        found = {action.text().split("\t")[0]: action for action in self.view.menu().actions()}
        return {words: action for words, action in found.items() if action.isVisible()}

    def do(self, words: str) -> None:
        self.actions()[words].trigger()


@pytest.fixture
def bench(keep: Keeper, wait: Wait) -> Bench:
    return Bench(keep, wait)


def test_everything_in_the_design_is_listed(bench: Bench) -> None:
    assert bench.groups() == {
        "Points": ["pivot", "grip", "lever foot", "spring anchor"],
        "Links": ["frame", "lever"],
        "Springs": ["main spring"],
        "Weights": ["knob"],
        "Loads": ["belt pull"],
        "Rests": ["Rest A", "Rest B"],
    }


def test_rows_say_what_things_are_and_where(bench: Bench) -> None:
    assert bench.texts(PIVOT) == ("lever pivot", "0.0, 0.0")
    assert bench.texts(GRIP) == ("grip, weight, load", "0.0, 150.0")
    assert bench.texts(FOOT) == ("spring anchor", "0.0, −45.0")
    assert bench.texts(Ref("link", "lever")) == ("lever", "3 points")
    assert bench.texts(SPRING) == ("extension", "1.400 N/mm")
    assert bench.texts(Ref("weight", "knob")) == ("weight", "0.120 kg")
    assert bench.texts(Ref("load", "belt pull")) == ("force", "5.00 N")
    assert bench.texts(Ref("rest", "A")) == ("rest", "28.0°")


def test_places_are_those_of_the_pose_shown_in_the_units_shown(bench: Bench) -> None:
    bench.session.set_travel(0.0)
    x, y = bench.session.places()["grip"]
    assert x == pytest.approx(-70.42, abs=0.01)
    bench.until(lambda: bench.texts(GRIP)[1] == f"−{-x:.1f}, {y:.1f}")

    document = bench.session.document
    document.apply_project(replace(document.project, display=Display(units="inch")), "Change units")
    bench.until(lambda: bench.texts(GRIP)[1] == f"−{-x / 25.4:.3f}, {y / 25.4:.3f}")
    assert bench.view.model().headerData(2, Qt.Orientation.Horizontal) == "x, y in in"


def test_a_click_selects_in_the_session(bench: Bench) -> None:
    bench.click(FOOT)
    assert bench.session.selection == (FOOT,)
    bench.click(PIVOT, Qt.KeyboardModifier.ControlModifier)
    assert bench.session.selection == (FOOT, PIVOT)


def test_the_arrow_keys_select_and_pass_over_nothing(bench: Bench) -> None:
    bench.click(PIVOT)
    seen = [bench.session.selection]
    for _ in range(3):
        bench.press(KEY.Key_Down)
        seen.append(bench.session.selection)
    assert seen == [(PIVOT,), (GRIP,), (FOOT,), (ANCHOR,)]


def test_a_selection_from_elsewhere_shows_in_the_list(bench: Bench) -> None:
    told: list[tuple[Ref, ...]] = []
    bench.session.select(ANCHOR, SPRING)
    bench.session.selection_changed.connect(lambda: told.append(bench.session.selection))
    selected = bench.view.selectionModel()
    bench.until(lambda: selected.isSelected(bench.index(SPRING)))
    assert selected.isSelected(bench.index(ANCHOR))
    assert len(selected.selectedRows()) == 2
    assert told == []  # mirroring is no choice of the user's


def test_f2_renames_in_place(bench: Bench) -> None:
    bench.click(FOOT)
    bench.press(KEY.Key_F2)
    line = bench.view.findChild(QLineEdit)
    assert line is not None
    line.selectAll()
    QTest.keyClicks(line, "heel")
    QTest.keyClick(line, KEY.Key_Return)
    heel = Ref("point", "heel")
    bench.until(lambda: "heel" in bench.rows())
    assert bench.session.selection == (heel,)
    assert bench.session.document.design.springs[0].name == "main spring"
    assert "heel" in bench.session.document.design.link("lever").points
    assert bench.session.document.undo_stack.undoText() == "Rename lever foot to heel"
    assert bench.view.currentIndex() == bench.index(heel)


def test_a_name_that_is_taken_is_refused_with_a_sentence(bench: Bench) -> None:
    bench.click(FOOT)
    bench.press(KEY.Key_F2)
    line = bench.view.findChild(QLineEdit)
    assert line is not None
    line.selectAll()
    QTest.keyClicks(line, "grip")
    QTest.keyClick(line, KEY.Key_Return)
    bench.until(lambda: bench.said)
    assert len(bench.said) == 1
    assert "“grip”" in bench.said[0]
    assert not bench.session.document.undo_stack.canUndo()


def test_delete_removes_in_one_command(bench: Bench) -> None:
    bench.click(Ref("weight", "knob"))
    bench.click(SPRING, Qt.KeyboardModifier.ControlModifier)
    bench.press(KEY.Key_Delete)
    bench.until(lambda: "knob" not in bench.rows())
    design = bench.session.document.design
    assert (design.weights, design.springs) == ((), ())
    assert bench.session.document.undo_stack.count() == 1
    bench.session.document.undo()
    bench.until(lambda: "knob" in bench.rows())


def test_what_cannot_be_removed_is_told(bench: Bench) -> None:
    bench.click(Ref("rest", "A"))
    bench.press(KEY.Key_Delete)
    bench.click(GRIP)
    bench.press(KEY.Key_Delete)
    assert len(bench.said) == 2
    assert all(sentence.endswith(".") for sentence in bench.said)
    assert not bench.session.document.undo_stack.canUndo()


def test_the_keyboard_keeps_its_place_when_a_row_goes(bench: Bench) -> None:
    bench.click(FOOT)
    bench.press(KEY.Key_Delete)
    bench.until(lambda: "lever foot" not in bench.rows())
    assert bench.view.currentIndex().data() == "spring anchor"


def test_delete_is_the_lists_own_and_not_ambiguous_with_the_windows(bench: Bench) -> None:
    asked: list[bool] = []
    action = QAction("Delete", bench.view)
    action.setShortcut(KEY.Key_Delete)
    action.triggered.connect(lambda: asked.append(True))
    bench.view.addAction(action)
    bench.click(Ref("weight", "knob"))
    bench.press(KEY.Key_Delete)
    assert asked == []
    assert bench.session.document.design.weights == ()


def test_the_menu_key_opens_the_menu_at_the_row(bench: Bench) -> None:
    bench.click(FOOT)
    centre = bench.view.rect().center()
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Keyboard, centre, bench.view.mapToGlobal(centre)
    )
    QApplication.sendEvent(bench.view, event)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    assert [action.text() for action in menu.actions() if action.text()] == [
        "Rename\tF2",
        "Make it the grip",
        "Read its travel (output)",
        "Remove\tDel",
    ]
    row = bench.view.visualRect(bench.index(FOOT))
    assert menu.y() == bench.view.viewport().mapToGlobal(row.bottomLeft()).y()
    menu.close()


def test_texts_hold_between_a_removal_and_the_refresh(bench: Bench) -> None:
    index = bench.index(Ref("weight", "knob"))
    document = bench.session.document
    document.apply(edit.remove(document.design, "weight", "knob"), "Remove knob")
    assert index.siblingAtColumn(2).data() == "0.120 kg"
    bench.until(lambda: "knob" not in bench.rows())


def test_the_menu_marks_an_output_and_takes_it_back(bench: Bench) -> None:
    bench.click(FOOT)
    bench.do("Read its travel (output)")
    assert bench.session.document.design.outputs == ("lever foot",)
    bench.until(lambda: bench.texts(FOOT)[0] == "spring anchor, output")
    bench.do("Read its travel (output)")
    assert bench.session.document.design.outputs == ()


def test_the_menu_puts_a_screw_through_a_point_and_takes_it_out(bench: Bench) -> None:
    bench.click(FOOT)  # a spring hangs there
    assert "Screw through here" not in bench.actions()
    document = bench.session.document
    document.apply(edit.add_point(document.design, -60.0, -40.0, "frame", "corner"), "Add corner")
    corner = Ref("point", "corner")
    bench.until(lambda: "corner" in bench.rows())
    bench.click(corner)
    bench.do("Screw through here")
    assert document.design.screws == (Screw("corner"),)
    bench.until(lambda: bench.texts(corner)[0] == "fixing hole")
    bench.do("Screw through here")
    assert document.design.screws == ()
    bench.until(lambda: bench.texts(corner)[0] == "point")


def test_the_menu_moves_the_grip_and_the_lever(bench: Bench) -> None:
    bench.click(FOOT)
    bench.do("Make it the grip")
    assert bench.session.document.design.grip == "lever foot"
    bench.click(FOOT)
    bench.until(lambda: bench.texts(FOOT)[0].startswith("grip"))
    assert "Make it the grip" not in bench.actions()

    design = edit.add_point(bench.session.document.design, 60.0, 5.0, "frame", "rocker pivot")
    design = edit.add_link(design, ("rocker pivot", "lever foot"), "rocker")
    bench.session.document.apply(design, "Add link rocker")
    bench.until(lambda: "rocker" in bench.rows())
    bench.click(Ref("link", "rocker"))
    bench.do("Make it the lever")
    assert bench.session.document.design.lever == "rocker"


def test_two_points_are_linked_in_the_pose_shown(bench: Bench) -> None:
    bench.session.set_travel(0.0)
    lengths = bench.session.places()
    bench.click(FOOT)
    bench.click(GRIP, Qt.KeyboardModifier.ControlModifier)
    bench.do("Put a link through the two")
    design = bench.session.document.design
    assert design.links[-1].points == ("lever foot", "grip")
    assert bench.session.direction is None
    assert (design.point("grip").x, design.point("grip").y) == pytest.approx(lengths["grip"])


def test_joining_is_offered_for_points_of_different_links_only(bench: Bench) -> None:
    bench.click(ANCHOR)
    bench.click(PIVOT, Qt.KeyboardModifier.ControlModifier)
    assert "Join the two into one pivot" not in bench.actions()  # both are on the frame
    bench.click(ANCHOR)
    bench.click(GRIP, Qt.KeyboardModifier.ControlModifier)
    assert "Join the two into one pivot" in bench.actions()


def test_rows_stay_while_a_point_is_dragged(bench: Bench) -> None:
    resets: list[bool] = []
    bench.view.model().modelReset.connect(lambda: resets.append(True))
    start = bench.session.document.design
    for step in range(1, 4):
        bench.session.document.preview(edit.move_point(start, "spring anchor", step, 65.0))
        bench.session.refresh()
        place = f"{step:.1f}, 65.0"
        bench.until(lambda: bench.texts(ANCHOR)[1] == place)  # noqa: B023  # called in this turn
    bench.session.document.cancel()
    bench.until(lambda: bench.texts(ANCHOR)[1] == "0.0, 65.0")
    assert resets == []


def test_a_hidden_list_catches_up_when_shown(bench: Bench) -> None:
    bench.view.hide()
    document = bench.session.document
    document.apply(edit.remove(document.design, "weight", "knob"), "Remove knob")
    bench.wait.until(lambda: bench.session.analysis)
    bench.session.refresh()
    QApplication.processEvents()
    assert "knob" in bench.rows()
    bench.view.show()
    assert "knob" not in bench.rows()


def test_a_screen_reader_hears_what_a_row_is(bench: Bench) -> None:
    spoken = bench.index(FOOT).data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "lever foot: spring anchor, 0.0, −45.0"
    heard = QAccessible.queryAccessibleInterface(bench.view)
    assert heard.text(QAccessible.Text.Name) == "Points and parts"


def test_folded_groups_stay_folded(bench: Bench) -> None:
    links = bench.index(Ref("link", "lever")).parent()
    bench.view.collapse(links)
    document = bench.session.document
    document.apply(edit.remove(document.design, "weight", "knob"), "Remove knob")
    bench.until(lambda: "knob" not in bench.rows())
    assert not bench.view.isExpanded(bench.index(Ref("link", "lever")).parent())
    assert bench.view.isExpanded(bench.index(PIVOT).parent())
