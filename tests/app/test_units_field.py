"""A quantity field, driven by keys and wheel as a user would."""

import math

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QKeySequence, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget

from app.redo_keys import redo_keys
from app.units_field import OptionalQuantityField, QuantityField
from solver.project import Display
from solver.ranges import Range
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait

METRIC = Display()
INCH = Display(units="inch")
KEY = Qt.Key


class Bench:
    """A field and another line to go to, in an active window."""

    def __init__(self, field: QuantityField | OptionalQuantityField, keep: Keeper) -> None:
        self.window = keep(QWidget())
        self.field = field
        self.other = QLineEdit()
        column = QVBoxLayout(self.window)
        column.addWidget(field)
        column.addWidget(self.other)
        self.window.show()
        self.window.activateWindow()
        assert QTest.qWaitForWindowActive(self.window)
        self.other.setFocus()
        self.edits: list[float | None] = []
        self.steps: list[float] = []
        field.edited.connect(self.edits.append)
        field.stepped.connect(self.steps.append)

    def type(self, text: str) -> None:
        self.field.setFocus()
        self.field.line.selectAll()
        QTest.keyClicks(self.field.line, text)

    def press(
        self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> None:
        QTest.keyClick(self.field.line, key, held)

    @property
    def text(self) -> str:
        return self.field.line.text()


@pytest.fixture
def length(keep: Keeper) -> Bench:
    field = QuantityField("length", METRIC, "Free length", "Its length with no load.")
    field.set_value(20.0)
    return Bench(field, keep)


@pytest.mark.parametrize(
    ("typed", "value"),
    [("3/8 in", 9.525), ("12 mm + 2", 14.0), ("12,5", 12.5), ("1 ft", 304.8)],
)
def test_any_unit_is_taken_on_return(length: Bench, typed: str, value: float) -> None:
    length.type(typed)
    assert length.edits == []
    length.press(KEY.Key_Return)
    assert length.edits == [pytest.approx(value)]
    assert length.text.endswith(" mm")


def test_leaving_takes_the_entry_once(length: Bench) -> None:
    length.type("31")
    QTest.keyClick(length.field.line, KEY.Key_Tab)
    assert length.other.hasFocus()
    assert length.edits == [31.0]
    length.field.setFocus()
    length.other.setFocus()
    assert length.edits == [31.0]


def test_the_same_value_typed_again_is_no_edit(length: Bench) -> None:
    length.type("2 cm")
    length.press(KEY.Key_Return)
    assert length.edits == []
    assert length.text == "20.0 mm"


def test_escape_restores(length: Bench) -> None:
    length.type("99 fathoms of nothing")
    length.press(KEY.Key_Escape)
    assert length.text == "20.0 mm"
    length.other.setFocus()
    assert length.edits == []
    assert not length.field.problem


def test_a_wrong_entry_stays_with_its_sentence_and_the_value_holds(length: Bench) -> None:
    length.type("12 kg")
    length.press(KEY.Key_Return)
    assert length.text == "12 kg"
    assert length.field.value == 20.0
    assert length.edits == []
    assert "length" in length.field.problem
    assert length.field.line.accessibleDescription() == length.field.problem
    assert len(length.field.line.actions()) == 1  # the warning sign, not colour alone
    shown = [note for note in length.field.children() if _text(note) == length.field.problem]
    assert len(shown) == 1

    length.type("12 mm")
    assert not length.field.problem
    assert length.field.line.actions() == []
    length.press(KEY.Key_Return)
    assert length.edits == [12.0]


def _text(thing: object) -> str:
    return thing.text() if hasattr(thing, "text") else ""


def test_a_value_from_elsewhere_is_shown_without_an_echo(length: Bench) -> None:
    length.field.set_value(33.3)
    assert length.text == "33.3 mm"
    assert length.edits == []


def test_a_value_from_elsewhere_leaves_the_typing_alone(length: Bench) -> None:
    length.type("45")
    length.field.set_value(33.3)
    assert length.text == "45"
    length.press(KEY.Key_Escape)
    assert length.text == "33.3 mm"


def test_another_things_value_ends_the_typing(length: Bench) -> None:
    length.type("45 kg")
    length.press(KEY.Key_Return)
    length.field.load(7.0)
    assert not length.field.problem
    length.other.setFocus()
    assert length.text == "7.0 mm"
    assert length.edits == []


def test_all_digits_are_there_to_edit_and_few_to_look_at(length: Bench) -> None:
    length.field.set_value(12.345678)
    assert length.text == "12.3 mm"
    length.field.setFocus()
    assert length.text == "12.345678 mm"
    length.other.setFocus()
    assert length.text == "12.3 mm"
    assert length.edits == []
    assert length.field.value == 12.345678


def test_other_units_change_the_text_only(length: Bench) -> None:
    length.field.set_value(25.4)
    length.field.set_display(INCH)
    assert length.text == "1.000 in"
    assert length.edits == []
    length.type("2")
    length.press(KEY.Key_Return)
    assert length.edits == [50.8]


def test_a_held_arrow_key_steps_and_makes_one_edit(length: Bench) -> None:
    length.field.setFocus()
    for _ in range(3):
        QTest.keyPress(length.field.line, KEY.Key_Up)
    assert length.steps == [21.0, 22.0, 23.0]
    assert length.edits == []
    QTest.keyRelease(length.field.line, KEY.Key_Up)
    assert length.edits == [23.0]
    length.press(KEY.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert length.edits == [23.0, 13.0]
    length.press(KEY.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert length.edits == [23.0, 13.0, 12.9]


def test_a_step_starts_from_what_is_typed(length: Bench) -> None:
    length.type("40")
    length.press(KEY.Key_Up)
    assert length.edits[-1] == 41.0


def test_steps_in_inches_are_sixteenths(keep: Keeper) -> None:
    bench = Bench(QuantityField("length", INCH, "Length"), keep)
    bench.field.load(25.4)
    bench.field.setFocus()
    bench.press(KEY.Key_Up)
    assert bench.edits == [pytest.approx(25.4 * 17 / 16)]


def _turn(line: QLineEdit, notches: int) -> QWheelEvent:
    middle = QPointF(line.rect().center())
    event = QWheelEvent(
        middle,
        line.mapToGlobal(middle),
        QPoint(),
        QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(line, event)
    return event


def test_the_wheel_steps_only_with_the_focus(length: Bench, wait: Wait) -> None:
    _turn(length.field.line, 1)
    assert length.steps == []
    length.field.setFocus()
    _turn(length.field.line, 1)
    _turn(length.field.line, 1)
    assert length.steps == [21.0, 22.0]
    wait.until(lambda: length.edits)
    assert length.edits == [22.0]


def test_leaving_ends_a_turn_of_the_wheel(length: Bench) -> None:
    length.field.setFocus()
    _turn(length.field.line, -2)
    length.other.setFocus()
    assert length.edits == [18.0]


def test_a_number_out_of_range_is_refused_in_the_units_on_screen(keep: Keeper) -> None:
    field = QuantityField("length", INCH, "Pin diameter", allowed=Range(0.0, 254.0))
    field.load(25.4)
    bench = Bench(field, keep)
    bench.type("-1")
    bench.press(KEY.Key_Return)
    assert field.problem == "Pin diameter must be at least 0.000 in."
    bench.type("11")
    bench.press(KEY.Key_Return)
    assert field.problem == "Pin diameter must be at most 10.000 in."
    assert bench.edits == []
    assert field.value == 25.4


def test_steps_stop_at_the_bounds(keep: Keeper) -> None:
    field = QuantityField("length", METRIC, "Rate", allowed=Range(0.0, 9.0, above=True))
    field.load(1.5)
    bench = Bench(field, keep)
    field.setFocus()
    bench.press(KEY.Key_Down)
    bench.press(KEY.Key_Down)
    assert bench.edits == [0.5]
    bench.press(KEY.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    assert bench.edits == [0.5, 9.0]


def test_a_refused_entry_says_why_until_the_value_is_back(length: Bench) -> None:
    length.type("45")
    length.press(KEY.Key_Return)
    length.field.refuse("Free length cannot be 45 mm here.")
    length.field.set_value(20.0)
    assert length.field.problem == "Free length cannot be 45 mm here."
    assert length.text == "45.0 mm"
    length.press(KEY.Key_Escape)
    assert length.text == "20.0 mm"
    assert not length.field.problem


def test_an_optional_quantity_may_be_emptied(keep: Keeper) -> None:
    field = OptionalQuantityField("length", METRIC, "Longest")
    field.load(124.0)
    bench = Bench(field, keep)
    field.setFocus()
    field.line.selectAll()
    bench.press(KEY.Key_Delete)
    bench.press(KEY.Key_Return)
    assert bench.edits == [None]
    assert field.value is None
    assert field.line.placeholderText() == "none"
    bench.type("5 in")
    bench.press(KEY.Key_Return)
    assert bench.edits == [None, 127.0]


def test_an_empty_quantity_is_refused_where_one_is_needed(length: Bench) -> None:
    length.field.setFocus()
    length.field.line.selectAll()
    length.press(KEY.Key_Delete)
    length.press(KEY.Key_Return)
    assert length.field.problem
    assert length.field.value == 20.0


def test_a_quantity_not_set_yet_is_not_a_number(keep: Keeper) -> None:
    field = QuantityField("force", METRIC, "Force")
    Bench(field, keep)
    assert math.isnan(field.value)


def test_undo_goes_to_the_window_unless_there_is_typing(length: Bench) -> None:
    undone: list[bool] = []
    undo = QAction("Undo", length.window)
    undo.setShortcut(QKeySequence.StandardKey.Undo)
    undo.triggered.connect(lambda: undone.append(True))
    length.window.addAction(undo)
    length.field.setFocus()
    length.press(KEY.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert len(undone) == 1
    length.type("7")
    length.press(KEY.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert len(undone) == 1
    assert length.text != "7"


@pytest.mark.parametrize("key", [KEY.Key_Y, KEY.Key_Z])
def test_redo_goes_to_the_window_unless_there_is_typing(length: Bench, key: Qt.Key) -> None:
    control = Qt.KeyboardModifier.ControlModifier
    held = control if key == KEY.Key_Y else control | Qt.KeyboardModifier.ShiftModifier
    redone: list[bool] = []
    redo = QAction("Redo", length.window)
    redo.setShortcuts(redo_keys())
    redo.triggered.connect(lambda: redone.append(True))
    length.window.addAction(redo)
    length.field.setFocus()
    length.press(key, held)
    assert len(redone) == 1
    length.type("7")
    length.press(KEY.Key_A, control)
    QTest.keyClicks(length.field.line, "85")
    length.press(KEY.Key_Z, control)
    assert length.text != "85"
    length.press(key, held)
    assert length.text == "85"
    assert len(redone) == 1


def test_the_field_is_named_for_a_screen_reader(length: Bench) -> None:
    assert length.field.line.accessibleName() == "Free length"
    assert "no load" in length.field.line.toolTip()
    assert "3/8 in" in length.field.line.accessibleDescription()
