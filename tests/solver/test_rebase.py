from __future__ import annotations

import math
from dataclasses import replace

import pytest

from solver.analysis import analyse
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import Design, TorsionSpring
from solver.rebase import rebase
from tests.outside.sketches import lever, polar
from tests.solver.test_locking import half_way

LAYOUT = {layout.key: layout.build() for layout in LAYOUTS}


@pytest.mark.parametrize("key", sorted(LAYOUT))
def test_points_go_where_the_pose_is(key: str) -> None:
    design = LAYOUT[key]
    result = analyse(design)
    drawn = rebase(design, design.stops.rest_a)
    for point in drawn.points:
        assert math.dist((point.x, point.y), result.pose_at(0.0)[point.name]) < 1e-9
    frame = {name: design.point(name) for name in design.links[0].points}
    assert {name: drawn.point(name) for name in frame} == frame
    # All else is as it was.
    assert replace(drawn, points=design.points) == design


def test_it_is_the_same_linkage() -> None:
    design = LAYOUT["knee"]
    one = analyse(design)
    other = analyse(rebase(design, design.stops.rest_b))
    for key, reading in one.readings.items():
        assert other.readings[key].value == pytest.approx(reading.value, abs=1e-7, nan_ok=True), key
    assert one.verdict == other.verdict


def wound(rest_a: float, rest_b: float, free: float, turns: int = 0) -> Design:
    design = lever({"grip": polar(120.0, 0.5 * (rest_a + rest_b))}, {"anchor": (60.0, 0.0)}, "grip",
                   rest_a, rest_b)  # fmt: skip
    coil = TorsionSpring("coil", "pivot", "anchor", "grip", 5.0, free, turns=turns)
    return replace(design, springs=(coil,))


@pytest.mark.parametrize("turns", [0, 1, -2])
@pytest.mark.parametrize(
    ("rest_a", "rest_b", "free"),
    [
        (170.0, -170.0, 30.0),
        (-170.0, 170.0, 30.0),
        (170.0, 190.0, -20.0),
        (10.0, 350.0, 179.0),
        (100.0, 60.0, -100.0),
    ],
)
def test_a_torsion_spring_keeps_its_twist_over_any_throw(
    rest_a: float, rest_b: float, free: float, turns: int
) -> None:
    design = wound(rest_a, rest_b, free, turns)
    before = analyse(design).springs[0]
    for share in (0.0, 0.2, 0.5, 0.8, 1.0):
        drawn = rebase(design, rest_a + share * (rest_b - rest_a))
        after = analyse(drawn).springs[0]
        assert after.at_rest_a == pytest.approx(before.at_rest_a, abs=1e-9)
        assert after.at_rest_b == pytest.approx(before.at_rest_b, abs=1e-9)
        # From there on to anywhere else as well.
        again = analyse(rebase(drawn, rest_b)).springs[0]
        assert again.at_rest_a == pytest.approx(before.at_rest_a, abs=1e-9)


def test_a_direction_may_be_given_a_turn_on() -> None:
    design = wound(170.0, -170.0, 30.0)
    one, other = rebase(design, -100.0), rebase(design, 260.0)
    assert one.springs == other.springs
    for a, b in zip(one.points, other.points, strict=True):
        assert math.dist((a.x, a.y), (b.x, b.y)) < 1e-9


def test_a_pose_that_is_not_reached_gets_a_sentence() -> None:
    with pytest.raises(DesignProblem, match="“coupler” and “rocker” lock there"):
        rebase(half_way(0.0, 70.0), 100.0)
