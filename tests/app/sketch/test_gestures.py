import math
from dataclasses import replace

import pytest

from app.part_edits import remove
from app.session import Ref
from app.sketch.gestures import pressed
from app.sketch.keys import Nudge, next_point
from app.sketch.shapes import distance, heading, polar
from solver import edit
from solver.bars import Place
from solver.model import Point
from tests.app.sketch.board import PlainBoard, act, design_of, go_on, play


@pytest.fixture
def board() -> PlainBoard:
    return PlainBoard(design_of("compression"))


def at(board: PlainBoard, name: str) -> Place:
    point = board.design.point(name)
    return (point.x, point.y)


def test_a_drag_of_a_point_is_one_command_and_undo_restores_the_value(board: PlainBoard) -> None:
    before = board.session.document.project
    start = at(board, "spring anchor")
    moves = [act("move", (start[0] + step, start[1] - step)) for step in range(1, 9)]
    end = (start[0] + 8.0, start[1] - 8.0)
    assert play(pressed(board, act("press", start)), *moves, act("release", end))
    assert at(board, "spring anchor") == end
    assert board.commands == 1
    board.session.document.undo()
    assert board.session.document.project == before


def test_escape_in_a_drag_leaves_no_trace(board: PlainBoard) -> None:
    before = board.session.document.project
    start = at(board, "lever foot")
    play(
        pressed(board, act("press", start)),
        act("move", (start[0] + 9.0, start[1])),
        act("cancel"),
    )
    assert board.session.document.project == before
    assert board.commands == 0
    assert not board.session.document.in_gesture


def test_a_dragged_point_keeps_to_the_grid_and_with_alt_it_does_not(board: PlainBoard) -> None:
    start = at(board, "spring anchor")
    aim = (start[0] + 6.3, start[1] + 2.8)
    play(pressed(board, act("press", start)), act("move", aim), act("release", aim))
    assert at(board, "spring anchor") == (start[0] + 6.0, start[1] + 3.0)
    start = at(board, "spring anchor")
    aim = (start[0] + 4.3, start[1])
    play(
        pressed(board, act("press", start)),
        act("move", aim, "alt"),
        act("release", aim, "alt"),
    )
    assert at(board, "spring anchor") == pytest.approx(aim)


def test_shift_keeps_a_drag_straight(board: PlainBoard) -> None:
    start = at(board, "spring anchor")
    aim = (start[0] + 12.0, start[1] + 5.0)
    play(
        pressed(board, act("press", start, "shift")),
        act("move", aim, "shift"),
        act("release", aim, "shift"),
    )
    assert at(board, "spring anchor") == (start[0] + 12.0, start[1])


def test_a_drag_shows_the_distances_to_the_neighbours(board: PlainBoard) -> None:
    start = at(board, "lever foot")
    play(pressed(board, act("press", start)), act("move", (start[0] + 9.0, start[1])))
    assert board.feedback[-1].focus == ("lever foot",)
    assert board.feedback[-1].note.startswith("x 9.0")


def test_a_point_dragged_in_another_pose_lands_under_the_hand(board: PlainBoard) -> None:
    board.session.set_travel(10.0)
    start = board.place("lever foot")
    aim = (start[0] + 5.0, start[1] - 4.0)
    play(
        pressed(board, act("press", start)),
        act("move", aim, "alt"),
        act("release", aim, "alt"),
    )
    assert board.session.direction is None
    assert board.place("lever foot") == pytest.approx(aim)
    assert board.commands == 1


def test_escape_after_a_drag_in_another_pose_shows_that_pose_again(board: PlainBoard) -> None:
    board.session.set_travel(10.0)
    pose, before = board.session.direction, board.session.document.project
    start = board.place("lever foot")
    play(
        pressed(board, act("press", start)),
        act("move", (start[0] + 5.0, start[1])),
        act("cancel"),
    )
    assert board.session.direction == pose
    assert board.session.document.project == before


def test_several_selected_points_move_together(board: PlainBoard) -> None:
    board.session.select(Ref("point", "lever foot"), Ref("point", "spring anchor"))
    foot, anchor = at(board, "lever foot"), at(board, "spring anchor")
    aim = (foot[0] + 7.0, foot[1])
    play(pressed(board, act("press", foot)), act("move", aim), act("release", aim))
    assert at(board, "lever foot") == aim
    assert at(board, "spring anchor") == (anchor[0] + 7.0, anchor[1])
    assert board.commands == 1


def test_a_click_selects_and_changes_nothing(board: PlainBoard) -> None:
    place = at(board, "lever foot")
    assert play(pressed(board, act("press", place)), act("release", place))
    assert board.session.selection == (Ref("point", "lever foot"),)
    assert board.commands == 0


def test_shift_click_adds_and_takes_out(board: PlainBoard) -> None:
    for name in ("lever foot", "grip", "lever foot"):
        place = at(board, name)
        play(pressed(board, act("press", place, "shift")), act("release", place, "shift"))
    assert board.session.selection == (Ref("point", "grip"),)


def test_a_rubber_band_selects_the_points_in_it(board: PlainBoard) -> None:
    play(
        pressed(board, act("press", (-60.0, -20.0))),
        act("move", (60.0, -100.0)),
        act("release", (60.0, -100.0)),
    )
    assert set(board.session.selection) == {
        Ref("point", "lever foot"),
        Ref("point", "spring anchor"),
    }
    play(pressed(board, act("press", (-100.0, 0.0))), act("release", (-100.0, 0.0)))
    assert board.session.selection == ()


def test_dropping_a_point_on_another_with_ctrl_joins_them() -> None:
    design = edit.add_point(design_of("compression"), 60.0, 60.0, "frame", "far post")
    design = replace(design, points=(*design.points, Point("rod end", 60.0, 0.0)))
    design = edit.add_link(design, ["lever foot", "rod end"], "rod")
    board = PlainBoard(design)
    start, end = at(board, "rod end"), at(board, "far post")
    play(
        pressed(board, act("press", start)),
        act("move", end, "ctrl"),
        act("release", end, "ctrl"),
    )
    assert "rod end" not in [point.name for point in board.design.points]
    assert board.design.link("rod").points == ("lever foot", "far post")
    assert board.commands == 1


def test_an_impossible_drag_says_why_and_keeps_the_last_good_analysis() -> None:
    board = PlainBoard(design_of("rocker"))
    good = board.session.analysis
    start = at(board, "rocker pivot")
    aim = (start[0] + 400.0, start[1])
    gesture = pressed(board, act("press", start))
    play(gesture, act("move", aim))
    assert board.session.problem
    assert board.session.analysis is good
    assert board.place("rocker pivot") == aim
    assert {ghost.key for ghost in board.picture.ghosts} == {"A", "B", "dead centre"}
    assert board.picture.ghosts[0].design is good.design if good else False
    assert not go_on(gesture, act("move", start))
    assert board.session.problem is None


# ---- lever and stops -------------------------------------------------------------------


def around(board: PlainBoard, reach: float, direction: float) -> Place:
    return polar(board.place(board.design.lever_pivot()), reach, direction)


def test_dragging_the_lever_swings_it_between_the_rests(board: PlainBoard) -> None:
    before = board.session.document.project
    play(
        pressed(board, act("press", around(board, 70.0, 90.0))),
        act("move", around(board, 70.0, 80.0)),
        act("release", around(board, 70.0, 80.0)),
    )
    assert board.session.direction == pytest.approx(80.0)
    play(
        pressed(board, act("press", around(board, 70.0, 80.0))),
        act("move", around(board, 70.0, 20.0)),
        act("release", around(board, 70.0, 20.0)),
    )
    assert board.session.direction == pytest.approx(board.design.stops.rest_b)
    assert board.session.document.project is before


def test_escape_while_swinging_goes_back_to_the_pose_from_before(board: PlainBoard) -> None:
    play(
        pressed(board, act("press", around(board, 70.0, 90.0))),
        act("move", around(board, 70.0, 80.0)),
        act("cancel"),
    )
    assert board.session.direction is None


@pytest.mark.parametrize("rest", ["A", "B"])
def test_dragging_a_ghost_grip_moves_its_stop_as_one_command(board: PlainBoard, rest: str) -> None:
    ghost = board.picture.ghost(rest)
    assert ghost is not None
    reach = distance(ghost.pivot, ghost.grip)
    outward = 5.0 if rest == "A" else -5.0
    first = heading(ghost.pivot, ghost.grip)
    aim = polar(ghost.pivot, reach, first + outward)
    play(
        pressed(board, act("press", ghost.grip)),
        act("move", polar(ghost.pivot, reach, first + outward / 2.0)),
        act("release", aim),
    )
    stops = board.design.stops
    moved = stops.rest_a if rest == "A" else stops.rest_b
    assert moved == pytest.approx(first + outward)
    assert board.commands == 1
    assert board.session.selection == (Ref("rest", rest),)


def test_a_stop_can_be_taken_by_its_face_where_the_lever_hides_the_ghost(
    board: PlainBoard,
) -> None:
    board.session.set_travel(0.0)
    ghost = board.picture.ghost("A")
    assert ghost is not None
    hit = board.finder.hit(polar(ghost.stop, 2.0, ghost.outward))
    assert hit is not None
    assert hit.ref == Ref("rest", "A")


def test_a_stop_is_not_dragged_onto_the_other_one(board: PlainBoard) -> None:
    before = board.design.stops
    ghost = board.picture.ghost("A")
    other = board.picture.ghost("B")
    assert ghost is not None
    assert other is not None
    gesture = pressed(board, act("press", ghost.grip))
    play(gesture, act("move", other.grip))
    assert "one direction" in board.said[-1]
    assert go_on(gesture, act("cancel"))
    assert board.design.stops == before


def test_the_pose_shown_stays_between_the_stops(board: PlainBoard) -> None:
    ghost = board.picture.ghost("B")
    assert ghost is not None
    board.session.set_travel(1000.0)
    start = polar(ghost.stop, 2.0, ghost.outward)
    # Ten degrees inwards about the pivot.
    off, reach = heading(ghost.pivot, start), distance(ghost.pivot, start)
    aim = polar(ghost.pivot, reach, off + 10.0)
    gesture = pressed(board, act("press", start))
    assert play(gesture, act("move", aim), act("release", aim))
    assert board.session.direction == pytest.approx(board.design.stops.rest_b)


# ---- keys ------------------------------------------------------------------------------


def test_a_burst_of_nudges_is_one_command(board: PlainBoard) -> None:
    board.session.select(Ref("point", "spring anchor"))
    start = at(board, "spring anchor")
    nudge = Nudge(board.session)
    for _ in range(3):
        nudge.step(1.0, 0.0)
    nudge.step(0.0, 0.1)
    nudge.end()
    assert at(board, "spring anchor") == pytest.approx((start[0] + 3.0, start[1] + 0.1))
    assert board.commands == 1


def test_a_nudge_turns_a_selected_rest(board: PlainBoard) -> None:
    board.session.select(Ref("rest", "A"))
    nudge = Nudge(board.session)
    nudge.step(0.0, 1.0)
    nudge.end()
    assert board.design.stops.rest_a == pytest.approx(115.0)


def test_nudging_nothing_says_what_to_do(board: PlainBoard) -> None:
    nudge = Nudge(board.session)
    nudge.step(1.0, 0.0)
    assert not nudge.running
    assert board.said == ["Select a point, a link or a rest to move it by the arrow keys."]


def test_what_is_selected_is_removed_as_one_command(board: PlainBoard) -> None:
    board.session.select(Ref("point", "spring anchor"), Ref("spring", "main spring"))
    remove(board.session, board.session.selection)
    assert board.design.springs == ()
    assert board.commands == 1
    assert board.session.selection == ()


@pytest.mark.parametrize("ref", [Ref("point", "grip"), Ref("link", "lever"), Ref("rest", "A")])
def test_what_must_stay_stays_and_says_why(board: PlainBoard, ref: Ref) -> None:
    board.session.select(Ref("spring", "main spring"), ref)
    remove(board.session, board.session.selection)
    assert board.design.springs == ()
    assert board.session.selection == (ref,)
    assert board.commands == 1
    assert len(board.said) == 1


def test_tab_goes_through_the_points_and_on(board: PlainBoard) -> None:
    seen = []
    while next_point(board.session, forward=True):
        seen.append(board.session.selection[0].name)
    assert seen == [point.name for point in board.design.points]
    assert next_point(board.session, forward=False)
    assert board.session.selection == (Ref("point", seen[-2]),)


def test_grid_rounding_leaves_no_trail_of_digits(board: PlainBoard) -> None:
    board.session.set_snap(0.5)
    start = at(board, "spring anchor")
    aim = (start[0] + math.pi, start[1])
    play(pressed(board, act("press", start)), act("move", aim), act("release", aim))
    assert at(board, "spring anchor") == (3.0, -92.0)


def test_a_spring_that_lies_on_the_lever_swings_it_when_dragged() -> None:
    board = PlainBoard(design_of("extension"))
    (spring,) = board.design.springs
    start = around(board, 30.0, 90.0)
    hit = board.finder.hit(start)
    assert hit is not None
    assert hit.ref == Ref("spring", spring.name)
    aim = around(board, 30.0, 75.0)
    assert play(pressed(board, act("press", start)), act("move", aim), act("release", aim))
    assert board.session.direction == pytest.approx(75.0)


def test_dragging_a_rod_changes_nothing_and_says_what_to_drag() -> None:
    board = PlainBoard(design_of("rocker"))
    (ax, ay), (bx, by) = (board.place(name) for name in board.design.link("rod").points)
    start = ((ax + bx) / 2.0, (ay + by) / 2.0)
    aim = (start[0], start[1] + 20.0)
    assert play(pressed(board, act("press", start)), act("move", aim), act("release", aim))
    assert board.commands == 0
    assert board.said == ["Drag a point to change the linkage, or the lever to swing it."]
