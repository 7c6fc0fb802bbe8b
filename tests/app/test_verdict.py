"""The verdict panel: what it says of a design, and limits added, changed and removed."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.limit_dialog import LimitDialog
from app.limit_rows import Row, rows
from app.session import Session
from app.study_words import TIED, with_units
from app.verdict import VerdictPanel
from solver.edit import move_point
from solver.model import CompressionSpring, Limit
from solver.project import Display, Project
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import impossible, session
from tests.app.waiting import Wait


def shown(keep: Keeper, made: Session, width: int = 420, height: int = 320) -> VerdictPanel:
    panel = keep(VerdictPanel(made))
    panel.resize(width, height)
    panel.show()
    QTest.qWaitForWindowExposed(panel)
    return panel


def limited(key: str, *limits: Limit) -> Session:
    made = session(key)
    made.document.new(
        made.document.project.with_design(replace(made.document.design, limits=limits))
    )
    made.refresh()
    return made


def listed(panel: VerdictPanel) -> list[str]:
    model = panel.limits.model()
    return [model.index(row, 0).data() for row in range(model.rowCount())]


def select(panel: VerdictPanel, row: int) -> None:
    place = panel.limits.visualRect(panel.limits.model().index(row, 0)).center()
    QTest.mouseClick(panel.limits.viewport(), Qt.MouseButton.LeftButton, pos=place)


def dialog() -> LimitDialog:
    (one,) = [
        one
        for one in QApplication.topLevelWidgets()
        if isinstance(one, LimitDialog) and one.isVisible()
    ]
    return one


def choose(asked: LimitDialog, key: str) -> None:
    asked.choice.setCurrentIndex(asked.choice.findData(key))


def accept(asked: LimitDialog) -> None:
    QTest.mouseClick(asked.accept_button, Qt.MouseButton.LeftButton)


# ---- what it says ------------------------------------------------------------------------


def test_a_good_design_is_said_to_work(keep: Keeper) -> None:
    made = session("compression")
    panel = shown(keep, made)
    assert made.analysis is not None
    assert panel.sentence.text() == made.analysis.verdict
    assert panel._head.text() == panel._sign.accessibleName() == "Works"
    assert not panel.notes.isVisible()
    assert len(listed(panel)) == len(made.document.design.limits)
    assert all(": holds. " in line for line in listed(panel))


def test_a_failing_limit_says_by_how_much(keep: Keeper) -> None:
    made = limited("compression", Limit("holding_force", at_least=9.0))
    panel = shown(keep, made)
    assert made.analysis is not None
    assert panel._head.text() == "Does not work yet"
    (line,) = listed(panel)
    assert line.startswith("Holding force, weaker rest: at least 9.00 N: fails. ")
    assert made.analysis.limits[0].sentence in line


def test_notes_are_shown(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    panel = shown(keep, made)
    (spring,) = made.document.design.springs
    assert isinstance(spring, CompressionSpring)
    with wait.for_signal(made.updated):
        weak = replace(spring, free_length=62.0)
        made.document.apply(replace(made.document.design, springs=(weak,)), "Spring")
    assert made.analysis is not None
    assert panel.notes.isVisible()
    assert panel.notes.text() == "\n".join(made.analysis.notes)
    assert "lets go" in panel.notes.text()


def test_a_problem_takes_the_place_of_the_verdict(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    panel = shown(keep, made)
    with wait.for_signal(made.calm.settled):
        made.document.preview(impossible(made.document.design))
    assert panel.sentence.text() == made.problem
    assert panel._head.text() == "Cannot be solved"
    assert panel.notes.text() == "The picture is of the last design that worked."
    assert all(": not known. " in line for line in listed(panel))
    with wait.for_signal(made.updated):
        made.document.cancel()
    assert panel._head.text() == "Works"


def test_the_words_follow_the_units(keep: Keeper, wait: Wait) -> None:
    made = limited("compression", Limit("holding_force", at_least=4.4482216152605))
    panel = shown(keep, made)
    value = made.document.project
    with wait.for_signal(made.updated):
        inch = Project(value.title, value.variants, value.current, Display(units="inch"))
        made.document.apply_project(inch, "Units")
    assert listed(panel)[0].startswith("Holding force, weaker rest: at least 1.00 lbf")


def test_no_limits_is_said(keep: Keeper) -> None:
    panel = shown(keep, session("blank"))
    assert panel._none.isVisible()
    assert not panel.limits.isVisible()
    assert not panel.edit_action.isEnabled()
    assert not panel.remove_action.isEnabled()


def test_wide_panels_set_the_limits_beside_the_verdict(keep: Keeper) -> None:
    panel = shown(keep, session("rocker"), 900, 180)
    assert panel.limits.geometry().left() > panel.sentence.geometry().right()
    panel.resize(420, 400)
    QApplication.processEvents()
    assert panel.limits.geometry().top() > panel.sentence.geometry().bottom()


@pytest.mark.parametrize("width", [260, 340, 700])
def test_rows_are_as_high_as_their_sentences(keep: Keeper, width: int) -> None:
    made = limited(
        *("rocker", Limit("holding_force", at_least=9.0), Limit("hang_zone_mm", at_most=9.0))
    )
    panel = shown(keep, made, width, 400)
    QApplication.processEvents()
    metrics = panel.limits.fontMetrics()
    for index, row in enumerate(rows(made)):
        got = panel.limits.visualRect(panel.limits.model().index(index, 0)).height()
        room = panel.limits.viewport().width() - 40
        lines = metrics.horizontalAdvance(row.sentence) / room
        assert got >= metrics.height() * (1 + lines)


def test_a_row_grows_with_its_sentence(keep: Keeper, wait: Wait) -> None:
    made = limited("compression", Limit("holding_force", at_least=6.0))
    panel = shown(keep, made, 420)
    QApplication.processEvents()

    def height() -> int:
        return panel.limits.visualRect(panel.limits.model().index(0, 0)).height()

    before = height()
    with wait.for_signal(made.calm.settled):
        made.document.preview(move_point(made.document.design, "spring anchor", 6.0, -97.0))
    assert ": fails. " in listed(panel)[0]
    wait.until(lambda: height() > before)


def three(*, holding: float, throw: float) -> tuple[Limit, ...]:
    return (
        Limit("peak_effort", at_most=900.0),
        Limit("holding_force", at_least=holding),
        Limit("throw", at_least=throw),
    )


def test_limits_that_fail_come_first(keep: Keeper) -> None:
    panel = shown(keep, limited("compression", *three(holding=900.0, throw=900.0)))
    assert [row.key for row in panel.limits._rows] == ["holding_force", "throw", "peak_effort"]
    assert [": fails. " in line for line in listed(panel)] == [True, True, False]


def test_rows_change_places_only_when_the_hand_rests(keep: Keeper, wait: Wait) -> None:
    made = limited("compression", *three(holding=0.01, throw=1.0))
    panel = shown(keep, made)
    select(panel, 1)
    before = ["peak_effort", "holding_force", "throw"]
    failing = ["throw", "peak_effort", "holding_force"]
    assert [row.key for row in panel.limits._rows] == before
    design = replace(made.document.design, limits=three(holding=0.01, throw=900.0))
    with wait.for_signal(made.calm.settled):
        made.document.preview(design)
    assert [row.key for row in panel.limits._rows] == before
    assert ": fails. " in listed(panel)[2]
    made.document.commit("Raise a limit")
    assert [row.key for row in panel.limits._rows] == failing
    assert panel.limits.key == "holding_force", "what was selected still is"
    with wait.for_signal(made.updated):
        made.document.undo()
    assert [row.key for row in panel.limits._rows] == before


# ---- limits ------------------------------------------------------------------------------


def test_a_limit_is_added_with_a_typed_unit_and_undone(keep: Keeper) -> None:
    made = limited("compression")
    panel = shown(keep, made)
    before = made.document.project
    panel.add_action.trigger()
    asked = dialog()
    choose(asked, "peak_effort")
    QTest.keyClicks(asked.at_most.line, "4 lbf")
    accept(asked)
    (limit,) = made.document.design.limits
    assert (limit.reading, limit.at_least) == ("peak_effort", None)
    assert limit.at_most == pytest.approx(17.792886)
    assert made.document.undo_stack.count() == 1
    assert "Peak effort" in made.document.undo_stack.undoText()
    made.document.undo()
    assert made.document.project == before


def test_the_dialog_shows_what_the_reading_is_now(keep: Keeper) -> None:
    made = limited("compression")
    panel = shown(keep, made)
    panel.add_action.trigger()
    asked = dialog()
    assert made.analysis is not None
    choose(asked, "bottoming_margin")
    value = made.analysis.readings["bottoming_margin"].value
    assert asked._now.text() == f"{value:.1f} mm at dead centre"
    asked.reject()


def test_wrong_entries_stay_in_the_dialog_with_a_sentence(keep: Keeper) -> None:
    made = limited("compression")
    panel = shown(keep, made)
    panel.add_action.trigger()
    asked = dialog()
    accept(asked)
    assert asked.isVisible()
    assert "needs a least or a greatest value" in asked._problem.text()
    choose(asked, "holding_force")
    QTest.keyClicks(asked.at_least.line, "5 mm")
    accept(asked)
    assert asked.isVisible()
    assert asked.at_least.problem
    asked.at_least.load(9.0)
    asked.at_most.load(4.0)
    accept(asked)
    assert asked.isVisible()
    assert "above its greatest" in asked._problem.text()
    assert made.document.undo_stack.count() == 0
    QTest.keyClick(asked, Qt.Key.Key_Escape)
    assert made.document.design.limits == ()


def test_return_in_a_field_sets_the_limit(keep: Keeper) -> None:
    made = limited("compression")
    panel = shown(keep, made)
    panel.add_action.trigger()
    asked = dialog()
    QTest.keyClicks(asked.at_least.line, "4")
    QTest.keyClick(asked.at_least.line, Qt.Key.Key_Return)
    assert not asked.isVisible()
    assert made.document.design.limits == (Limit("holding_force", at_least=4.0),)
    assert made.document.undo_stack.count() == 1


def test_return_on_a_wrong_entry_stays(keep: Keeper) -> None:
    made = limited("compression")
    panel = shown(keep, made)
    panel.add_action.trigger()
    asked = dialog()
    QTest.keyClicks(asked.at_least.line, "four")
    QTest.keyClick(asked.at_least.line, Qt.Key.Key_Return)
    assert asked.isVisible()
    assert made.document.design.limits == ()
    asked.reject()


def test_a_limit_is_edited_in_place(keep: Keeper, wait: Wait) -> None:
    made = limited("compression", Limit("holding_force", at_least=4.0), Limit("throw", 30.0))
    panel = shown(keep, made)
    select(panel, 0)
    panel.edit_action.trigger()
    asked = dialog()
    assert asked.kind.key == "holding_force"
    assert asked.at_least.value == 4.0
    assert asked.at_most.value is None
    asked.at_least.line.selectAll()
    QTest.keyClicks(asked.at_least.line, "5.5")
    with wait.for_signal(made.updated):
        accept(asked)
    assert made.document.design.limits == (
        Limit("holding_force", at_least=5.5),
        Limit("throw", 30.0),
    )
    assert "at least 5.50 N" in listed(panel)[0]


def test_a_limit_is_removed_by_key_and_comes_back(keep: Keeper, wait: Wait) -> None:
    both = Limit("holding_force", at_least=4.0), Limit("throw", at_least=30.0)
    made = limited("compression", *both)
    panel = shown(keep, made)
    select(panel, 1)
    with wait.for_signal(made.updated):
        QTest.keyClick(panel.limits, Qt.Key.Key_Delete)
    assert made.document.design.limits == both[:1]
    assert len(listed(panel)) == 1
    with wait.for_signal(made.updated):
        made.document.undo()
    assert made.document.design.limits == both
    assert len(listed(panel)) == 2


def test_a_limit_on_a_reading_that_is_gone_can_be_removed(keep: Keeper, wait: Wait) -> None:
    made = limited("compression", Limit("slack_margin:lost spring", at_least=1.0))
    panel = shown(keep, made)
    assert made.problem is not None
    assert panel.sentence.text() == made.problem
    assert rows(made) == [
        Row(
            "slack_margin:lost spring",
            "slack_margin:lost spring",
            "This design has no such reading: remove the limit.",
            "unknown",
        )
    ]
    select(panel, 0)
    with wait.for_signal(made.updated):
        panel.remove_action.trigger()
    assert made.problem is None
    assert made.analysis is not None
    assert panel.sentence.text() == made.analysis.verdict
    assert not panel.limits.isVisible()


def test_no_line_ends_between_a_number_and_its_unit() -> None:
    said = with_units("Peak effort is 8.08 N, 7.92 N to spare. It holds in 5 of 9, within 2 in 3.")
    assert said.split(" ") == [
        *("Peak", "effort", "is", f"8.08{TIED}N,", f"7.92{TIED}N", "to", "spare."),
        *("It", "holds", "in", "5", "of", "9,", "within", f"2{TIED}in", "3."),
    ]
