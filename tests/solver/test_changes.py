"""What changed between two designs, in words."""

from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from solver import edit
from solver.changes import changes
from solver.layouts import LAYOUTS
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    GuideRod,
    Limit,
    Link,
    Pivot,
    Plate,
    Point,
    Stops,
    Tolerances,
    Weight,
)
from solver.project import Display
from solver.rebase import rebase

METRIC, INCH = Display(), Display("inch")
DIRECT = next(layout for layout in LAYOUTS if layout.key == "compression").build()
ROCKER = next(layout for layout in LAYOUTS if layout.key == "rocker").build()


def spring(design: Design) -> CompressionSpring:
    (found,) = design.springs
    assert isinstance(found, CompressionSpring)
    return found


def with_spring(design: Design, **changed: object) -> Design:
    return replace(design, springs=(replace(spring(design), **changed),))  # type: ignore[arg-type]


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.key)
def test_nothing_changed_says_nothing(layout: object) -> None:
    design = layout.build()  # type: ignore[attr-defined]
    assert changes(design, replace(design, notes="other notes"), METRIC) == ()


@given(turn=st.floats(-20.0, 20.0), x=st.floats(-90.0, 90.0), y=st.floats(-90.0, 90.0))
@example(turn=1e-06, x=0.0, y=1.0)
@settings(deadline=None, max_examples=25)
def test_another_pose_or_place_of_the_drawing_is_no_change(turn: float, x: float, y: float) -> None:
    moved = replace(ROCKER, points=tuple(Point(p.name, p.x + x, p.y + y) for p in ROCKER.points))
    assert changes(ROCKER, rebase(moved, 90.0 + turn), METRIC) == ()


@pytest.mark.parametrize(
    ("x", "y", "words"),
    [
        (0.0, -88.0, "Spring anchor 4.0 mm closer to the pivot."),
        (0.0, -95.5, "Spring anchor 3.5 mm farther from the pivot."),
        (3.0, -92.0, "Spring anchor 3.0 mm to the right."),
        (-3.0, -90.0, "Spring anchor 3.0 mm to the left and 2.0 mm higher."),
    ],
)
def test_a_point_that_moved(x: float, y: float, words: str) -> None:
    assert changes(DIRECT, edit.move_point(DIRECT, "spring anchor", x, y), METRIC) == (words,)


def test_a_point_beside_the_lever_that_moved_up() -> None:
    moved = edit.move_point(ROCKER, "rocker pivot", 150.0, -17.0)
    assert changes(ROCKER, moved, METRIC) == ("Rocker pivot 3.0 mm higher.",)


def test_less_than_is_shown_is_no_move() -> None:
    assert changes(DIRECT, edit.move_point(DIRECT, "grip", 0.0, 140.04), METRIC) == ()


def test_numbers_of_a_spring_are_told_with_one_unit() -> None:
    other = with_spring(DIRECT, rate=2.0, free_length=80.0)
    assert changes(DIRECT, other, METRIC) == (
        "Main spring: rate 2.400 → 2.000 N/mm, free length 82.0 → 80.0 mm.",
    )
    assert changes(DIRECT, other, INCH) == (
        "Main spring: rate 13.70 → 11.42 lbf/in, free length 3.228 → 3.150 in.",
    )


def test_a_difference_that_usual_digits_hide_is_shown_with_more() -> None:
    (told,) = changes(DIRECT, with_spring(DIRECT, free_length=82.04), METRIC)
    assert told == "Main spring: free length 82.0 mm → 82.04 mm."


def test_rods_ends_and_kinds_of_springs() -> None:
    rod = with_spring(DIRECT, rod=GuideRod(50.0, 90.0))
    assert changes(DIRECT, rod, METRIC) == ("Main spring: has a guide rod.",)
    longer = with_spring(DIRECT, rod=GuideRod(50.0, 95.0))
    assert changes(rod, longer, METRIC) == ("Main spring: reach of the rod 90.0 → 95.0 mm.",)
    ends = with_spring(DIRECT, captive=True, a="pivot")
    assert changes(DIRECT, ends, METRIC) == (
        "Main spring: end “pivot” instead of “spring anchor”, captive ends yes.",
    )
    pulls = replace(
        DIRECT,
        springs=(ExtensionSpring("main spring", "spring anchor", "lever foot", 1.0, 50.0),),
    )
    assert changes(DIRECT, pulls, METRIC) == (
        "Main spring is an extension spring instead of a compression spring.",
    )


def test_parts_that_came_and_went() -> None:
    more = replace(
        DIRECT,
        weights=(Weight("knob", "grip", 0.1),),
        points=(*DIRECT.points, Point("hook", 10.0, 20.0)),
        links=(*DIRECT.links, Link("strut", ("grip", "hook"))),
    )
    assert changes(DIRECT, more, METRIC) == (
        "New link “strut” through “grip” and “hook”.",
        "New weight “knob”.",
    )
    assert changes(more, DIRECT, METRIC) == (
        "No link “strut” any more.",
        "No weight “knob” any more.",
    )


def test_a_lever_on_another_pivot_takes_its_points_along() -> None:
    points = {"pivot": "shaft"}
    moved = tuple(Point(points.get(p.name, p.name), p.x + 150.0, p.y - 35.0) for p in DIRECT.points)
    links = tuple(
        Link(link.name, tuple(points.get(name, name) for name in link.points))
        for link in DIRECT.links
    )
    other = replace(DIRECT, points=moved, links=links, pivots=())
    told = changes(DIRECT, other, METRIC)
    assert "The lever turns on “shaft” instead of “pivot”." in told
    assert not any(" mm " in line for line in told)


@pytest.mark.parametrize(
    ("x", "y", "words"),
    [
        (0.0, -2.0, "Spring anchor 92.0 → 94.0 mm from the lever's pivot."),
        (3.0, 0.0, "Spring anchor 3.0 mm to the right, seen from the lever's pivot."),
    ],
)
def test_on_another_pivot_places_are_told_from_the_pivot_of_each(
    x: float, y: float, words: str
) -> None:
    """The old pivot is no place to measure from: the other lever does not turn there."""
    points = {"pivot": "shaft"}
    moved = [Point(points.get(p.name, p.name), p.x + 150.0, p.y - 35.0) for p in DIRECT.points]
    moved = [
        Point(p.name, p.x + x, p.y + y) if p.name == "spring anchor" else p
        for p in [*moved, DIRECT.point("pivot")]
    ]
    links = tuple(
        Link(link.name, tuple(points.get(name, name) for name in link.points))
        for link in DIRECT.links
    )
    wall = (Link("frame", (*links[0].points, "pivot")), *links[1:])
    assert links[0].name == "frame"
    other = replace(DIRECT, points=tuple(moved), links=wall, pivots=())
    told = changes(DIRECT, other, METRIC)
    assert words in told
    assert not any("the pivot" in line and " mm " in line for line in told)


def test_nothing_is_closer_to_a_pivot_that_moved_itself() -> None:
    moved = edit.move_points(ROCKER, {"lever pivot": (0.0, 4.0), "spring anchor": (0.0, -88.0)})
    told = changes(ROCKER, moved, METRIC)
    assert any(line.startswith("Lever pivot 4.0 mm higher") for line in told)
    assert any(line.startswith("Spring anchor ") for line in told)
    assert not any("closer to" in line or "farther from" in line for line in told)


def test_rests_pins_plates_limits_and_the_rest() -> None:
    bare = replace(DIRECT, plates=())
    other = replace(
        bare,
        stops=Stops(110.0, 66.0),
        pivots=(Pivot("pivot", pin_diameter=8.0, friction=0.12),),
        plates=(Plate("lever"),),
        limits=(Limit("holding_force", at_least=5.0), *DIRECT.limits[1:-1]),
        tolerances=Tolerances(hole=0.1),
    )
    assert changes(bare, other, METRIC) == (
        "Rest A 24.0 → 20.0°.",
        "Pin at pivot: pin diameter 6.0 → 8.0 mm, friction 0.150 → 0.120.",
        "Plate of lever: settled.",
        "Limit on “Holding force, weaker rest”: at least 5.00 N instead of at least 4.00 N.",
        "Limit on “Hang zone at the grip”: none instead of at most 8.0 mm.",
        "Other tolerances.",
    )


def test_a_design_that_cannot_be_solved_is_told_of_all_the_same() -> None:
    stuck = replace(DIRECT, stops=Stops(90.0, 90.0))
    assert changes(DIRECT, stuck, METRIC) == ("Rest A 24.0 → 0.00°.", "Rest B −24.0 → 0.00°.")


def test_another_wire_and_order_number_are_told() -> None:
    bought = with_spring(DIRECT, wire=1.6, outside_diameter=15.6, coils=11.5, order_note="D 40")
    assert changes(DIRECT, bought, METRIC) == (
        "Main spring: wire diameter not given → 1.60 mm, outside diameter not given → 15.6 mm, "
        "coils not given → 11.50, order note “D 40” instead of none.",
    )
    assert changes(bought, with_spring(bought, wire=1.65), METRIC) == (
        "Main spring: wire diameter 1.60 → 1.65 mm.",
    )
