"""The session: analysis that follows the document, pose, selection."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from app.session import Ref, Session
from solver import edit, files
from solver.model import Limit
from solver.project import Display
from tests.app.projects_for_tests import impossible, layout, moved, project, session
from tests.app.waiting import Wait


@pytest.fixture
def shown(qapp: object) -> Session:
    return session()


def test_many_changes_in_one_turn_are_told_once(shown: Session, wait: Wait) -> None:
    with wait.for_signal(shown.updated) as came:
        for step in (1.0, 2.0, 3.0):
            shown.document.preview(moved(layout("extension"), step))
    assert len(came) == 1
    assert shown.analysis is not None
    assert shown.analysis.design == shown.document.design


def test_the_analysis_asked_for_is_never_stale(shown: Session) -> None:
    shown.document.apply(moved(shown.document.design), "move grip")
    assert shown.analysis is not None
    assert shown.analysis.design is shown.document.design
    shown.refresh()


def test_an_impossible_design_keeps_the_last_good_analysis(shown: Session) -> None:
    good = shown.analysis
    shown.document.preview(impossible(shown.document.design))
    assert shown.problem
    assert shown.problem.endswith(".")
    assert shown.analysis is good
    shown.document.cancel()
    assert shown.problem is None
    shown.refresh()


def test_nothing_of_the_old_project_stays_when_another_is_opened(
    shown: Session, tmp_path: Path
) -> None:
    assert shown.analysis is not None
    shown.select(Ref("point", shown.document.design.grip))
    shown.set_travel(3.0)
    bad = project("compression")
    bad = bad.with_design(impossible(bad.design))
    shown.document.new(bad)
    assert shown.analysis is None
    assert shown.problem
    assert shown.selection == ()
    assert shown.direction is None
    assert shown.travel() == 0.0
    shown.refresh()


@pytest.mark.parametrize("key", ["compression", "extension", "rocker", "knee"])
def test_travel_and_pose_agree(qapp: object, key: str) -> None:
    shown = session(key)
    analysis = shown.analysis
    assert analysis is not None
    for wanted in (0.0, analysis.throw / 3, analysis.throw):
        shown.set_travel(wanted)
        assert shown.travel() == pytest.approx(wanted)
        posed = analysis.pose_at(wanted)
        for name, place in shown.places().items():
            assert place == pytest.approx(posed[name])
    shown.set_travel(-5.0)
    assert shown.travel() == pytest.approx(0.0)
    shown.set_travel(1000.0)
    assert shown.travel() == pytest.approx(analysis.throw)


def test_the_drawn_pose_has_its_travel_too(shown: Session) -> None:
    design = shown.document.design
    drawn = shown.places()
    shown.set_travel(shown.travel())
    for name, place in shown.places().items():
        assert place == pytest.approx(drawn[name], abs=1e-9)
    shown.set_direction(None)
    assert shown.editable() is design


def test_editing_in_a_pose_starts_from_that_pose(shown: Session) -> None:
    shown.set_travel(0.0)
    places = shown.places()
    design = shown.editable()
    for point in design.points:
        assert (point.x, point.y) == pytest.approx(places[point.name])
    grip = design.point(design.grip)
    shown.document.preview(edit.move_point(design, grip.name, grip.x + 1.0, grip.y))
    shown.set_direction(None)
    assert shown.places()[grip.name] == pytest.approx((grip.x + 1.0, grip.y))
    shown.refresh()


def test_what_is_removed_is_no_longer_selected(shown: Session) -> None:
    design = shown.document.design
    spring, grip = Ref("spring", design.springs[0].name), Ref("point", design.grip)
    shown.select(spring, grip, spring)
    assert shown.selection == (spring, grip)
    shown.document.apply(edit.remove(design, "spring", spring.name), "delete")
    assert shown.selection == (grip,)
    shown.refresh()


def test_the_sentences_follow_the_units(shown: Session) -> None:
    design = replace(shown.document.design, limits=(Limit("peak_effort", at_most=1e6),))
    shown.document.apply(design, "limit")
    sentences = []
    for units in ("metric", "inch"):
        changed = replace(shown.document.project, display=Display(units))
        shown.document.apply_project(changed, "units")
        assert shown.analysis is not None
        sentences.append(shown.analysis.limits[0].sentence)
    assert " N" in sentences[0]
    assert " lbf" in sentences[1]
    shown.refresh()


def test_every_direction_is_reached_step_by_step(shown: Session) -> None:
    throw = shown.analysis.throw if shown.analysis else 0.0
    shown.set_travel(0.0)
    seen = [shown.travel()]
    while seen[-1] < throw - 1e-9:
        shown.set_travel(seen[-1] + 1.0)
        seen.append(shown.travel())
    assert all(later > earlier for earlier, later in pairwise(seen))


def test_a_saved_project_analyses_the_same(shown: Session, tmp_path: Path) -> None:
    path = tmp_path / "lever.throwover"
    shown.document.save(path)
    again = session()
    again.document.new(files.load(path))
    assert again.analysis is not None
    assert shown.analysis is not None
    assert again.analysis.verdict == shown.analysis.verdict
    again.refresh()


def in_a_pose(made: Session) -> float:
    """Edit with the lever turned: that pose becomes the drawn one. The direction it was in."""
    made.set_travel(10.0)
    direction = made.direction
    assert direction is not None
    made.document.preview(edit.move_point(made.editable(), "spring anchor", 3.0, 60.0))
    made.set_direction(None)
    made.document.commit("Move spring anchor")
    return direction


def test_undoing_an_edit_made_in_another_pose_keeps_the_lever_there(shown: Session) -> None:
    direction = in_a_pose(shown)
    places = shown.places()["grip"]
    shown.document.undo()
    assert shown.direction == pytest.approx(direction)
    assert shown.places()["grip"] == pytest.approx(places)
    shown.document.redo()
    assert shown.places()["grip"] == pytest.approx(places)
    shown.refresh()


def test_undoing_an_edit_of_the_drawn_pose_shows_the_drawn_pose(shown: Session) -> None:
    in_a_pose(shown)
    shown.document.undo()
    shown.set_direction(None)
    shown.document.apply(moved(shown.document.design), "Move grip")
    shown.document.undo()
    assert shown.direction is None
    shown.refresh()


def test_a_lever_turned_since_stays_where_it_is_when_undoing(shown: Session) -> None:
    in_a_pose(shown)
    shown.set_travel(4.0)
    direction = shown.direction
    shown.document.undo()
    assert shown.direction == direction
    shown.refresh()


def test_another_project_forgets_the_poses(shown: Session) -> None:
    in_a_pose(shown)
    shown.document.new(project("compression"))
    assert shown.direction is None
    shown.document.apply(moved(shown.document.design), "Move grip")
    shown.document.undo()
    assert shown.direction is None
    shown.refresh()
