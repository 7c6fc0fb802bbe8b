"""The inspector, used with keys and mouse on a real document."""

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCheckBox, QComboBox, QLabel, QLineEdit, QWidget

from app.inspect.check_list import CheckList
from app.inspect.tables import GENERAL
from app.inspector import Inspector
from app.session import Ref, Session
from app.units_field import OptionalQuantityField, QuantityField
from solver import edit
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Gravity,
    GuideRod,
    Torque,
    TorsionSpring,
    Weight,
)
from solver.project import Display
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import session as make_session
from tests.app.waiting import Wait

KEY = Qt.Key
GRIP, FOOT, ANCHOR = (Ref("point", name) for name in ("grip", "lever foot", "spring anchor"))
SPRING = Ref("spring", "main spring")


class Bench:
    """The inspector of a layout in an active window."""

    def __init__(self, keep: Keeper, wait: Wait, key: str = "extension") -> None:
        self.session: Session = make_session(key)
        self.wait = wait
        self.said: list[str] = []
        self.session.message.connect(self.said.append)
        self.inspector = keep(Inspector(self.session))
        self.inspector.resize(300, 700)
        self.inspector.show()
        self.inspector.activateWindow()
        assert QTest.qWaitForWindowActive(self.inspector)

    @property
    def design(self) -> Design:
        return self.session.document.design

    @property
    def last(self) -> str:
        return self.session.document.undo_stack.undoText()

    @property
    def commands(self) -> int:
        return self.session.document.undo_stack.count()

    def use(self, change: Callable[[Design], Design]) -> None:
        """Begin anew with another design."""
        document = self.session.document
        document.new(document.project.with_design(change(document.design)))

    def select(self, *refs: Ref) -> None:
        self.session.select(*refs)
        self.settle()

    def settle(self) -> None:
        self.session.refresh()
        QApplication.processEvents()

    def control(self, key: str) -> QWidget:
        assert self.inspector.page is not None
        return self.inspector.page.form.control(key)

    def field(self, key: str) -> QuantityField | OptionalQuantityField:
        control = self.control(key)
        assert isinstance(control, QuantityField | OptionalQuantityField)
        return control

    def shown(self, key: str) -> bool:
        return self.control(key).isVisible()

    def text(self, key: str) -> str:
        return self.field(key).line.text()

    def type(self, key: str, text: str) -> None:
        control = self.control(key)
        line = control if isinstance(control, QLineEdit) else self.field(key).line
        line.setFocus()
        line.selectAll()
        QTest.keyClicks(line, text)
        QTest.keyClick(line, KEY.Key_Return)
        self.settle()

    def choose(self, key: str, words: str) -> None:
        """Choose by the keyboard: open the list, go down to the entry, take it."""
        box = self.control(key)
        assert isinstance(box, QComboBox)
        box.setFocus()
        QTest.keyClick(box, KEY.Key_Down, Qt.KeyboardModifier.AltModifier)
        entries = box.view()
        QTest.keyClick(entries, KEY.Key_Home)
        for _ in range(box.findText(words)):
            QTest.keyClick(entries, KEY.Key_Down)
        QTest.keyClick(entries, KEY.Key_Return)
        self.settle()

    def tick(self, box: QWidget) -> None:
        assert isinstance(box, QCheckBox)
        self.inspector.ensureWidgetVisible(box)
        place = box.rect().center()
        place.setX(8)
        QTest.mouseClick(box, Qt.MouseButton.LeftButton, pos=place)
        self.settle()

    def heads(self) -> list[str]:
        """The lines above the form."""
        inside = self.inspector.widget()
        assert inside is not None
        labels = inside.findChildren(QLabel, options=Qt.FindChildOption.FindDirectChildrenOnly)
        return [label.text() for label in labels if label.isVisible()]


@pytest.fixture
def bench(keep: Keeper, wait: Wait) -> Bench:
    made = Bench(keep, wait)
    made.settle()
    return made


# ---- points -----------------------------------------------------------------------------


def test_a_point_shows_its_numbers(bench: Bench) -> None:
    bench.select(FOOT)
    assert bench.heads() == ["lever foot", "Point: spring anchor"]
    assert (bench.text("x"), bench.text("y")) == ("0.0 mm", "−45.0 mm")
    assert not bench.shown("pin_diameter")
    bench.select(Ref("point", "pivot"))
    assert bench.heads() == ["pivot", "Point: lever pivot"]
    assert bench.text("pin_diameter") == "6.0 mm"


def test_a_place_may_be_typed_in_any_unit(bench: Bench) -> None:
    bench.select(FOOT)
    bench.type("y", "-2 in")
    point = bench.design.point("lever foot")
    assert (point.x, point.y) == (0.0, pytest.approx(-50.8))
    assert (bench.commands, bench.last) == (1, "Move lever foot")
    bench.session.document.undo()
    bench.settle()
    assert bench.design.point("lever foot").y == -45.0
    assert bench.text("y") == "−45.0 mm"


def test_a_place_is_edited_in_the_pose_shown(bench: Bench) -> None:
    bench.session.set_travel(0.0)
    before = bench.session.places()
    bench.select(FOOT)
    assert bench.text("x") == f"{before['lever foot'][0]:.1f} mm"
    bench.type("x", "25")
    after = {point.name: (point.x, point.y) for point in bench.design.points}
    assert after["lever foot"] == pytest.approx((25.0, before["lever foot"][1]))
    assert after["grip"] == pytest.approx(before["grip"])
    assert bench.session.direction is None
    assert bench.commands == 1


def test_a_held_arrow_key_is_one_command_and_seen_at_once(bench: Bench) -> None:
    bench.select(ANCHOR)
    line = bench.field("y").line
    line.setFocus()
    for _ in range(3):
        QTest.keyPress(line, KEY.Key_Up)
    assert bench.design.point("spring anchor").y == 68.0
    assert bench.session.document.in_gesture
    assert bench.commands == 0
    QTest.keyRelease(line, KEY.Key_Up)
    assert not bench.session.document.in_gesture
    assert (bench.commands, bench.last) == (1, "Move spring anchor")
    bench.session.document.undo()
    assert bench.design.point("spring anchor").y == 65.0
    bench.settle()


def test_a_wrong_entry_stays_in_its_field_and_changes_nothing(bench: Bench) -> None:
    bench.select(FOOT)
    bench.type("x", "5 kg")
    assert bench.text("x") == "5 kg"
    assert "mass" in bench.field("x").problem
    assert bench.commands == 0
    bench.select(ANCHOR)
    assert bench.text("x") == "0.0 mm"
    assert not bench.field("x").problem


def test_a_point_goes_on_another_link_and_off_again(bench: Bench) -> None:
    bench.use(lambda design: edit.add_link(design, ("lever foot", "spring anchor"), "rod"))
    bench.select(GRIP)
    links = bench.control("links")
    assert isinstance(links, CheckList)
    bench.tick(links.box("rod"))
    assert bench.design.links_at("grip") == ("lever", "rod")
    assert bench.last == "Put grip on rod"
    bench.tick(links.box("rod"))
    assert bench.design.links_at("grip") == ("lever",)
    assert bench.last == "Take grip off rod"


def test_a_refusal_is_told_and_the_box_goes_back(bench: Bench) -> None:
    bench.select(GRIP)
    links = bench.control("links")
    assert isinstance(links, CheckList)
    bench.tick(links.box("lever"))
    assert links.box("lever").isChecked()
    assert bench.commands == 0
    assert bench.said == [bench.heads()[-1]]
    assert "“grip”" in bench.said[0]
    bench.select(FOOT)
    assert bench.said[0] not in bench.heads()


def test_a_pin_gets_its_numbers(bench: Bench) -> None:
    bench.select(Ref("point", "pivot"))
    bench.type("pin_diameter", "5/16 in")
    bench.type("friction", "20 %")
    bench.type("drag", "0.1 N·m")
    pin = bench.design.pivot_at("pivot")
    assert (pin.pin_diameter, pin.friction, pin.drag) == pytest.approx((7.9375, 0.2, 100.0))
    assert bench.last == "Set pin drag of pivot"
    bench.type("friction", "-0.1")
    assert bench.field("friction").problem == "Friction must be at least 0.000."
    assert bench.commands == 3


def test_a_point_is_renamed_and_stays_selected(bench: Bench) -> None:
    bench.select(FOOT)
    bench.type("name", "heel")
    assert bench.session.selection == (Ref("point", "heel"),)
    assert bench.heads()[0] == "heel"
    assert bench.last == "Rename lever foot to heel"
    assert bench.control("name").hasFocus()


def test_a_name_that_is_taken_is_refused(bench: Bench) -> None:
    bench.select(FOOT)
    bench.type("name", "grip")
    assert bench.commands == 0
    assert "“grip”" in bench.said[0]
    name = bench.control("name")
    assert isinstance(name, QLineEdit)
    assert name.text() == "lever foot"


def test_a_point_is_marked_as_output(bench: Bench) -> None:
    bench.select(FOOT)
    bench.tick(bench.control("output"))
    assert bench.design.outputs == ("lever foot",)
    assert bench.last == "Mark lever foot as output"


def test_two_points_are_joined_by_name(bench: Bench) -> None:
    bench.use(
        lambda design: edit.add_point(
            edit.add_link(design, ("grip", "lever foot"), "rod"), 30.0, 60.0, "rod", "peg"
        )
    )
    bench.select(ANCHOR)
    bench.choose("join", "peg")
    assert bench.design.links_at("spring anchor") == ("frame", "rod")
    assert [point.name for point in bench.design.points] == [
        "pivot",
        "grip",
        "lever foot",
        "spring anchor",
    ]
    assert bench.last == "Join spring anchor with peg"


def test_an_arrow_key_on_the_join_box_joins_nothing(bench: Bench) -> None:
    bench.select(ANCHOR)
    box = bench.control("join")
    assert isinstance(box, QComboBox)
    box.setFocus()
    QTest.keyClick(box, KEY.Key_Down)
    assert box.view().isVisible()
    QTest.keyClick(box.view(), KEY.Key_Escape)
    assert bench.commands == 0


def test_two_points_show_their_distance_and_the_second_moves(bench: Bench) -> None:
    bench.select(FOOT, ANCHOR)
    assert bench.heads()[0] == "lever foot and spring anchor"
    assert (bench.text("length:0"), bench.text("direction:0")) == ("110.0 mm", "0.00°")
    bench.type("length:0", "4 in")
    assert bench.design.point("spring anchor").y == pytest.approx(-45.0 + 101.6)
    bench.type("direction:0", "90")
    anchor = bench.design.point("spring anchor")
    assert (anchor.x, anchor.y) == pytest.approx((-101.6, -45.0))
    assert bench.last == "Set direction from lever foot to spring anchor"


# ---- links ------------------------------------------------------------------------------


def test_a_link_shows_its_lengths(bench: Bench) -> None:
    bench.select(Ref("link", "lever"))
    assert bench.heads() == ["lever", "Link: the hand moves it"]
    assert (bench.text("length:0"), bench.text("length:1")) == ("150.0 mm", "45.0 mm")
    bench.type("length:1", "50")
    assert bench.design.point("lever foot").y == pytest.approx(-50.0)
    assert bench.last == "Set length from pivot to lever foot"


def test_the_grip_is_chosen_on_the_lever(bench: Bench) -> None:
    bench.select(Ref("link", "lever"))
    bench.choose("grip", "lever foot")
    assert bench.design.grip == "lever foot"
    assert bench.last == "Make lever foot the grip"


def test_another_link_becomes_the_lever(bench: Bench) -> None:
    bench.use(
        lambda design: edit.add_link(
            edit.add_point(design, 60.0, 5.0, "frame", "rocker pivot"),
            ("rocker pivot", "lever foot"),
            "rocker",
        )
    )
    bench.select(Ref("link", "rocker"))
    bench.tick(bench.control("lever"))
    assert (bench.design.lever, bench.design.grip) == ("rocker", "lever foot")
    assert not bench.shown("lever")
    assert bench.shown("grip")


def test_the_frame_has_no_name_to_change(bench: Bench) -> None:
    bench.select(Ref("link", "frame"))
    assert bench.heads() == ["frame", "What does not move"]
    assert not bench.shown("name")
    assert not bench.shown("lever")


# ---- other parts ------------------------------------------------------------------------


def test_an_extension_springs_numbers(bench: Bench) -> None:
    bench.select(SPRING)
    bench.type("rate", "10 lbf/in")
    bench.type("initial_tension", "2 lbf")
    spring = bench.design.springs[0]
    assert isinstance(spring, ExtensionSpring)
    assert (spring.rate, spring.initial_tension) == pytest.approx((1.751268, 8.896443))
    assert bench.last == "Set initial tension of main spring"
    longest = bench.field("longest").line
    longest.setFocus()
    longest.selectAll()
    QTest.keyClick(longest, KEY.Key_Backspace)
    QTest.keyClick(longest, KEY.Key_Return)
    spring = bench.design.springs[0]
    assert isinstance(spring, ExtensionSpring)
    assert spring.longest is None
    bench.settle()


def test_a_guide_rod_comes_and_goes(keep: Keeper, wait: Wait) -> None:
    bench = Bench(keep, wait, "compression")
    bench.select(SPRING)
    assert not bench.shown("closed")
    bench.tick(bench.control("rod"))
    spring = bench.design.springs[0]
    assert isinstance(spring, CompressionSpring)
    assert spring.rod == GuideRod(spring.solid_length + spring.least_gaps, spring.free_length)
    assert bench.last == "Give guide rod to main spring"
    bench.type("reach", "90")
    spring = bench.design.springs[0]
    assert isinstance(spring, CompressionSpring)
    assert spring.rod is not None
    assert spring.rod.reach == 90.0
    bench.tick(bench.control("rod"))
    assert not bench.shown("reach")
    assert bench.last == "Take guide rod off main spring"


def test_a_torsion_springs_numbers(bench: Bench) -> None:
    coil = TorsionSpring("coil", "pivot", "grip", "spring anchor", rate=20.0, free_angle=30.0)
    bench.use(lambda design: replace(design, springs=(*design.springs, coil)))
    bench.select(Ref("spring", "coil"))
    bench.type("free_angle", "0.5 rad")
    bench.choose("acts", "only above")
    spring = bench.design.springs[-1]
    assert isinstance(spring, TorsionSpring)
    assert spring.free_angle == pytest.approx(math.degrees(0.5))
    assert spring.acts == "above"


def test_a_weight(bench: Bench) -> None:
    bench.use(lambda design: replace(design, weights=(Weight("knob", "grip", 0.12),)))
    bench.select(Ref("weight", "knob"))
    bench.type("mass", "8 oz")
    bench.choose("point", "lever foot")
    (weight,) = bench.design.weights
    assert (weight.point, weight.mass) == ("lever foot", pytest.approx(0.226796))


def test_a_force_by_size_and_direction_or_by_parts(bench: Bench) -> None:
    bench.use(lambda design: replace(design, loads=(Force("belt pull", "grip", 3.0, -4.0),)))
    bench.select(Ref("load", "belt pull"))
    assert bench.text("size") == "5.00 N"
    bench.type("size", "10")
    bench.type("direction", "-90")
    assert bench.text("x") == "10.0 N"
    force = bench.design.loads[0]
    assert isinstance(force, Force)
    assert (force.x, force.y) == pytest.approx((10.0, 0.0))
    bench.type("y", "-1 kgf")
    force = bench.design.loads[0]
    assert isinstance(force, Force)
    assert force.y == pytest.approx(-9.80665)
    assert bench.commands == 3


def test_a_torque(bench: Bench) -> None:
    bench.use(lambda design: replace(design, loads=(Torque("gate drag", "lever", -120.0),)))
    bench.select(Ref("load", "gate drag"))
    bench.type("torque", "-0.2 N·m")
    assert bench.design.loads == (Torque("gate drag", "lever", -200.0),)


def test_a_slider(keep: Keeper, wait: Wait) -> None:
    bench = Bench(keep, wait, "knee")
    slider = bench.design.sliders[0]
    bench.select(Ref("slider", slider.name))
    bench.type("drag", "2 N")
    bench.type("friction", "0.2")
    assert bench.design.sliders[0] == replace(slider, drag=2.0, friction=0.2)
    assert bench.last == f"Set friction of {slider.name}"


# ---- rests and the whole design ---------------------------------------------------------


def test_rests_by_middle_and_throw(bench: Bench) -> None:
    bench.select(Ref("rest", "A"))
    assert [bench.text(key) for key in ("rest_a", "rest_b", "middle", "throw")] == [
        "28.0°",
        "−28.0°",
        "0.00°",
        "56.0°",
    ]
    bench.type("throw", "44")
    assert (bench.design.stops.rest_a, bench.design.stops.rest_b) == (112.0, 68.0)
    bench.type("middle", "5")
    assert (bench.design.stops.rest_a, bench.design.stops.rest_b) == (117.0, 73.0)
    bench.type("rest_b", "-20")
    assert (bench.design.stops.rest_a, bench.design.stops.rest_b) == (117.0, 70.0)
    assert bench.last == "Set rest B"
    assert bench.commands == 3


def test_a_throw_of_nothing_is_refused_at_the_field(bench: Bench) -> None:
    bench.select(Ref("rest", "A"))
    bench.type("rest_b", "28")
    assert "rest" in bench.field("rest_b").problem.lower()
    assert bench.commands == 0
    assert bench.design.stops.rest_b == 62.0


def test_nothing_selected_shows_the_whole_design(bench: Bench) -> None:
    assert bench.heads()[0] == "Whole design"
    bench.choose("stands", "lies flat")
    assert bench.design.gravity.strength == 0.0
    assert not bench.shown("strength")
    bench.choose("stands", "stands upright")
    assert bench.design.gravity == Gravity()
    bench.type("pull", "135")
    assert bench.design.gravity.direction == 225.0
    bench.type("title", "Plum gate")
    assert bench.session.document.project.title == "Plum gate"
    bench.choose("grip", "lever foot")
    assert bench.design.grip == "lever foot"


def test_units_of_the_project(bench: Bench) -> None:
    bench.choose("units", "in, lbf, lb")
    assert bench.session.display == Display(units="inch")
    bench.choose("angle_from", "the right (+x)")
    assert bench.text("rest_a") == "118.0°"
    bench.select(GRIP)
    assert bench.text("y") == "5.906 in"


def test_notes_are_taken_on_leaving(bench: Bench) -> None:
    notes = bench.control("notes")
    notes.setFocus()
    QTest.keyClicks(notes, "Spring from the blue drawer")
    assert bench.commands == 0
    bench.control("title").setFocus()
    assert bench.design.notes == "Spring from the blue drawer"
    assert bench.last == "Edit notes"
    bench.settle()


# ---- as a whole -------------------------------------------------------------------------


def test_several_parts_have_no_numbers_in_common(bench: Bench) -> None:
    bench.select(GRIP, SPRING)
    assert bench.heads()[0] == "2 things selected"
    assert bench.inspector.page is None


def test_what_is_removed_makes_room_for_the_whole_design(bench: Bench) -> None:
    bench.select(FOOT)
    document = bench.session.document
    bench.field("x").line.setFocus()
    QTest.keyClicks(bench.field("x").line, "12")  # typed, not entered
    document.apply(edit.remove(bench.design, "point", "lever foot"), "Remove lever foot")
    bench.settle()
    assert bench.heads()[0] == "Whole design"
    assert bench.commands == 1


def test_an_impossible_edit_is_made_and_can_be_undone(bench: Bench) -> None:
    bench.select(ANCHOR)
    bench.type("y", "-45")  # both ends of the spring on one spot
    assert bench.design.point("spring anchor").y == -45.0
    assert bench.session.problem
    assert bench.commands == 1
    bench.session.document.undo()
    bench.settle()
    assert bench.session.problem is None
    assert bench.text("y") == "65.0 mm"


def test_widgets_are_kept_while_a_point_is_dragged(bench: Bench) -> None:
    bench.select(ANCHOR)
    field = bench.field("x")
    start = bench.design
    for step in (1.0, 2.0):
        bench.session.document.preview(edit.move_point(start, "spring anchor", step, 65.0))
        bench.settle()
        shown = f"{step:.1f} mm"
        bench.wait.until(lambda: bench.text("x") == shown)  # noqa: B023  # called in this turn
        assert bench.field("x") is field
    bench.session.document.cancel()
    bench.settle()
    assert bench.commands == 0


def test_a_hidden_inspector_catches_up_when_shown(bench: Bench) -> None:
    bench.select(ANCHOR)
    bench.inspector.hide()
    bench.session.document.apply(edit.move_point(bench.design, "spring anchor", 4.0, 65.0), "Move")
    bench.settle()
    assert bench.text("x") == "0.0 mm"
    bench.inspector.show()
    assert bench.text("x") == "4.0 mm"


def test_letters_choose_in_a_box_though_they_are_commands_of_the_window(bench: Bench) -> None:
    asked: list[bool] = []
    action = QAction("Link", bench.inspector)
    action.setShortcut("L")
    action.triggered.connect(lambda: asked.append(True))
    bench.inspector.addAction(action)
    box = bench.control("stands")
    box.setFocus()
    QTest.keyClick(box, KEY.Key_L)
    assert asked == []
    assert bench.design.gravity.strength == 0.0


def test_every_control_has_a_name_and_hangs_on_its_label(bench: Bench) -> None:
    for row in GENERAL:
        if row.key in ("rests", "hand", "gravity", "units", "remarks") and row.label[0].isupper():
            continue
        control = bench.control(row.key)
        named = control.line if isinstance(control, QuantityField) else control
        assert named.accessibleName() == row.label


def test_tab_walks_the_fields_in_order(bench: Bench) -> None:
    bench.select(Ref("rest", "A"))
    bench.field("rest_a").line.setFocus()
    seen = []
    for key in ("rest_b", "middle", "throw"):
        focused = QApplication.focusWidget()
        assert focused is not None
        QTest.keyClick(focused, KEY.Key_Tab)
        seen.append(bench.field(key).line.hasFocus())
    assert seen == [True, True, True]
