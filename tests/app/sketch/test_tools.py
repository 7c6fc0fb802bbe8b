from collections.abc import Iterator

import pytest

from app.session import Ref
from app.sketch.hand import Act
from app.sketch.shapes import polar
from app.sketch.tools import TOOLS, tool
from solver import edit
from solver.bars import Place
from solver.model import CompressionSpring, ExtensionSpring, Force, Screw, Torque, TorsionSpring
from tests.app.sketch.board import PlainBoard, act, design_of, play


@pytest.fixture
def board() -> PlainBoard:
    return PlainBoard(design_of("blank"))


def clicks(*places: Place) -> Iterator[Act]:
    for place in places:
        yield act("move", place)
        yield act("press", place)
        yield act("release", place)


def test_a_point_on_a_plate_belongs_to_that_link(board: PlainBoard) -> None:
    assert play(tool("point", board), *clicks((2.0, 60.0)))
    assert board.design.links_at("point") == ("lever",)
    assert board.session.selection == (Ref("point", "point"),)
    assert board.commands == 1


def test_a_point_on_the_bare_sheet_belongs_to_the_frame(board: PlainBoard) -> None:
    assert play(tool("point", board), *clicks((70.4, -20.2)))
    assert board.design.links_at("point") == ("frame",)
    point = board.design.point("point")
    assert (point.x, point.y) == (70.0, -20.0)


def test_a_point_put_on_the_lever_in_another_pose_lies_where_it_was_clicked(
    board: PlainBoard,
) -> None:
    board.session.set_direction(70.0)
    place = polar((0.0, 0.0), 80.0, 70.0)
    assert play(tool("point", board), act("press", place, "alt"))
    assert board.place("point") == pytest.approx(place)
    assert board.design.links_at("point") == ("lever",)


def test_a_screw_on_the_bare_sheet_is_a_fixing_hole_and_on_a_plate_goes_through_it(
    board: PlainBoard,
) -> None:
    assert play(tool("screw", board), *clicks((70.4, -20.2)))
    assert play(tool("screw", board), *clicks((-70.0, -20.0)))
    assert play(tool("screw", board), *clicks((2.0, 60.0)))
    assert board.design.screws == (Screw("fixing 1"), Screw("fixing 2"), Screw("screw 1"))
    assert board.design.links_at("fixing 2") == ("frame",)
    assert board.design.links_at("screw 1") == ("lever",)
    assert board.session.selection == (Ref("point", "screw 1"),)
    assert board.commands == 3
    board.session.document.undo()
    assert [point.name for point in board.design.points][-1] == "fixing 2"
    assert board.design.screws == (Screw("fixing 1"), Screw("fixing 2"))


def test_a_screw_goes_through_a_point_that_is_there_but_through_no_pin(board: PlainBoard) -> None:
    play(tool("point", board), *clicks((70.0, -20.0)))
    assert play(tool("screw", board), *clicks((70.0, -20.0)))
    assert board.design.screws == (Screw("point"),)
    pivot = board.design.point(board.design.lever_pivot())
    told: list[str] = []
    board.session.message.connect(told.append)
    assert play(tool("screw", board), *clicks((pivot.x, pivot.y)))
    assert "links turn on a pin there" in told[-1]
    assert board.commands == 2


@pytest.mark.parametrize(
    ("key", "kind"), [("compression", CompressionSpring), ("extension", ExtensionSpring)]
)
def test_a_spring_makes_the_anchors_that_it_needs(
    board: PlainBoard, key: str, kind: type[CompressionSpring | ExtensionSpring]
) -> None:
    assert play(tool(key, board), *clicks((0.0, 40.0), (0.0, -60.0)))
    (spring,) = board.design.springs
    assert isinstance(spring, kind)
    assert board.design.links_at(spring.a) == ("lever",)
    assert board.design.links_at(spring.b) == ("frame",)
    assert board.commands == 1
    assert board.session.selection == (Ref("spring", spring.name),)


@pytest.mark.parametrize("key", ["compression", "extension"])
def test_a_new_springs_ends_fit_the_pin_of_the_joint_that_it_hangs_on(key: str) -> None:
    board = PlainBoard(design_of("rocker"))
    joint = board.place("rod end")
    pin = board.design.pivot_at("rod end").pin_diameter
    assert pin != ExtensionSpring("", "", "", 1.0, 1.0).end_pin_diameter
    assert play(tool(key, board), *clicks(joint, (-60.0, -60.0)))
    spring = board.design.springs[-1]
    assert isinstance(spring, CompressionSpring | ExtensionSpring)
    assert spring.a == "rod end"
    assert spring.end_pin_diameter == pin


@pytest.mark.parametrize("key", ["compression", "extension"])
def test_a_new_spring_works_over_the_whole_throw(board: PlainBoard, key: str) -> None:
    play(tool(key, board), *clicks((0.0, 40.0), (0.0, -60.0)))
    analysis = board.session.analysis
    assert board.session.problem is None
    assert analysis is not None
    assert analysis.springs[0].slack_margin > 0.0
    if key == "compression":
        assert analysis.springs[0].bottoming_margin > 0.0


def test_a_spring_of_the_lever_ends_on_the_frame_behind_its_plate(board: PlainBoard) -> None:
    assert play(tool("extension", board), *clicks((0.0, 30.0), (0.0, 80.0)))
    (spring,) = board.design.springs
    assert isinstance(spring, ExtensionSpring)
    assert board.design.links_at(spring.a) == ("lever",)
    assert board.design.links_at(spring.b) == ("frame",)
    assert any(each.note == "new point on frame" for each in board.feedback)


def test_a_spring_takes_the_points_that_are_there(board: PlainBoard) -> None:
    design = edit.add_point(board.design, 0.0, -60.0, "frame", "anchor")
    board = PlainBoard(design)
    play(tool("extension", board), *clicks((0.5, 119.0), (1.0, -61.0)))
    (spring,) = board.design.springs
    assert isinstance(spring, ExtensionSpring)
    assert (spring.a, spring.b) == ("grip", "anchor")
    assert len(board.design.points) == len(design.points)


def test_a_link_is_laid_from_a_plate_to_the_frame(board: PlainBoard) -> None:
    acts = [
        *clicks((0.0, 50.0), (90.0, 50.0)),
        act("move", (90.0, 0.0), "shift"),
        act("press", (90.0, 0.0), "shift"),
        act("release", (90.0, 0.0), "shift"),
        act("finish"),
    ]
    assert play(tool("link", board), *acts)
    (link,) = board.design.links[2:]
    assert [board.design.links_at(name) for name in link.points] == [
        ("lever", "link"),
        ("link",),
        ("frame", "link"),
    ]
    assert board.commands == 1


def test_a_double_click_ends_a_link_and_adds_no_point(board: PlainBoard) -> None:
    acts = [*clicks((0.0, 50.0), (90.0, 50.0)), act("double", (90.0, 50.0))]
    assert play(tool("link", board), *acts)
    assert len(board.design.link("link").points) == 2


def test_a_link_of_one_point_is_not_made(board: PlainBoard) -> None:
    assert not play(tool("link", board), *clicks((0.0, 50.0)), act("finish"))
    assert board.commands == 0
    assert board.said[-1].startswith("A link needs two points or more.")


def test_rod_and_rocker_are_laid_by_clicks_and_can_be_solved(board: PlainBoard) -> None:
    assert play(tool("link", board), *clicks((0.0, 50.0), (90.0, 50.0)), act("finish"))
    rocker = [
        *clicks((90.0, 50.0)),
        act("press", (90.0, 0.0), "shift"),
        act("release", (90.0, 0.0), "shift"),
        act("finish"),
    ]
    assert board.session.problem is not None
    assert play(tool("link", board), *rocker)
    assert board.session.problem is None
    assert board.design.links_at("end") == ("link", "link 2")


def test_a_slider_on_the_frame_is_laid_by_three_clicks(board: PlainBoard) -> None:
    assert play(tool("link", board), *clicks((0.0, 50.0), (90.0, 20.0)), act("finish"))
    slot = clicks((90.0, 20.0), (60.0, 20.0), (130.0, 20.0))
    assert play(tool("slider", board), *slot)
    (slider,) = board.design.sliders
    assert (slider.point, slider.guide) == ("end", "frame")
    assert board.session.problem is None
    assert board.session.selection == (Ref("slider", "slider"),)


def test_a_torsion_spring_sits_on_a_pivot(board: PlainBoard) -> None:
    assert play(tool("torsion", board), *clicks((0.0, 0.0), (0.0, 60.0), (50.0, 0.0)))
    (spring,) = board.design.springs
    assert isinstance(spring, TorsionSpring)
    assert spring.pivot == "pivot"
    assert board.design.links_at(spring.leg_a) == ("lever",)
    assert board.design.links_at(spring.leg_b) == ("frame",)
    assert board.session.problem is None


def test_a_weight_hangs_on_the_grip(board: PlainBoard) -> None:
    assert play(tool("weight", board), *clicks((0.0, 120.0)))
    assert board.design.weights[0].point == "grip"


def test_a_force_pulls_where_the_second_click_is(board: PlainBoard) -> None:
    assert play(tool("force", board), *clicks((0.0, 120.0), (0.0, 60.0)))
    (force,) = board.design.loads
    assert isinstance(force, Force)
    assert (force.point, force.x, force.y) == ("grip", 0.0, -10.0)
    assert "new point" not in " ".join(note.note for note in board.feedback[-3:])


def test_a_torque_acts_on_the_clicked_link(board: PlainBoard) -> None:
    assert not play(tool("torque", board), *clicks((80.0, 0.0)))
    assert play(tool("torque", board), *clicks((0.0, 60.0)))
    (torque,) = board.design.loads
    assert isinstance(torque, Torque)
    assert torque.link == "lever"


def test_two_points_become_one(board: PlainBoard) -> None:
    play(tool("link", board), *clicks((0.0, 50.0), (90.0, 50.0)), act("finish"))
    play(tool("point", board), *clicks((90.0, 0.0)))
    assert play(tool("join", board), *clicks((90.0, 0.0), (90.0, 50.0)))
    assert board.design.links_at("point") == ("frame", "link")


def test_what_cannot_be_done_is_told_and_ends_the_tool(board: PlainBoard) -> None:
    assert play(tool("join", board), *clicks((0.0, 0.0), (0.0, 120.0)))
    assert board.commands == 0
    assert board.said[-1].endswith(".")
    assert "pivot" in board.said[-1]


@pytest.mark.parametrize("key", TOOLS)
def test_escape_leaves_every_tool_without_a_trace(board: PlainBoard, key: str) -> None:
    before = board.session.document.project
    gesture = tool(key, board)
    next(gesture)
    assert board.said[-1].startswith("Click")
    with pytest.raises(StopIteration):
        gesture.send(act("cancel"))
    assert board.session.document.project is before
    assert board.feedback[-1].picks == ()
