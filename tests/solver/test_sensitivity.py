from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from solver import edit
from solver.analysis import analyse
from solver.errors import DesignProblem
from solver.model import Design, Limit, OwnTolerance, Pivot, Tolerances
from solver.number_names import find_number, with_number
from solver.sensitivity import Sensitivities, Sensitivity, sensitivities, which_is_better
from tests.solver.linkages import linkages
from tests.solver.test_sampling import LAYOUT


def by_path(found: Sensitivities) -> dict[str, Sensitivity]:
    return {each.number.path: each for each in found.ranked}


def reading(design: Design, key: str) -> float:
    return analyse(design, positions=181).readings[key].value


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("compression", "holding_force_a"),
        ("extension", "barrier_b"),
        ("rocker", "output_turn:rocker"),
        ("knee", "seating_force_a"),
    ],
)
def test_slopes_are_those_between_two_designs_of_the_builders_own(key: str, name: str) -> None:
    design = LAYOUT[key]()
    found = sensitivities(design, name)
    assert found.value == pytest.approx(reading(design, name), rel=1e-9)
    for each in found.ranked:
        number = find_number(design, each.number.path)
        assert number.value is not None
        if number.value == 0.0 and not number.path.startswith("points"):
            continue
        step = 1e-3 * max(abs(number.value), 1.0)
        more, less = (
            reading(with_number(design, number.path, number.value + way * step), name)
            for way in (1.0, -1.0)
        )
        slope = (more - less) / (2.0 * step)
        # Third derivatives times the square of the steps.
        assert each.per_unit == pytest.approx(slope, rel=2e-4, abs=2e-6 * abs(found.value)), number


def test_the_greatest_effect_of_a_typical_change_comes_first() -> None:
    found = sensitivities(LAYOUT["compression"](), "holding_force_a")
    effects = [each.effect for each in found.ranked]
    assert effects == sorted(effects, reverse=True)
    rate = found.ranked[0]
    assert rate.number.path == "springs.main spring.rate"
    assert rate.typical == pytest.approx(0.24)
    assert rate.rise == pytest.approx(0.24 * rate.per_unit, rel=1e-6)
    assert rate.fall == pytest.approx(-rate.rise, rel=1e-6)


def test_gravity_is_not_the_builders_to_choose() -> None:
    found = by_path(sensitivities(LAYOUT["compression"](), "throw"))
    assert not any(path.startswith("gravity") for path in found)
    assert found["stops.rest_a"].per_unit == pytest.approx(1.0, rel=1e-9)
    assert found["stops.rest_b"].per_unit == pytest.approx(-1.0, rel=1e-9)


def test_a_number_at_zero_is_only_made_more() -> None:
    design = LAYOUT["compression"]()
    smooth = replace(design, pivots=(Pivot("pivot", 6.0, friction=0.0),))
    found = by_path(sensitivities(smooth, "hang_zone_mm"))["pivots.pivot.friction"]
    usual = by_path(sensitivities(design, "hang_zone_mm"))["pivots.pivot.friction"]
    assert found.per_unit == pytest.approx(usual.per_unit, rel=0.02)
    assert found.typical == pytest.approx(0.05)
    assert found.effect > 0.0


def test_a_corner_shows_as_a_loss_both_ways() -> None:
    # Sideways the lever is its own mirror image: either way one of the rests gets weaker.
    # Without plates: the corners that stand for their round ends are not quite their own image.
    design = replace(LAYOUT["compression"](), plates=())
    found = by_path(sensitivities(design, "holding_force"))["points.lever foot.x"]
    single = by_path(sensitivities(design, "holding_force_a"))
    assert found.per_unit == pytest.approx(0.0, abs=1e-9)
    assert found.rise < 0.0
    assert found.fall < 0.0
    slope = single["points.lever foot.x"]
    assert found.effect == pytest.approx(abs(slope.per_unit) * slope.typical, rel=1e-2)


@pytest.mark.parametrize(
    ("name", "better"), [("holding_force", 1), ("hang_zone_mm", -1), ("dead_centre", 0)]
)
def test_arrows_point_to_the_better_side(name: str, better: int) -> None:
    design = edit.set_stops(LAYOUT["compression"](), 118.0, 66.0)
    found = sensitivities(design, name)
    assert found.better == better
    for arrow in found.arrows:
        if arrow.per_mm < 1e-6:
            continue
        assert np.hypot(arrow.x, arrow.y) == pytest.approx(1.0)
        step = 0.02
        point = design.point(arrow.point)
        moved = edit.move_point(
            design, arrow.point, point.x + step * arrow.x, point.y + step * arrow.y
        )
        gain = (reading(moved, name) - found.value) * (better or 1)
        # A step of 0.02 mm bends by some 1/1000 of itself.
        assert gain == pytest.approx(arrow.per_mm * step, rel=0.02, abs=1e-6)


def test_a_pin_moves_along_its_slot_alone() -> None:
    found = sensitivities(LAYOUT["knee"](), "seating_force_a")
    (pin,) = (arrow for arrow in found.arrows if arrow.point == "plunger pin")
    assert abs(pin.x) == 1.0
    assert pin.y == 0.0


def test_a_point_without_effect_has_no_arrow() -> None:
    found = sensitivities(replace(LAYOUT["rocker"](), plates=()), "holding_force_a")
    (edge,) = (arrow for arrow in found.arrows if arrow.point == "flap edge")
    assert (edge.x, edge.y, edge.per_mm) == (0.0, 0.0, 0.0)


def test_the_designs_own_limit_says_what_is_better() -> None:
    design = replace(LAYOUT["compression"](), limits=(Limit("holding_force", at_most=9.0),))
    assert which_is_better(design, "holding_force") == -1
    assert which_is_better(design, "peak_effort") == -1
    both = replace(design, limits=(Limit("peak_effort", 4.0, 9.0), Limit("throw", at_least=20.0)))
    assert which_is_better(both, "peak_effort") == -1
    assert which_is_better(both, "throw") == 1
    assert which_is_better(both, "dead_centre") == 0
    assert which_is_better(both, "slack_margin:main spring") == 1
    assert which_is_better(both, "pin_load:pivot") == -1


def test_typical_changes_are_the_tolerances() -> None:
    own = (OwnTolerance("points.lever foot", 0.05), OwnTolerance("springs.main spring.rate", 0.1))
    design = edit.set_tolerances(LAYOUT["compression"](), Tolerances(stop=0.0, own=own))
    found = by_path(sensitivities(design, "holding_force_a"))
    assert found["points.lever foot.x"].typical == 0.05
    assert found["points.pivot.x"].typical == 0.3
    assert found["springs.main spring.rate"].typical == 0.1
    assert found["springs.main spring.free_length"].typical == 1.0
    assert found["pivots.pivot.friction"].typical == pytest.approx(0.15 * 0.5)
    assert found["stops.rest_a"].typical == 0.5, "what is usual where nothing may be off"


def test_a_reading_that_is_not_there() -> None:
    with pytest.raises(DesignProblem, match="no reading"):
        sensitivities(LAYOUT["compression"](), "output_turn:rocker")


def test_a_reading_that_the_design_lacks_just_now_has_no_slopes() -> None:
    # Both rests on one side: no dead centre between them.
    design = edit.set_stops(LAYOUT["compression"](), 114.0, 100.0)
    found = sensitivities(design, "dead_centre")
    assert np.isnan(found.value)
    assert all(each.effect == 0.0 for each in found.ranked)


@settings(max_examples=15, deadline=None)
@given(linkages())
def test_any_linkage_can_be_asked(design: Design) -> None:
    found = sensitivities(design, "holding_force_a", positions=31)
    assert np.isfinite([each.per_unit for each in found.ranked]).all()
    assert {arrow.point for arrow in found.arrows} == {point.name for point in design.points}
