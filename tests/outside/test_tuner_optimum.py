"""The tuner on problems of which the best answer is known in closed form.

The over-centre lever of `test_over_centre`: T = k(L - L0)·a·r·sin θ/L.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.optimize import brentq, minimize_scalar

from solver.analysis import analyse
from solver.model import Design, ExtensionSpring, Limit
from solver.movables import Movable, PointBox, PointLine, SpringNumber, StopRange
from solver.tuner import tune
from solver.tuning_goal import Wish
from tests.outside.test_over_centre import ARM, FREE, GROUND, RATE, over_centre

HALF_THROW = math.radians(60.0)


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
