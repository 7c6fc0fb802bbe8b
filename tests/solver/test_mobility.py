from __future__ import annotations

from dataclasses import replace

import pytest

from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.mobility import freedom, freedom_problem
from solver.model import FRAME, Design, Link, Point, Slider
from solver.plan import compile_design

LAYOUT = {layout.key: layout for layout in LAYOUTS}
ROCKER = LAYOUT["rocker"].build()


def sentence(design: Design) -> str:
    problem = freedom_problem(design)
    assert problem is not None
    with pytest.raises(DesignProblem, match="sketch") as caught:
        compile_design(design)
    assert str(caught.value) == str(problem)
    return str(problem)


def without(design: Design, link: str) -> Design:
    kept = tuple(one for one in design.links if one.name != link)
    carried = {name for one in kept for name in one.points}
    return replace(
        design,
        links=kept,
        points=tuple(point for point in design.points if point.name in carried),
        plates=tuple(plate for plate in design.plates if plate.link != link),
        outputs=(),
    )


@pytest.mark.parametrize("key", sorted(LAYOUT))
def test_every_layout_moves_in_one_way(key: str) -> None:
    design = LAYOUT[key].build()
    assert freedom(design) == 1
    assert freedom_problem(design) is None


def test_a_six_bar_moves_in_one_way() -> None:
    # M = 3·5 - 2·7 = 1 for six links and seven pins.
    points = (*ROCKER.points, Point("far end", 210.0, 60.0), Point("far pivot", 220.0, -30.0))
    frame, *rest = ROCKER.links
    links = (
        Link(FRAME, (*frame.points, "far pivot")),
        *rest,
        Link("second rod", ("flap edge", "far end")),
        Link("second rocker", ("far end", "far pivot")),
    )
    design = replace(ROCKER, points=points, links=links)
    assert freedom(design) == 1
    assert freedom_problem(design) is None
    assert len(compile_design(design).steps) == 2


def test_a_pin_through_three_links_counts_twice() -> None:
    # Lever, rod and a second rod on one pin: the count would be off by two otherwise.
    points = (*ROCKER.points, Point("far end", 80.0, 120.0), Point("far pivot", 130.0, 150.0))
    frame, *rest = ROCKER.links
    links = (
        Link(FRAME, (*frame.points, "far pivot")),
        *rest,
        Link("second rod", ("rod end", "far end")),
        Link("second rocker", ("far end", "far pivot")),
    )
    assert freedom(replace(ROCKER, points=points, links=links)) == 1


def test_a_rod_with_one_end_free_is_named() -> None:
    loose = without(ROCKER, "rocker")
    assert freedom(loose) == 2
    told = sentence(loose)
    assert told == "This sketch can move in 2 ways: link “rod” is tied at one end only."


def test_a_link_tied_to_nothing_is_named() -> None:
    design = replace(
        LAYOUT["compression"].build(),
        points=(*LAYOUT["compression"].build().points, Point("a", 300, 0), Point("b", 300, 40)),
    )
    stray = replace(design, links=(*design.links, Link("stray", ("a", "b"))))
    assert sentence(stray) == "This sketch can move in 4 ways: link “stray” is tied to nothing."
    problem = freedom_problem(stray)
    assert problem is not None
    assert problem.part == "stray"


def test_a_lever_held_by_a_second_rod_is_locked() -> None:
    design = replace(
        ROCKER,
        links=(
            Link(FRAME, (*ROCKER.links[0].points, "post")),
            *ROCKER.links[1:],
            Link("brace", ("grip", "post")),
        ),
        points=(*ROCKER.points, Point("post", -150.0, 0.0)),
    )
    assert freedom(design) == 0
    told = sentence(design)
    assert told.startswith("This sketch cannot move: it is tied once too often")
    assert "take out a link or a pivot" in told


def test_two_links_pinned_twice_are_one_rigid_part() -> None:
    frame, lever, rod, rocker = ROCKER.links
    twice = replace(
        ROCKER, links=(frame, lever, rod, replace(rocker, points=(*rocker.points, "rod end")))
    )
    told = sentence(twice)
    assert "link “rod” and link “rocker” share two points, “rod end” and “rocker end”" in told


def test_a_slider_too_many_is_named() -> None:
    design = replace(
        LAYOUT["rocker"].build(),
        points=(*ROCKER.points, Point("slot end", 190.0, 40.0)),
        links=(Link(FRAME, (*ROCKER.links[0].points, "slot end", "slot start")), *ROCKER.links[1:]),
    )
    design = replace(
        design,
        points=(*design.points, Point("slot start", 110.0, 40.0)),
        sliders=(Slider("guide", "rocker end", FRAME, ("slot start", "slot end")),),
    )
    told = sentence(design)
    assert "tied once too often; take out a slider (“guide”) or a pivot" in told


def test_loose_here_and_locked_there_adds_up_to_one() -> None:
    # The count is 1, but the brace locks the linkage and a stray arm is loose.
    design = replace(
        ROCKER,
        links=(
            Link(FRAME, (*ROCKER.links[0].points, "post")),
            *ROCKER.links[1:],
            Link("brace", ("grip", "post")),
            Link("arm", ("flap edge", "tip")),
        ),
        points=(*ROCKER.points, Point("post", -150.0, 0.0), Point("tip", 240.0, -95.0)),
    )
    assert freedom(design) == 1
    told = sentence(design)
    assert told.startswith("Part of this sketch is loose and part is locked: link “arm”")
