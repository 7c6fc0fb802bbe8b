"""What studies find for a session: asked for when shown, newest first, kept through a drag."""

import time
from collections.abc import Iterator
from dataclasses import replace

import pytest

from app.curves import Curves
from app.findings import PACE, Findings, findings_of
from app.session import Ref, Session
from solver.edit import move_point
from solver.sensitivity import sensitivities
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import impossible, project, session
from tests.app.waiting import Wait


@pytest.fixture
def shown(qapp: object) -> Iterator[Session]:
    made = session("compression")
    yield made
    findings_of(made).close()
    made.deleteLater()


@pytest.fixture
def found(shown: Session) -> Findings:
    return findings_of(shown)


def moved(shown: Session, name: str, by: float) -> None:
    design = shown.document.design
    point = design.point(name)
    shown.document.preview(move_point(design, name, point.x + by, point.y))
    shown.refresh()


def test_a_session_has_one_set_of_findings(shown: Session, found: Findings) -> None:
    assert findings_of(shown) is found


def test_nothing_is_asked_that_nobody_shows(shown: Session, found: Findings) -> None:
    shown.refresh()
    assert not found.busy


def test_copies_come_when_shown_and_follow_the_design(
    shown: Session, found: Findings, wait: Wait
) -> None:
    found.switch("bands", True)
    wait.until(lambda: found.spread)
    first = found.spread
    moved(shown, shown.document.design.grip, 2.0)
    wait.until(lambda: found.spread is not first)
    assert found.spread
    coarse = found.spread.copies
    shown.document.commit("drag")
    wait.until(lambda: found.spread and found.spread.copies > coarse)
    found.switch("bands", False)
    assert found.spread is None


def test_the_last_answer_stays_while_an_impossible_design_is_dragged_through(
    shown: Session, found: Findings, wait: Wait
) -> None:
    found.want("spread", "a panel", True)
    wait.until(lambda: found.spread)
    kept = found.spread
    shown.document.preview(impossible(shown.document.design))
    shown.refresh()
    wait.until(lambda: not found.busy)
    assert found.spread is kept
    shown.document.commit("drag")
    wait.until(lambda: found.problem("spread"))
    assert found.spread is None


def test_the_zone_is_of_the_one_selected_point(shown: Session, found: Findings, wait: Wait) -> None:
    found.switch("zone", True)
    assert found.zone_point is None
    grip = shown.document.design.grip
    shown.select(Ref("point", grip))
    wait.until(lambda: found.zone)
    assert found.zone
    assert found.zone.point == grip
    shown.select()
    assert found.zone is None


def test_a_dragged_point_keeps_its_zone_and_any_other_change_makes_it_anew(
    shown: Session, found: Findings, wait: Wait
) -> None:
    grip, pivot = shown.document.design.grip, shown.document.design.lever_pivot()
    found.switch("zone", True)
    shown.select(Ref("point", grip))
    wait.until(lambda: found.zone)
    kept = found.zone
    moved(shown, grip, 1.0)
    assert not found.busy
    moved(shown, pivot, 1.0)
    assert found.busy
    wait.until(lambda: found.zone is not kept)


def test_effects_are_of_the_reading_looked_into(
    shown: Session, found: Findings, wait: Wait
) -> None:
    found.switch("arrows", True)
    wait.until(lambda: found.effects)
    found.look_into("peak_effort")
    wait.until(lambda: found.effects and found.effects.reading.key == "peak_effort")
    assert found.reading == "peak_effort"


def test_effects_are_of_points_in_the_pose_seen(
    shown: Session, found: Findings, wait: Wait
) -> None:
    found.switch("arrows", True)
    wait.until(lambda: found.effects)
    for direction in (shown.document.design.stops.rest_b, None):
        before = found.effects
        shown.set_direction(direction)
        wait.until(lambda: found.effects is not before)  # noqa: B023
        posed = sensitivities(shown.editable(), found.reading)
        assert found.effects
        assert [each.rise for each in found.effects.ranked] == pytest.approx(
            [each.rise for each in posed.ranked]
        )


def test_another_project_takes_nothing_over(shown: Session, found: Findings, wait: Wait) -> None:
    found.switch("bands", True)
    wait.until(lambda: found.spread)
    shown.document.new(project("extension"))
    assert found.spread is None
    wait.until(lambda: found.spread)


def test_while_a_hand_drags_a_study_is_asked_for_now_and_then_and_of_the_last_design(
    shown: Session, found: Findings, wait: Wait
) -> None:
    found.switch("bands", True)
    wait.until(lambda: not found.busy)
    asked: list[float] = []
    found.asked.connect(lambda study, ticket: asked.append(time.monotonic()))
    for _ in range(5):
        moved(shown, shown.document.design.grip, 0.1)
    assert len(asked) <= 1
    assert found.busy
    wait.until(lambda: len(asked) == 2)  # though nothing moves any more
    assert asked[1] - asked[0] > (PACE - 2.0) / 1000.0  # timers may be early by a millisecond
    wait.until(lambda: not found.busy)
    assert len(asked) == 2


def test_names_of_the_curves_stand_at_the_scales_that_bands_ask_for(
    shown: Session, found: Findings, wait: Wait, keep: Keeper
) -> None:
    curves = keep(Curves(shown))
    curves.resize(640, 560)
    curves.show()
    found.switch("bands", True)
    wait.until(lambda: curves.energy.ribbons)
    tolerances = replace(shown.document.design.tolerances, rate=60.0, free_length=15.0)
    scale = curves.energy.y
    shown.document.apply(replace(shown.document.design, tolerances=tolerances), "Tolerances")
    wait.until(lambda: curves.energy.y != scale and not found.busy)
    panes = (curves.energy, curves.effort)
    before = [[name.rect for name in pane.labels.placed] for pane in panes]
    for pane in panes:
        pane.place_labels()
    assert [[name.rect for name in pane.labels.placed] for pane in panes] == before
