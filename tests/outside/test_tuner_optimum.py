"""The tuner on problems of which the best answer is known in closed form.

The over-centre lever of `test_over_centre`: T = k(L - L0)·a·r·sin θ/L.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from solver.analysis import analyse
from solver.batch import read_batch
from solver.model import Design, ExtensionSpring, Limit, Pivot, Weight
from solver.movables import (
    Movable,
    PointBox,
    PointLine,
    SpringChoice,
    SpringNumber,
    StopRange,
)
from solver.plan import compile_design
from solver.spread import spread
from solver.tuner import tune
from solver.tuning_goal import Wish
from tests.outside.sketches import lever
from tests.outside.test_over_centre import ARM, FREE, GROUND, RATE, UPRIGHT, over_centre

HALF_THROW = math.radians(60.0)
TOP, MASS, G = 150.0, 0.5, 9.80665


def torque(a: float, angle: float, rate: float = RATE, free: float = FREE) -> float:
    length = math.sqrt(a**2 + ARM**2 + 2.0 * a * ARM * math.cos(angle))
    return rate * max(length - free, 0.0) * a * ARM * math.sin(angle) / length


def with_longest(design: Design, longest: float) -> Design:
    (spring,) = design.springs
    assert isinstance(spring, ExtensionSpring)
    return replace(design, springs=(replace(spring, longest=longest),))


def test_the_rest_where_the_spring_turns_hardest() -> None:
    # Derived: the torque is greatest at 60.114° from dead centre, 1935.911 N·mm.
    design = over_centre(75.0)
    found = tune(design, [StopRange("A", 20.0, 80.0)], Wish("most", "seating_force_a"))
    assert found.holds
    assert found.value is not None
    assert found.value * ARM == pytest.approx(1935.911, abs=1e-3)
    # The torque is flat there: 1e-7 of its size is 0.03° off the place.
    assert 90.0 - found.design.stops.rest_a == pytest.approx(60.114, abs=0.03)


def test_the_anchor_goes_as_far_as_the_spring_may_be_stretched() -> None:
    # The weaker rest is strongest with the anchor straight below (its torque falls to either side
    # of 60.114°, which the half throw of 60.114° meets) and as far out as the spring allows:
    # a + r = longest at dead centre.
    design = with_longest(over_centre(60.114), 140.0)
    design = replace(design, limits=(Limit("bottoming_margin", at_least=0.0),))
    found = tune(design, [PointBox("anchor", 25.0, 25.0)], Wish("most", "holding_force"))
    anchor = found.design.point("anchor")
    assert found.holds
    assert found.value == pytest.approx(1935.911 / ARM, rel=1e-4)
    assert anchor.y == pytest.approx(-GROUND, abs=2e-3)
    assert anchor.x == pytest.approx(0.0, abs=0.02)


def test_the_softest_spring_that_still_holds() -> None:
    # T is proportional to the rate, so the least one is k·(wanted / held).
    design = replace(over_centre(60.0), limits=(Limit("holding_force", at_least=30.0),))
    found = tune(design, [SpringNumber("spring", "rate", 0.2, 5.0)], Wish("least", "peak_effort"))
    (spring,) = found.design.springs
    expected = RATE * 30.0 * ARM / torque(GROUND, HALF_THROW)
    assert found.holds
    assert spring.rate == pytest.approx(expected, rel=3e-4)
    assert spring.rate >= expected  # on the side on which the limit holds


def test_two_limits_meet_in_a_corner() -> None:
    # The least effort that holds 30 N, with the anchor along its line and any free length: the
    # effort's peak is over the rest's torque by less the longer the arm of the spring, so the
    # anchor goes out to the end of its line; the free length then follows from the holding force.
    design = replace(over_centre(50.0), limits=(Limit("holding_force", at_least=30.0),))
    movables: list[Movable] = [
        PointLine("anchor", -90.0, 20.0),
        SpringNumber("spring", "free_length", 60.0, 125.0),
    ]
    found = tune(design, movables, Wish("least", "peak_effort"))
    half = math.radians(50.0)

    def held(free: float, a: float) -> float:
        return torque(a, half, free=free) / ARM - 30.0

    def effort(a: float) -> float:
        free = brentq(held, 40.0, a + ARM - 1.0, args=(a,))
        top = minimize_scalar(
            lambda angle: -torque(a, angle, free=free), bounds=(0.0, half), method="bounded"
        )
        return -float(top.fun) / ARM

    best = min(effort(80.0 + 0.25 * at) for at in range(161))
    assert found.holds
    assert found.value == pytest.approx(best, rel=1e-3)
    assert analyse(found.design).readings["holding_force"].value == pytest.approx(30.0, rel=1e-3)


def test_what_cannot_hold_together_by_the_closed_form_is_in_conflict() -> None:
    # At one place, holding and peak effort are in a fixed ratio whatever the rate:
    # at least 40 N held and at most 39 N of effort cannot be.
    limits = (Limit("holding_force", at_least=40.0), Limit("peak_effort", at_most=39.0))
    design = replace(over_centre(60.0), limits=limits)
    found = tune(design, [SpringNumber("spring", "rate", 0.2, 5.0)])
    assert not found.holds
    assert set(found.conflict) == {"Holding force, weaker rest", "Peak effort, harder way"}
    (spring,) = found.design.springs
    held = torque(GROUND, HALF_THROW, spring.rate) / ARM
    # The nearest misses one of the two by as little as can be: the rate is between their bounds.
    assert 39.0 * (1 - 1e-3) < held < 40.0 * (1 + 1e-3)


def weighted_lever(limit: Limit) -> Design:
    """A lever upright with one weight on it, and no spring: it falls to either side."""
    design = lever({"grip": (0.0, ARM), "top": (0.0, TOP)}, {}, "grip", UPRIGHT - 30, UPRIGHT + 30)
    weight = Weight("weight", "top", MASS)
    pivot = Pivot("pivot", pin_diameter=8.0, friction=0.0)
    return replace(design, weights=(weight,), pivots=(pivot,), limits=(limit,))


def seated_more(reach: float) -> tuple[Design, list[Movable]]:
    """The weighted lever that shall be seated with 1 N more, and how far its weight may move.

    Derived: with the lever turned by φ = 30° to rest A the weight at (x, y) lies
    y·sin φ + x·cos φ to the right of the pivot and seats it with m·g·that / ARM, which is
    straight in (x, y).
    """
    held = MASS * G * TOP * math.sin(math.radians(30.0)) / ARM
    design = weighted_lever(Limit("seating_force_a", at_least=held + 1.0))
    return design, [PointBox("top", reach, reach)]


def test_one_coordinate_is_moved_where_that_will_do() -> None:
    # 1 N more is far = ARM / m·g along the normal (cos φ, sin φ), so far / cos φ in x alone or
    # far / sin φ in y alone: the former is less.
    design, movables = seated_more(40.0)
    found = tune(design, movables, Wish("near"))
    far = ARM / (MASS * G)
    top = found.design.point("top")
    assert found.holds
    assert top.y == TOP
    # The search leaves 1e-4 of the bound as room.
    room = 1.0 + 1e-4 * design.limits[0].at_least  # type: ignore[operator]
    assert top.x == pytest.approx(far * room / math.cos(math.radians(30.0)), rel=1e-4)


def test_the_smallest_move_to_a_straight_boundary_is_along_its_normal() -> None:
    # Neither coordinate alone may go far enough here, so both move: by far along the normal.
    phi, far = math.radians(30.0), ARM / (MASS * G)
    reach = 0.9 * far / math.cos(phi)
    design, movables = seated_more(reach)
    found = tune(design, movables, Wish("near"))
    top = found.design.point("top")
    assert found.holds
    assert (top.x, top.y - TOP) == pytest.approx(
        (far * math.cos(phi), far * math.sin(phi)), abs=0.03
    )
    room = 1.0 + 1e-4 * design.limits[0].at_least  # type: ignore[operator]
    assert found.value == pytest.approx(far * room / reach, rel=1e-4)


def test_one_thing_is_changed_where_that_is_less_than_two() -> None:
    # Holding is k·(L − L0)·…: 10 % more rate gives 10 % more of it, out of a range of ±50 %, the
    # free length with so wide a range much less for the same share of it.
    half = torque(GROUND, HALF_THROW) / ARM
    design = replace(over_centre(60.0), limits=(Limit("seating_force_a", at_least=1.1 * half),))
    ranges: list[Movable] = [
        SpringNumber("spring", "rate", 0.5 * RATE, 1.5 * RATE),
        SpringNumber("spring", "free_length", FREE - 2.0, FREE + 2.0),
    ]
    found = tune(design, ranges, Wish("near"))
    (spring,) = found.design.springs
    assert isinstance(spring, ExtensionSpring)
    assert spring.rate == pytest.approx(1.1 * RATE, rel=1e-3)
    assert spring.free_length == FREE
    assert found.value == pytest.approx(0.2, rel=5e-3)
    assert tune(over_centre(60.0), ranges, Wish("near")).design == over_centre(60.0)


def test_the_smallest_change_is_the_nearest_cell_of_a_grid_that_holds() -> None:
    # Brute force: every place of the anchor within 10 mm, 0.1 mm apart.
    half = torque(GROUND, HALF_THROW) / ARM
    design = replace(over_centre(60.0), limits=(Limit("holding_force", at_least=1.05 * half),))
    plan = compile_design(design)
    line = np.linspace(-10.0, 10.0, 201)
    x, y = (each.ravel() for each in np.meshgrid(line, line))
    rows = np.tile(plan.parameters(design), (len(x), 1))
    rows[:, plan.column("points.anchor.x")] += x
    rows[:, plan.column("points.anchor.y")] += y
    held = read_batch(plan, rows, 91).values["holding_force"]
    nearest = np.hypot(x, y)[held >= 1.05 * half].min()
    found = tune(design, [PointBox("anchor", 10.0, 10.0)], Wish("near"))
    assert found.holds
    assert found.value is not None
    assert nearest - 0.15 < 10.0 * found.value <= nearest + 1e-3


def test_the_smallest_rate_of_which_enough_copies_hold_is_found_by_bisection_too() -> None:
    half = torque(GROUND, HALF_THROW) / ARM
    design = replace(over_centre(60.0), limits=(Limit("holding_force", at_least=half),))

    def share(rate: float) -> float:
        (spring,) = design.springs
        return spread(replace(design, springs=(replace(spring, rate=rate),))).all_limits.share

    found = tune(
        design, [SpringNumber("spring", "rate", RATE, 2.0 * RATE)], Wish("near", share=0.95)
    )
    (spring,) = found.design.springs
    low, high = RATE, 2.0 * RATE
    for _ in range(12):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if share(middle) >= 0.95 else (middle, high)
    assert share(spring.rate) >= 0.95
    assert high <= spring.rate * (1.0 + 1e-6)
    # It may have 0.1 standard deviations of the holding force to spare; that force goes with the
    # rate, and spreads by less than 10 % of it at one standard deviation.
    assert spring.rate - high < 0.1 * 0.1 * RATE


def test_more_copies_than_can_hold_are_not_promised() -> None:
    half = torque(GROUND, HALF_THROW) / ARM
    design = replace(over_centre(60.0), limits=(Limit("holding_force", at_least=half),))
    found = tune(
        design, [SpringNumber("spring", "rate", RATE, 1.02 * RATE)], Wish("near", share=0.99)
    )
    (spring,) = found.design.springs
    assert spring.rate == pytest.approx(1.02 * RATE)  # the nearest to what was asked
    assert spread(found.design).all_limits.share < 0.99


def test_an_answer_of_which_enough_copies_held_is_kept_when_the_next_ones_do_not() -> None:
    # Two springs and none between: the stiff one has far more room than asked for, so the search
    # goes on with less and takes the soft one, which is less effort and of which too few hold.
    half = torque(GROUND, HALF_THROW) / ARM
    design = replace(over_centre(60.0), limits=(Limit("holding_force", at_least=half),))
    (spring,) = design.springs
    soft, stiff = (replace(spring, rate=rate * RATE) for rate in (1.03, 1.2))
    share = {
        each.rate: spread(replace(design, springs=(each,))).all_limits.share
        for each in (soft, stiff)
    }
    assert share[soft.rate] < 0.95 <= share[stiff.rate]
    found = tune(
        replace(design, springs=(soft,)),
        [SpringChoice("spring", (soft, stiff))],
        Wish("least", "peak_effort", share=0.95),
    )
    assert found.design.springs == (stiff,)
