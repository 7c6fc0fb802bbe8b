"""The tuner: what it may change, what it answers, and that it can be stopped."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

import numpy as np
import pytest

from solver.analysis import analyse
from solver.batch import read_batch
from solver.checks import problems
from solver.edit import move_point
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    GuideRod,
    Limit,
    Spring,
    TorsionSpring,
)
from solver.movables import (
    Movable,
    PointBox,
    PointLine,
    SpringChoice,
    SpringNumber,
    StopRange,
)
from solver.plan import compile_design
from solver.project import Display
from solver.spread import spread
from solver.tuner import tune
from solver.tuning_goal import Wish
from solver.tuning_search import Progress
from solver.tuning_space import Batches, Space

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}
ANCHOR = PointBox("spring anchor", 15.0, 15.0)


def drawer() -> tuple[Spring, ...]:
    """Three springs; the second one is stiff, the third never lets go."""
    return (
        CompressionSpring("soft", "x", "y", 1.2, 82.0, 40.0),
        CompressionSpring("stiff", "x", "y", 3.0, 80.0, 44.0, rod=GuideRod(46.0, 95.0)),
        CompressionSpring("held", "x", "y", 2.0, 90.0, 42.0, captive=True),
    )


ALL: tuple[Movable, ...] = (
    ANCHOR,
    PointLine("lever foot", 60.0, 6.0),
    SpringChoice("main spring", drawer()),
    StopRange("A", 105.0, 125.0),
)


def test_a_batch_has_the_numbers_of_the_designs_themselves() -> None:
    space = Space.of(replace(LAYOUT["compression"](), plates=()), ALL)
    rng = np.random.default_rng(2)
    places = rng.uniform(space.lows, space.highs, (30, len(space.lows)))
    places[:, space.whole] = rng.integers(0, 3, (30, 1))
    seen = []
    for rows, plan, parameters in Batches.of(space, space.present, 1.0).split(places):
        seen += rows.tolist()
        for row, numbers in zip(rows, parameters, strict=True):
            expected = plan.parameters(space.design_at(places[row]))
            np.testing.assert_allclose(numbers, expected, rtol=1e-12, atol=1e-12)
    assert sorted(seen) == list(range(30))


def test_pins_stay_on_their_slots() -> None:
    space = Space.of(
        replace(LAYOUT["knee"](), plates=()),
        (PointBox("slot end", 5.0, 15.0), PointBox("plunger pin", 8.0, 8.0)),
    )
    places = np.random.default_rng(2).uniform(space.lows, space.highs, (10, 4))
    (rows, plan, parameters), *_ = Batches.of(space, space.present, 1.0).split(places)
    for row, numbers in zip(rows, parameters, strict=True):
        design = space.design_at(places[row])
        assert not problems(design)
        np.testing.assert_allclose(numbers, plan.parameters(design), rtol=1e-12, atol=1e-9)


def test_plates_weigh_what_they_will_where_points_end_up() -> None:
    """Near a place the batch has the true weights of plates, and fair ones in all of the box."""
    space = Space.of(
        LAYOUT["compression"](), (PointBox("lever foot", 6.0, 6.0), PointBox("grip", 9.0, 9.0))
    )
    rng = np.random.default_rng(2)
    about = rng.uniform(space.lows, space.highs)
    for share, places, near in (
        (0.03, about + rng.uniform(-0.2, 0.2, (9, 4)), 2e-6),
        (1.0, rng.uniform(space.lows, space.highs, (9, 4)), 5e-3),
    ):
        middle = about if share < 1.0 else space.present
        (_, plan, parameters), *_ = Batches.of(space, middle, share).split(places)
        at = [plan.column(f"plates.lever.{key}") for key in ("mass", "x", "y")]
        true = np.array([plan.parameters(space.design_at(place))[at] for place in places])
        size = np.array([true[0, 0], 100.0, 100.0])
        assert np.abs((parameters[:, at] - true) / size).max() < near


def test_the_answer_is_better_holds_all_and_is_within_the_ranges() -> None:
    design = LAYOUT["compression"]()
    before = analyse(design).readings["holding_force"].value
    found = tune(design, [ANCHOR], Wish("most", "holding_force"))
    after = analyse(found.design)
    assert found.holds
    assert after.good
    assert found.conflict == ()
    assert found.value == pytest.approx(after.readings["holding_force"].value, rel=1e-12)
    assert found.value is not None
    assert found.value > before + 1.0
    anchor, was = found.design.point("spring anchor"), design.point("spring anchor")
    assert abs(anchor.x - was.x) <= 15.0
    assert abs(anchor.y - was.y) <= 15.0
    assert not problems(found.design)
    assert found.design.limits == design.limits


def test_a_limit_is_not_given_up_for_the_wish() -> None:
    design = LAYOUT["compression"]()
    found = tune(design, [ANCHOR], Wish("least", "peak_effort"))
    assert found.holds
    holding = found.margins[0]
    assert holding.label == "Holding force, weaker rest"
    # The wish pulls straight against this limit: it ends next to it, and on the right side.
    assert 0.0 <= holding.room < 5e-3


def test_one_seed_gives_one_answer() -> None:
    design = LAYOUT["compression"]()
    first, second = (tune(design, ALL, Wish("most", "barrier"), budget=2000) for _ in range(2))
    assert first == second
    other = tune(design, ALL, Wish("most", "barrier"), budget=2000, seed=9)
    assert other.value == pytest.approx(first.value, rel=0.05)


def test_a_spring_is_chosen_from_a_list_of_several_kinds() -> None:
    design = LAYOUT["compression"]()
    choice = SpringChoice("main spring", (*drawer(), design.springs[0]))
    found = tune(design, [choice, ANCHOR], Wish("most", "holding_force"))
    spring = found.design.springs[0]
    assert isinstance(spring, CompressionSpring)
    assert found.holds
    assert (spring.name, spring.a, spring.b) == ("main spring", "spring anchor", "lever foot")
    best: dict[Spring, float] = {}
    for each in (*drawer(), design.springs[0]):
        assert isinstance(each, CompressionSpring)
        fitted = replace(each, name="main spring", a="spring anchor", b="lever foot")
        alone = tune(replace(design, springs=(fitted,)), [ANCHOR], Wish("most", "holding_force"))
        best[fitted] = alone.value if alone.holds and alone.value else 0.0
    assert spring == max(best, key=lambda each: best[each])
    assert found.value == pytest.approx(best[spring], rel=1e-3)


def two_springs(most_effort: float) -> tuple[Design, tuple[Spring, Spring]]:
    """A design with the first of two springs; being 1 mm longer moves the second one's force more.

    Its effort must be between bounds that are tight for the second spring.
    """
    design = LAYOUT["compression"]()
    here = design.springs[0]
    assert isinstance(here, CompressionSpring)
    soft = CompressionSpring(here.name, here.a, here.b, 1.0, 110.0, 40.0)
    stiff = replace(soft, rate=6.0, free_length=71.0, solid_length=44.0)
    limits = (
        Limit("hang_zone_mm", at_most=20.0),
        Limit("holding_force", at_least=4.5),
        Limit("peak_effort", at_most=most_effort),
    )
    tolerances = replace(design.tolerances, rate=2.0, free_length=2.0, hole=0.1)
    asked = replace(design, springs=(soft,), limits=limits, tolerances=tolerances)
    return asked, (soft, stiff)


@pytest.mark.parametrize(("most_effort", "rate"), [(7.3, 1.0), (7.8, 6.0)])
def test_copies_may_ask_for_another_spring_of_a_list(most_effort: float, rate: float) -> None:
    """As drawn the stiff spring always gives most; of its copies too few hold tight bounds."""
    asked, springs = two_springs(most_effort)
    anchor = PointBox("spring anchor", 8.0, 8.0)
    movables: list[Movable] = [SpringChoice("main spring", springs), anchor]
    drawn = tune(asked, movables, Wish("most", "barrier"), budget=2000)
    assert drawn.design.springs[0].rate == 6.0
    answers = [
        tune(replace(asked, springs=(each,)), movables, Wish("most", "barrier", 0.99), budget=3000)
        for each in springs
    ]
    for found in answers:
        assert found.holds
        assert spread(found.design).all_limits.share >= 0.99
        assert found.design.springs[0].rate == rate
    assert answers[0].value == pytest.approx(answers[1].value, rel=0.02)


def test_robust_makes_the_tightest_limit_looser() -> None:
    design = LAYOUT["compression"]()
    found = tune(design, [ANCHOR, SpringNumber("main spring", "free_length", 76.0, 90.0)])
    assert found.holds
    at_start: list[Progress] = []
    tune(design, [PointBox("spring anchor", 0.0, 0.0)], progress=at_start.append)
    assert found.value is not None
    assert at_start[0].value is not None
    assert found.value > at_start[0].value


def test_what_lies_at_the_end_of_its_range_is_named() -> None:
    design = LAYOUT["compression"]()
    spring = design.springs[0]
    assert isinstance(spring, CompressionSpring)
    rate = SpringNumber(spring.name, "rate", spring.rate - 0.05, spring.rate + 0.05)
    fixed = StopRange("A", design.stops.rest_a, design.stops.rest_a)
    wish = Wish("most", "holding_force")
    found = tune(design, [rate, fixed, PointBox("grip", 0.0, 1e-9)], wish, budget=600)
    assert found.edges[0] == "rate of main spring"
    assert "rest A" not in found.edges
    wide = replace(rate, low=0.1 * spring.rate, high=spring.rate + 0.05)
    near = tune(design, [wide], Wish("near"), budget=300)
    assert near.edges == ()


def test_limits_that_cannot_hold_together_are_named() -> None:
    design = LAYOUT["compression"]()
    tight = (*design.limits, Limit("peak_effort", at_most=2.0), Limit("throw", at_least=40.0))
    found = tune(replace(design, limits=tight), [ANCHOR], Wish("most", "holding_force"))
    assert not found.holds
    assert set(found.conflict) == {"Holding force, weaker rest", "Peak effort, harder way"}
    assert not analyse(found.design).good


def test_it_starts_from_a_design_that_locks() -> None:
    design = LAYOUT["rocker"]()
    broken = move_point(design, "rocker pivot", 150.0, 28.0)
    with pytest.raises(DesignProblem):
        analyse(broken)
    found = tune(broken, [PointBox("rocker pivot", 5.0, 60.0)], Wish("least", "peak_effort"))
    assert found.holds


def test_progress_gets_better_and_counts() -> None:
    seen: list[Progress] = []
    found = tune(
        LAYOUT["compression"](),
        [ANCHOR],
        Wish("most", "holding_force"),
        budget=1500,
        progress=seen.append,
    )
    values = [each.value for each in seen if each.holds and each.value is not None]
    assert values == sorted(values)
    assert [each.evaluations for each in seen] == sorted({each.evaluations for each in seen})
    assert seen[-1].design == found.design
    assert seen[-1].evaluations == found.evaluations <= 1500
    assert not found.cancelled


def test_cancel_ends_it_within_a_generation_with_the_best_so_far() -> None:
    seen: list[Progress] = []
    found = tune(
        LAYOUT["compression"](),
        [ANCHOR],
        Wish("most", "holding_force"),
        progress=seen.append,
        cancelled=lambda: len(seen) == 4,
    )
    assert len(seen) == 4
    assert found.cancelled
    assert found.evaluations == seen[-1].evaluations
    assert found.design == seen[-1].design


def test_a_free_length_below_solid_is_never_answered() -> None:
    design = replace(LAYOUT["compression"](), limits=())
    found = tune(
        design,
        [SpringNumber("main spring", "free_length", 30.0, 95.0)],
        Wish("least", "peak_effort"),
    )
    assert not problems(found.design)


def test_an_extension_spring_may_take_the_place_of_a_compression_spring() -> None:
    design = replace(LAYOUT["compression"](), limits=())
    pulling = ExtensionSpring("pulling", "x", "y", 1.0, 40.0)
    found = tune(
        design, [SpringChoice("main spring", (pulling, *drawer()))], Wish("most", "barrier")
    )
    assert isinstance(found.design.springs[0], CompressionSpring)  # a pull would not throw it over
    assert found.holds == analyse(found.design).good


TORSION = TorsionSpring("coil", "pivot", "grip", "spring anchor", 1.0, 20.0)


@pytest.mark.parametrize(
    ("movables", "sentence"),
    [
        ([], "Choose something that may change"),
        ([PointBox("elbow", 1.0, 1.0)], "no point “elbow”"),
        ([PointBox("grip", -1.0, 1.0)], "“grip” is none"),
        ([PointBox("grip", math.nan, 1.0)], "“grip” is none"),
        ([ANCHOR, PointLine("spring anchor", 0.0, 3.0)], "point “spring anchor” twice"),
        ([SpringNumber("main spring", "rate", -1.0, 2.0)], "rate of main spring must be above 0"),
        ([SpringNumber("main spring", "colour", 1.0, 2.0)], "no number"),
        ([SpringChoice("main spring", ())], "list of springs for “main spring” is empty"),
        ([SpringChoice("main spring", (TORSION,))], "“coil” cannot take the place"),
        (
            [SpringChoice("main spring", drawer()), SpringNumber("main spring", "rate", 1.0, 2.0)],
            "comes from a list",
        ),
        ([StopRange("A", 120.0, 100.0)], "rest A"),
    ],
)
def test_what_cannot_move_is_refused(movables: list[Movable], sentence: str) -> None:
    with pytest.raises(DesignProblem, match=sentence):
        tune(LAYOUT["compression"](), movables)


def test_a_wish_for_a_reading_that_is_not_there_is_refused() -> None:
    with pytest.raises(DesignProblem, match="no reading"):
        tune(LAYOUT["compression"](), [ANCHOR], Wish("most", "output_turn:rod"))


def test_the_design_given_is_what_an_empty_range_gives_back() -> None:
    design: Design = LAYOUT["compression"]()
    found = tune(design, [PointBox("spring anchor", 0.0, 0.0)], Wish("most", "holding_force"))
    assert found.design == design
    plan = compile_design(design)
    value = read_batch(plan, plan.parameters(design), 721).values["holding_force"][0]
    assert found.value == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_answer_is_in_numbers_that_can_be_marked_out(units: Literal["metric", "inch"]) -> None:
    design, display = LAYOUT["compression"](), Display(units)
    anchor = ANCHOR.point
    movables: list[Movable] = [ANCHOR, StopRange("A", 105.0, 125.0)]
    now = analyse(design).readings["holding_force"].value
    limits = (Limit("holding_force", at_least=1.15 * now), Limit("hang_zone", at_most=30.0))
    asked = replace(design, limits=limits)
    found = tune(asked, movables, Wish("near"), budget=1500, display=display)
    assert found.holds
    point, step = found.design.point(anchor), 0.1 if units == "metric" else 0.127
    before = design.point(anchor)
    for value, old in ((point.x, before.x), (point.y, before.y)):
        steps = value / step
        assert value == old or steps == pytest.approx(round(steps), abs=1e-6)
    assert len(f"{point.x:.12g}") <= 8


def test_rounding_goes_to_the_side_that_holds() -> None:
    """The least change ends at the edge of a limit: the nearer number would not hold it."""
    design = LAYOUT["compression"]()
    name = design.springs[0].name
    now = analyse(design).readings["holding_force"].value
    for wanted in np.linspace(1.01, 1.05, 5):
        limits = (Limit("holding_force", at_least=wanted * now), Limit("hang_zone", at_most=30.0))
        asked = replace(design, limits=limits)
        rate = design.springs[0].rate
        movable = SpringNumber(name, "rate", 0.8 * rate, 1.2 * rate)
        found = tune(asked, [movable], Wish("near"), budget=1200, display=Display())
        assert found.holds
        steps = found.design.springs[0].rate / 0.01
        assert steps == pytest.approx(round(steps), abs=1e-9)
