"""The tuner's dialog: what may change, the best so far, the answer as a new variant."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.session import Session
from app.studies import tuner
from app.studies.movable_rows import MovableRows
from app.studies.spring_lines import read_springs
from app.studies.tuned_words import best_so_far
from app.studies.tuner import TunerDialog
from app.study_words import count
from app.window import MainWindow
from solver.analysis import analyse
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import CompressionSpring, Limit, TorsionSpring
from solver.movables import PointBox, PointLine, SpringChoice, SpringNumber, StopRange
from solver.project import Display
from solver.tuning_goal import Wish
from solver.tuning_search import Progress
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import layout, project
from tests.app.waiting import Wait
from tests.app.windows_for_tests import shown_window


@pytest.fixture
def window(
    own_home: Path, wait: Wait, keep: Keeper, monkeypatch: pytest.MonkeyPatch
) -> Iterator[MainWindow]:
    monkeypatch.setattr(tuner, "BUDGET", 600)
    made = keep(shown_window(own_home, wait, "compression"))
    yield made
    made.session.document.undo_stack.setClean()


def ask_for(session: Session, *limits: Limit) -> None:
    design = session.document.design
    session.document.apply(replace(design, limits=limits), "limits")


def opened(window: MainWindow) -> TunerDialog:
    window.actions_by_key["study_tune"].trigger()
    dialog = window.findChild(TunerDialog)
    assert isinstance(dialog, TunerDialog)
    return dialog


def choose(dialog: TunerDialog, key: str) -> None:
    QTest.keyClick(dialog.rows.rows[key].check, Qt.Key.Key_Space)


def rate_row(dialog: TunerDialog) -> str:
    return next(key for key in dialog.rows.rows if key.endswith(".rate"))


def test_nothing_can_start_until_something_may_change(window: MainWindow) -> None:
    dialog = opened(window)
    assert not dialog.start.isEnabled()
    choose(dialog, rate_row(dialog))
    assert dialog.start.isEnabled()
    dialog.close()


def test_the_answer_becomes_a_new_variant_and_overwrites_nothing(
    window: MainWindow, wait: Wait
) -> None:
    now = analyse(window.session.document.design).readings["holding_force"].value
    limits = (Limit("holding_force", at_least=1.1 * now), Limit("hang_zone", at_most=30.0))
    ask_for(window.session, *limits)
    document = window.session.document
    before = document.project
    dialog = opened(window)
    choose(dialog, rate_row(dialog))
    shown = dialog.preview.design
    dialog.start.click()
    wait.until(lambda: dialog.tuned is not None, 60)
    assert document.project is before
    assert dialog.preview.design != shown
    assert "All limits hold" in dialog.told.text()
    told: list[str] = []
    window.session.message.connect(told.append)
    assert dialog.go_on.text().replace("&", "") == "Go on in a new variant"
    dialog.go_on.click()
    after = document.project
    assert told == [f"You go on in the new variant “{after.variant.name}”."]
    assert document.undo_stack.undoText() == "Go on in a new variant"
    assert after.variants[0] == before.variants[0]
    assert after.current == 1
    assert analyse(after.design).good
    note = after.variant.note
    assert "Changed: Main spring: rate " in note
    assert not any(line.startswith(("–", "-")) for line in note.splitlines())
    document.undo()
    assert document.project == before
    dialog.close()


def test_limits_that_nothing_holds_are_named(window: MainWindow, wait: Wait) -> None:
    ask_for(
        window.session,
        Limit("holding_force", at_least=1000.0),
        Limit("peak_effort", at_most=0.1),
    )
    dialog = opened(window)
    choose(dialog, rate_row(dialog))
    dialog.start.click()
    wait.until(lambda: dialog.tuned is not None, 60)
    assert "Nothing holds all limits; this is the nearest." in dialog.told.text()
    assert "Holding force" in dialog.told.text()
    assert "Peak effort" in dialog.told.text()
    assert dialog.go_on.isEnabled()
    dialog.close()


def test_one_limit_that_nothing_holds_is_in_nobodys_way_and_the_end_of_a_range_is_told(
    window: MainWindow, wait: Wait
) -> None:
    now = analyse(window.session.document.design).readings["holding_force"].value
    limits = (Limit("holding_force", at_least=2.0 * now), Limit("hang_zone", at_most=30.0))
    ask_for(window.session, *limits)
    dialog = opened(window)
    choose(dialog, rate_row(dialog))
    dialog.start.click()
    wait.until(lambda: dialog.tuned is not None, 60)
    told = dialog.told.text()
    assert "“Holding force, weaker rest” cannot be met with what may change." in told
    assert "each other's way" not in told
    assert "At the end of what it may: rate of main spring. A wider range may help." in told
    assert "The tightest limit lacks " in told
    assert "-" not in told
    dialog.close()


def test_the_best_so_far_says_what_is_changed(window: MainWindow, wait: Wait) -> None:
    design = window.session.document.design
    spring = design.springs[0]
    assert isinstance(spring, CompressionSpring)
    other = replace(design, springs=(replace(spring, rate=spring.rate + 0.5),))
    for found, words in ((other, "– Main spring: rate "), (design, "– Less than is shown.")):
        so_far = Progress(10, 600, found, True, (), 0.1)
        told = best_so_far(design, Wish("near"), so_far, Display())
        first, second = told.split("\n")
        assert first == "Best so far: All limits hold. Least change found:"
        assert second.startswith(words)
    none = Progress(10, 600, design, True, (), 0.0)
    told = best_so_far(design, Wish("near"), none, Display())
    assert told == "Best so far: All limits hold. Nothing needs to be changed."
    dialog = opened(window)
    choose(dialog, rate_row(dialog))
    dialog.start.click()
    wait.until(lambda: dialog.told.text().startswith("Best so far"), 60)
    dialog.close()


def test_a_search_can_be_stopped_with_the_best_so_far(
    window: MainWindow, wait: Wait, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tuner, "BUDGET", 10_000_000)
    dialog = opened(window)
    for key in list(dialog.rows.rows):
        if key.startswith(("points.", "stops.")):
            choose(dialog, key)
    dialog.start.click()
    wait.until(lambda: dialog.told.text().startswith("Best so far"), 60)
    dialog.stop.click()
    wait.until(lambda: dialog.tuned is not None, 60)
    told = dialog.told.text()
    assert told.startswith("Stopped early, ")
    assert dialog.tuned is not None
    tried = count(dialog.tuned.tuning.evaluations)
    assert f"{tried} designs tried" in told
    assert dialog.progress.text().startswith(f"{tried} designs of about ")
    assert dialog.progress.value() == dialog.tuned.tuning.evaluations
    dialog.close()


def test_the_bar_counts_one_design_in_the_singular(window: MainWindow) -> None:
    dialog = opened(window)
    dialog._count(1)
    assert dialog.progress.text().startswith("1 design of about ")
    dialog.close()


def test_an_answer_that_changes_nothing_is_not_offered(window: MainWindow, wait: Wait) -> None:
    now = analyse(window.session.document.design).readings["holding_force"].value
    limits = (Limit("holding_force", at_least=0.5 * now), Limit("hang_zone", at_most=30.0))
    ask_for(window.session, *limits)
    dialog = opened(window)
    choose(dialog, rate_row(dialog))
    dialog.aim.setCurrentIndex(3)
    dialog.start.click()
    wait.until(lambda: dialog.tuned is not None, 60)
    assert "The same as now" in dialog.told.text()
    assert not dialog.go_on.isEnabled()
    assert dialog.progress.value() == dialog.progress.maximum()
    dialog.close()


def test_ticks_move_nothing_and_are_kept_for_the_next_time(window: MainWindow, wait: Wait) -> None:
    dialog = opened(window)
    wait.until(dialog.isVisible)
    keys = list(dialog.rows.rows)
    places = {key: row.y() for key, row in dialog.rows.rows.items()}
    for key in (keys[0], rate_row(dialog)):
        choose(dialog, key)
        QApplication.processEvents()
        assert {key: row.y() for key, row in dialog.rows.rows.items()} == places
        assert dialog.rows.details.currentWidget() is dialog.rows.rows[key].more
    dialog.rows.rows[keys[0]].reach.load(4.0)  # type: ignore[attr-defined]
    dialog.aim.load("least")
    dialog.share.setChecked(True)
    movables, wish = dialog.rows.movables(), dialog._wished()
    at = dialog.told.geometry(), dialog.progress.geometry()
    dialog.told.setText("A long answer. " * 60)
    QApplication.processEvents()
    assert (dialog.told.geometry(), dialog.progress.geometry()) == at
    dialog.close()
    wait.until(lambda: window.findChild(TunerDialog) is None)
    again = opened(window)
    assert again.rows.movables() == movables
    assert again._wished() == wish
    again.close()
    wait.until(lambda: window.findChild(TunerDialog) is None)
    window.session.document.new(project("compression"))
    fresh = opened(window)
    assert fresh.rows.movables() == ()
    fresh.close()


def test_closing_amid_a_search_ends_it(
    window: MainWindow, wait: Wait, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tuner, "BUDGET", 10_000_000)
    dialog = opened(window)
    choose(dialog, rate_row(dialog))
    dialog.start.click()
    wait.until(lambda: dialog.told.text().startswith("Best so far"), 60)
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    wait.until(lambda: window.findChild(TunerDialog) is None)


def test_another_project_closes_the_tuner(window: MainWindow, wait: Wait) -> None:
    opened(window)
    window.session.document.new(project("extension"))
    wait.until(lambda: window.findChild(TunerDialog) is None)


def test_each_row_says_what_may_change(keep: Keeper) -> None:
    design = layout("compression")
    rows = keep(MovableRows(design, Display()))
    spring, grip = design.springs[0], design.grip
    assert isinstance(spring, CompressionSpring)
    for key in (f"points.{grip}", f"springs.{spring.name}.rate", "stops.A"):
        rows.rows[key].check.click()
    box, rate, rest = rows.movables()
    assert box == PointBox(grip, 10.0, 10.0)
    assert rate == SpringNumber(spring.name, "rate", 0.8 * spring.rate, 1.2 * spring.rate)
    assert isinstance(rest, StopRange)
    way = rows.rows[f"points.{grip}"].way  # type: ignore[attr-defined]
    way.setCurrentIndex(2)
    way.activated.emit(2)
    assert rows.movables()[0] == PointLine(grip, 90.0, 10.0)


def test_springs_come_from_a_pasted_table(keep: Keeper) -> None:
    design = layout("compression")
    rows = keep(MovableRows(design, Display()))
    spring = design.springs[0]
    row = rows.rows[f"list.{spring.name}"]
    row.check.click()
    row.text.setPlainText("# drawer\nsoft\t2.0\t80\t45\nhard; 3 N/mm; 3 in; 40")  # type: ignore[attr-defined]
    (choice,) = rows.movables()
    assert isinstance(choice, SpringChoice)
    assert [each.name for each in choice.springs] == ["soft", "hard"]
    hard = choice.springs[1]
    assert isinstance(hard, CompressionSpring)
    assert (hard.rate, hard.free_length, hard.solid_length) == (3.0, pytest.approx(76.2), 40.0)


def test_a_spring_of_a_list_has_its_own_wire_or_none() -> None:
    like = replace(
        layout("compression").springs[0],
        wire=2.0,
        outside_diameter=18.0,
        coils=11.5,
        order_note="shelf 2",
    )
    bare, known = read_springs("bare; 2; 80\nknown; 2; 80; 40; 1.6; 5/8 in; 9.5", like, Display())
    assert (bare.wire, bare.outside_diameter, bare.coils, bare.order_note) == (None,) * 3 + ("",)
    assert (known.wire, known.outside_diameter, known.coils) == (1.6, pytest.approx(15.875), 9.5)


def test_a_torsion_spring_of_a_list_has_its_own_legs_or_none() -> None:
    like = TorsionSpring("coil", "o", "a", "b", 10.0, 90.0, leg_length=60.0)
    bare, known = read_springs("bare; 2; 80\nknown; 2; 80; 40; 2; 14; 4.25; 55", like, Display())
    assert (bare.leg_length, known.leg_length) == (None, 55.0)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("line", "told"),
    [("soft; 2", "a line holds"), ("soft; x; 80", "Line 1"), ("soft; -2; 80", "rate must be")],
)
def test_a_line_that_cannot_be_read_is_told(line: str, told: str) -> None:
    spring = LAYOUTS[0].build().springs[0]
    with pytest.raises(DesignProblem, match=told):
        read_springs(line, spring, Display())


def test_wish_of_the_dialog(window: MainWindow) -> None:
    dialog = opened(window)
    assert dialog.reading.isHidden()
    dialog.aim.setCurrentIndex(2)
    dialog.aim.activated.emit(2)
    assert not dialog.reading.isHidden()
    assert dialog._wished() == Wish("least", "holding_force")
    dialog.aim.setCurrentIndex(3)
    dialog.aim.activated.emit(3)
    assert dialog.reading.isHidden()
    assert not dialog.percent.isEnabled()
    QTest.keyClick(dialog.share, Qt.Key.Key_Space)
    assert dialog.percent.isEnabled()
    assert dialog._wished() == Wish("near", share=0.99)
    dialog.close()
