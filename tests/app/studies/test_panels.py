"""The panels of copies and effects, bands, arrows, zone and tolerances in a real window."""

import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox

from app.findings import Findings, findings_of
from app.session import Ref
from app.studies.copies import CopiesPanel, part_named
from app.studies.effects import EffectsPanel
from app.studies.tolerances import ToleranceDialog
from app.window import MainWindow
from solver.edit import move_point
from solver.model import Limit
from solver.spread import spread
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait
from tests.app.windows_for_tests import shown_window

READING = "holding_force"


@pytest.fixture
def window(own_home: Path, wait: Wait, keep: Keeper) -> Iterator[MainWindow]:
    made = keep(shown_window(own_home, wait, "compression"))
    design = made.session.document.design
    limit = Limit(READING, at_least=spread(design, 64, 61).readings[READING].middle)
    made.session.document.apply(replace(design, limits=(limit,)), "limit")
    yield made
    made.session.document.undo_stack.setClean()


@pytest.fixture
def found(window: MainWindow) -> Findings:
    return findings_of(window.session)


def panel(window: MainWindow, key: str) -> object:
    window.actions_by_key[f"study_{key}"].trigger()
    return window.panels.docks[key].widget()


def gone(number: int) -> bool:
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return True
    return False


def test_no_process_runs_until_a_study_is_shown(window: MainWindow, found: Findings) -> None:
    assert found.process_id == 0


def test_copies_are_told_as_the_solver_finds_them(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    copies = panel(window, "copies")
    assert isinstance(copies, CopiesPanel)
    wait.until(lambda: copies.limits.topLevelItemCount())
    expected = spread(window.session.document.design)
    told = f"{100 * expected.all_limits.share:.1f} %"
    assert copies.head.text() == f"{told} of copies hold all limits"
    first = copies.limits.topLevelItem(0)
    assert first is not None
    assert first.text(1) == told
    worst, told = first.text(2).splitlines()
    assert told.endswith(" short")
    wanted = window.session.document.design.limits[0].at_least
    assert wanted is not None
    assert float(told.split()[0]) == pytest.approx(wanted - float(worst.split()[0]), abs=0.011)
    best = expected.contributions(READING)[0]
    assert copies.bars.bars[0].label == best.label


def test_the_range_of_the_reading_looked_into_is_told(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    copies = panel(window, "copies")
    assert isinstance(copies, CopiesPanel)
    wait.until(lambda: found.spread and copies.range.isVisible())
    expected = spread(window.session.document.design)
    over, (limit,) = expected.readings[READING], expected.limits
    first, second = expected.contributions(READING)[:2]
    assert copies.range.text().replace("\N{NO-BREAK SPACE}", " ") == (
        f"Holding force, weaker rest: 90 of 100 copies from {over.low:.2f} N to {over.high:.2f} N, "
        f"all at worst {limit.worst:.2f} N. Most comes from {first.label} "
        f"({100 * first.share:.1f} %) and {second.label} ({100 * second.share:.1f} %)."
    )
    found.look_into("throw")
    throw = expected.readings["throw"]
    assert copies.range.text().startswith(
        f"Throw: 90 of 100 copies from {throw.low:.1f}° to {throw.high:.1f}°."
    )


def test_what_does_nothing_to_a_reading_has_no_row_and_no_sign(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    document = window.session.document
    close = replace(document.design.tolerances, rate=0.05)
    document.apply(replace(document.design, tolerances=close), "a spring of a close rate")
    effects = panel(window, "effects")
    assert isinstance(effects, EffectsPanel)
    wait.until(lambda: effects.bars.bars)
    assert found.effects
    few = [bar.text for bar in effects.bars.bars]
    assert not {"+0.00 N", "−0.00 N"} & set(few)
    assert not any(bar.tip.count(": 0.00 N") == 2 for bar in effects.bars.bars)
    assert len(few) < sum(each.effect > 0.0 for each in found.effects.ranked)
    assert "as the lever stands now" in effects.head.text()


def test_a_double_click_on_what_spreads_selects_the_part(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    copies = panel(window, "copies")
    assert isinstance(copies, CopiesPanel)
    wait.until(lambda: copies.bars.bars)
    design = window.session.document.design
    named = [(bar.label, part_named(bar.label, design)) for bar in copies.bars.bars]
    place, ref = next((at, ref) for at, (_, ref) in enumerate(named) if ref is not None)
    item = copies.bars.topLevelItem(place)
    assert item is not None
    spot = copies.bars.visualItemRect(item).center()
    QTest.mouseClick(copies.bars.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    QTest.mouseDClick(copies.bars.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert window.session.selection == (ref,)
    spring, lever = design.springs[0].name, design.lever
    assert part_named(f"rate of {spring}", design) == Ref("spring", spring)
    assert part_named(f"hole of the {lever} at {design.grip}", design) == Ref("point", design.grip)
    assert part_named("rest B", design) == Ref("rest", "B")
    assert part_named("friction of all pins", design) is None


def test_the_worst_corner_is_explained_where_it_worries(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    copies = panel(window, "copies")
    assert isinstance(copies, CopiesPanel)
    wait.until(lambda: copies.limits.topLevelItemCount())
    assert "almost no copy sees" in copies.note.text()
    item = copies.limits.topLevelItem(0)
    assert item is not None
    assert "almost no copy sees" in item.toolTip(0)
    assert item.text(0).splitlines()[0] in item.toolTip(0)


def test_bands_are_drawn_behind_the_curves(window: MainWindow, found: Findings, wait: Wait) -> None:
    from app.curves import Curves

    curves = window.panels.docks["curves"].widget()
    assert isinstance(curves, Curves)
    window.actions_by_key["study_bands"].trigger()
    wait.until(lambda: curves.energy.ribbons)
    assert len(curves.effort.ribbons) == 3  # each way, and what lies in both
    window.actions_by_key["study_bands"].trigger()
    assert not curves.energy.ribbons


def test_effects_rank_and_arrows_are_switched_from_panel_and_menu(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    effects = panel(window, "effects")
    assert isinstance(effects, EffectsPanel)
    wait.until(lambda: effects.bars.bars)
    shares = [bar.share for bar in effects.bars.bars]
    assert shares[0] == 1.0
    assert shares == sorted(shares, reverse=True)
    effects.arrows.click()
    assert window.actions_by_key["study_arrows"].isChecked()
    before = window.canvas.viewport().grab().toImage()
    effects.arrows.click()
    wait.until(lambda: window.canvas.viewport().grab().toImage() != before)
    assert not found.is_on("arrows")


def drag(window: MainWindow, point: str, steps: int) -> None:
    view = window.canvas.viewport()
    start = window.canvas.to_pixel(window.session.places()[point])

    def mouse(kind: QEvent.Type, at: QPointF, held: Qt.MouseButton) -> None:
        button = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseMove else left
        spot = view.mapToGlobal(at)
        QApplication.sendEvent(
            view, QMouseEvent(kind, at, spot, button, held, Qt.KeyboardModifier.NoModifier)
        )

    left = Qt.MouseButton.LeftButton
    mouse(QEvent.Type.MouseButtonPress, start, left)
    for step in range(steps):
        mouse(QEvent.Type.MouseMove, start + QPointF(step, step), left)
        QApplication.processEvents()
    mouse(QEvent.Type.MouseButtonRelease, start + QPointF(steps, steps), Qt.MouseButton.NoButton)


def test_studies_follow_a_drag_and_do_not_hold_it_up(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    window.actions_by_key["study_zone"].trigger()
    window.actions_by_key["study_bands"].trigger()
    grip = window.session.document.design.grip
    window.session.select(Ref("point", grip))
    wait.until(lambda: found.zone and found.spread)
    count, before = window.session.document.undo_stack.count(), found.spread
    drag(window, grip, 12)
    assert window.session.document.undo_stack.count() == count + 1
    wait.until(lambda: not found.busy)
    assert found.spread is not before
    assert found.zone
    assert found.zone.point == grip


def test_without_one_point_selected_the_sketch_says_what_the_zone_needs(
    window: MainWindow, wait: Wait
) -> None:
    window.actions_by_key["study_zone"].trigger()
    legend = window.canvas._legend
    wait.until(legend.isVisible)
    assert "select one point" in legend.text()


def test_tolerances_are_edited_one_undo_step_each(window: MainWindow, wait: Wait) -> None:
    window.actions_by_key["study_tolerances"].trigger()
    dialog = window.findChild(ToleranceDialog)
    assert isinstance(dialog, ToleranceDialog)
    document, stack = window.session.document, window.session.document.undo_stack
    count = stack.count()
    field = dialog.form.control("hole").line  # type: ignore[attr-defined]
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "0.5 mm")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert document.design.tolerances.hole == 0.5
    classes = dialog.form.control("hole_class")
    assert isinstance(classes, QComboBox)
    classes.setCurrentIndex(2)
    classes.activated.emit(2)
    assert document.design.tolerances.hole_class == "medium"
    assert not field.isVisible()
    dialog.own.add.setCurrentIndex(0)
    dialog.own.add.activated.emit(0)
    (own,) = document.design.tolerances.own
    assert dialog.own.field(own.number).value == own.plus_minus
    assert stack.count() == count + 3
    for _ in range(3):
        document.undo()
    assert document.design.tolerances.hole == 0.3
    dialog.close()


def test_tolerances_of_one_variant_are_used_for_all(window: MainWindow) -> None:
    window.actions_by_key["study_tolerances"].trigger()
    dialog = window.findChild(ToleranceDialog)
    assert isinstance(dialog, ToleranceDialog)
    document = window.session.document
    assert not dialog.for_all.isVisible(), "there is one variant"
    window.actions_by_key["variant_keep"].trigger()
    assert dialog.for_all.isVisible()
    assert not dialog.for_all.isEnabled(), "the copy has the same tolerances"
    field = dialog.form.control("hole").line  # type: ignore[attr-defined]
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "0.5 mm")
    QTest.keyClick(field, Qt.Key.Key_Return)
    before, count = document.project, document.undo_stack.count()
    assert [each.design.tolerances.hole for each in before.variants] == [0.5, 0.3]
    QTest.mouseClick(dialog.for_all, Qt.MouseButton.LeftButton)
    assert [each.design.tolerances.hole for each in document.project.variants] == [0.5, 0.5]
    assert document.undo_stack.count() == count + 1
    assert not dialog.for_all.isEnabled()
    assert "All variants" in dialog.for_all.toolTip()
    QTest.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert document.project == before
    assert dialog.for_all.isEnabled()
    dialog.close()


def test_holes_alone_are_off_by_one_step_and_the_copies_say_so(
    window: MainWindow, wait: Wait
) -> None:
    copies, found = panel(window, "copies"), findings_of(window.session)
    assert isinstance(copies, CopiesPanel)
    window.actions_by_key["study_tolerances"].trigger()
    dialog = window.findChild(ToleranceDialog)
    assert isinstance(dialog, ToleranceDialog)
    wait.until(lambda: found.spread is not None)
    assert "everything else exact" not in copies.note.text()
    document = window.session.document
    before, count = document.design, document.undo_stack.count()
    QTest.mouseClick(dialog.holes_only, Qt.MouseButton.LeftButton)
    given = document.design.tolerances
    assert (given.hole, given.rate, given.stop) == (before.tolerances.hole, 0.0, 0.0)
    assert (given.friction_least, given.friction_most) == (1.0, 1.0)
    assert document.undo_stack.count() == count + 1
    assert not dialog.holes_only.isEnabled()
    wait.until(lambda: copies.note.text().startswith("Holes ±0.3 mm, everything else exact. "))
    wait.until(lambda: bool(copies.bars.bars))
    wait.until(lambda: all(bar.label.startswith("hole of") for bar in copies.bars.bars[:-1]))
    document.undo()
    assert document.design == before
    assert dialog.holes_only.isEnabled()
    dialog.close()


def test_a_least_friction_above_the_most_is_refused_in_place(
    window: MainWindow, wait: Wait
) -> None:
    window.actions_by_key["study_tolerances"].trigger()
    dialog = window.findChild(ToleranceDialog)
    assert isinstance(dialog, ToleranceDialog)
    field = dialog.form.control("friction_least")
    field.line.setFocus()  # type: ignore[attr-defined]
    field.line.selectAll()  # type: ignore[attr-defined]
    QTest.keyClicks(field.line, "3")  # type: ignore[attr-defined]
    QTest.keyClick(field.line, Qt.Key.Key_Return)  # type: ignore[attr-defined]
    assert "least friction" in field.problem  # type: ignore[attr-defined]
    dialog.close()


def test_closing_the_window_amid_a_study_ends_its_process(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    panel(window, "copies")
    wait.until(lambda: found.process_id)
    number = found.process_id
    window.session.document.undo_stack.setClean()
    window.close()
    assert gone(number)


def test_a_click_on_a_limit_looks_into_its_reading(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    copies = panel(window, "copies")
    assert isinstance(copies, CopiesPanel)
    found.look_into("throw")
    wait.until(lambda: copies.limits.topLevelItemCount())
    place = copies.limits.visualItemRect(copies.limits.topLevelItem(0)).center()  # type: ignore[arg-type]
    QTest.mouseClick(copies.limits.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(20, place.y()))
    assert found.reading == READING


def test_the_verdicts_limits_tell_in_how_many_copies_they_hold(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    from app.verdict import VerdictPanel

    verdict = window.panels.docks["verdict"].widget()
    assert isinstance(verdict, VerdictPanel)
    assert "copies" not in verdict.limits._rows[0].sentence
    window.actions_by_key["study_bands"].trigger()
    wait.until(lambda: found.spread)
    assert found.spread
    share = f"{100 * found.spread.limits[0].holds.share:.1f} %"
    row = verdict.limits._rows[0]
    assert row.copies == f"It holds in {share} of copies.".replace(" %", "\N{NO-BREAK SPACE}%")
    assert row.copies in row.spoken()
    # Their room is kept while they are not known, so that the rows below do not jump.
    place = verdict.limits.visualRect(verdict.limits.model().index(0, 0)).height()
    verdict.limits._rows[0] = replace(row, copies="")
    verdict.limits._model.item(0).setData(verdict.limits._rows[0], Qt.ItemDataRole.UserRole)
    assert verdict.limits.visualRect(verdict.limits.model().index(0, 0)).height() == place
    window.actions_by_key["study_bands"].trigger()


def test_shares_are_told_for_as_long_as_they_are_true(
    window: MainWindow, found: Findings, wait: Wait
) -> None:
    from app.verdict import VerdictPanel

    verdict = window.panels.docks["verdict"].widget()
    assert isinstance(verdict, VerdictPanel)
    document = window.session.document
    window.actions_by_key["study_bands"].trigger()
    wait.until(lambda: found.spread)
    told = verdict.limits._rows[0].copies
    assert told.startswith("It holds in ")
    window.actions_by_key["study_bands"].trigger()
    assert found.spread is None
    assert verdict.limits._rows[0].copies == told, "with no study on show, they are of this design"
    other = move_point(document.design, "spring anchor", 3.0, -97.0)
    document.apply(other, "move")
    window.session.refresh()
    assert verdict.limits._rows[0].copies == "", "of another design they say nothing"
    document.undo()
    window.session.refresh()
    assert verdict.limits._rows[0].copies == told


def test_shares_made_in_haste_are_not_kept(window: MainWindow, found: Findings, wait: Wait) -> None:
    from app.verdict import VerdictPanel

    verdict = window.panels.docks["verdict"].widget()
    assert isinstance(verdict, VerdictPanel)
    document = window.session.document
    window.actions_by_key["study_bands"].trigger()
    wait.until(lambda: found.spread)
    first = found.spread
    other = move_point(document.design, "spring anchor", 3.0, -97.0)
    document.preview(other)
    window.session.refresh()
    wait.until(lambda: found.spread is not first and not found.busy)
    window.actions_by_key["study_bands"].trigger()
    verdict.limits.refresh()
    told = verdict.limits._rows[0].copies
    document.cancel()
    assert told == ""
