import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.sketch.coils import Coil, compression_coil, curved_arrow, extension_coil, torsion_coil
from app.sketch.shapes import (
    Rigid,
    arc,
    distance,
    gap_to_segment,
    heading,
    inside,
    nearest_turn,
)
from solver.bars import Place, bones, capsule, plate_outline

lengths = st.floats(-500.0, 500.0)
places = st.tuples(lengths, lengths)


def area(outline: list[Place]) -> float:
    pairs = zip(outline, outline[1:] + outline[:1], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2.0


def test_a_bar_with_round_ends_has_the_area_of_rectangle_and_circle() -> None:
    outline = capsule((10.0, 5.0), (70.0, 85.0), 8.0)
    # The chords lie within the round ends: 0.3 % of their area.
    assert area(outline) == pytest.approx(100.0 * 16.0 + math.pi * 64.0, rel=1e-3)


def test_a_plate_of_one_point_is_a_disc() -> None:
    outline = plate_outline([(3.0, 4.0)], 5.0)
    assert all(distance((3.0, 4.0), place) == pytest.approx(5.0) for place in outline)


@pytest.mark.parametrize(
    "points",
    [
        [(0.0, 0.0), (0.0, 120.0), (40.0, 0.0)],
        [(0.0, 0.0), (50.0, 0.0), (100.0, 0.0)],
        [(0.0, 0.0), (0.0, 90.0), (30.0, 60.0), (-40.0, 10.0)],
        [(0.0, 0.0), (0.0, 0.0), (80.0, 0.0)],
    ],
)
def test_a_plate_covers_all_its_points(points: list[Place]) -> None:
    outline = plate_outline(points, 7.0)
    for x, y in points:
        for turn in range(0, 360, 30):
            near = (x + 6.8 * math.cos(math.radians(turn)), y + 6.8 * math.sin(math.radians(turn)))
            assert inside(outline, near)


def test_bones_tie_all_points_by_the_shortest_bars() -> None:
    bars = bones([(0.0, 0.0), (100.0, 0.0), (50.0, 1.0)])
    assert {frozenset(bar) for bar in bars} == {
        frozenset({(0.0, 0.0), (50.0, 1.0)}),
        frozenset({(50.0, 1.0), (100.0, 0.0)}),
    }


@given(places, places, lengths, st.floats(-180.0, 180.0), places)
def test_a_rigid_motion_is_found_from_two_points_and_goes_back(
    first: Place, shift: Place, length: float, turn: float, other: Place
) -> None:
    drawn = [first, (first[0] + abs(length) + 1.0, first[1])]
    start = (first[0] + shift[0], first[1] + shift[1])
    radians = math.radians(turn)
    reach = abs(length) + 1.0
    posed = [start, (start[0] + reach * math.cos(radians), start[1] + reach * math.sin(radians))]
    motion = Rigid(drawn, posed)
    assert motion(drawn[1]) == pytest.approx(posed[1], abs=1e-6)
    assert motion.back(motion(other)) == pytest.approx(other, abs=1e-6)


@given(st.floats(-720.0, 720.0), st.floats(-720.0, 720.0))
def test_the_nearest_turn_is_the_same_direction_within_half_a_turn(at: float, near: float) -> None:
    found = nearest_turn(at, near)
    assert abs(found - near) <= 180.0 + 1e-9
    assert math.remainder(found - at, 360.0) == pytest.approx(0.0, abs=1e-9)


@given(places, places, places)
def test_the_gap_to_a_piece_of_line_is_no_more_than_to_its_ends(
    place: Place, a: Place, b: Place
) -> None:
    gap = gap_to_segment(place, a, b)
    assert gap <= min(distance(place, a), distance(place, b)) + 1e-9


def test_arcs_begin_and_end_where_they_should() -> None:
    line = arc((1.0, 2.0), 10.0, 30.0, -60.0)
    assert heading((1.0, 2.0), line[0]) == pytest.approx(30.0)
    assert heading((1.0, 2.0), line[-1]) == pytest.approx(-60.0)
    assert all(distance((1.0, 2.0), place) == pytest.approx(10.0) for place in line)


@pytest.mark.parametrize("draw", [compression_coil, extension_coil])
def test_a_coil_spring_ends_on_its_anchors(draw: Callable[[Place, Place, float], Coil]) -> None:
    coil = draw((10.0, 10.0), (10.0, 90.0), 6.0)
    lines = [*coil.near, *coil.far, *coil.ends]
    reach = [place for line in lines for place in line]
    assert min(y for _, y in reach) == pytest.approx(10.0)
    assert max(y for _, y in reach) == pytest.approx(90.0)
    assert max(abs(x - 10.0) for x, _ in reach) <= 6.0 + 1e-9


def test_a_coil_spring_keeps_its_number_of_coils_when_it_is_pressed() -> None:
    long, short = (compression_coil((0.0, 0.0), (0.0, end), 6.0) for end in (80.0, 40.0))
    assert len(long.near) == len(short.near)
    assert short.near[1][0][1] - short.near[0][0][1] < long.near[1][0][1] - long.near[0][0][1]


@pytest.mark.parametrize("way", [1, -1])
def test_the_legs_of_a_torsion_spring_are_tangents_along_their_points(way: int) -> None:
    """The points lie outside them, seen from the pivot; leg A is on the other side than leg B."""
    pivot, points, beside = (0.0, 0.0), ((50.0, 0.0), (0.0, 60.0)), (3.0, 4.0)
    spiral, *legs = torsion_coil(pivot, *points, 5.0, 2, way, beside)
    sides = []
    for (foot, tip), point, off in zip(legs, points, beside, strict=True):
        along = math.radians(heading(foot, tip))
        assert foot[0] * math.cos(along) + foot[1] * math.sin(along) == pytest.approx(0.0)
        x, y = point[0] - foot[0], point[1] - foot[1]
        aside = x * math.sin(along) - y * math.cos(along)  # to the right of the leg
        assert abs(aside) == pytest.approx(off)
        assert distance(foot, tip) > x * math.cos(along) + y * math.sin(along)
        axis_aside = -foot[0] * math.sin(along) + foot[1] * math.cos(along)
        assert aside * axis_aside < 0.0  # the pivot lies on the other side of the leg
        sides.append(math.copysign(1.0, aside))
    assert sides == [-way, way]
    assert (spiral[0], spiral[-1]) == (pytest.approx(legs[0][0]), pytest.approx(legs[1][0]))


@pytest.mark.parametrize("positive", [True, False])
def test_the_arrow_of_a_torque_turns_its_way(positive: bool) -> None:
    shaft, head = curved_arrow((0.0, 0.0), 10.0, positive)
    (x1, y1), (x2, y2) = shaft[0], shaft[1]
    assert (x1 * y2 - x2 * y1 > 0.0) == positive
    assert head[1] == shaft[-1]
