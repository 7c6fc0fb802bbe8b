"""Friction circles: what the solver's approximation gives beside the exact construction.

The solver turns each pin against the frictionless reaction with a friction circle of radius μr.
The exact circle has the radius r·sin φ = μr/√(1 + μ²), and its reaction includes friction.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from solver.analysis import analyse
from solver.model import Design, Force, Pivot
from tests.outside.sketches import lever, moving

INCH, POUND = 25.4, 4.4482216152605


def test_radius_of_the_friction_circle_is_mu_r() -> None:
    # r·sin φ read on a page: r 1, μ 0.2 -> 0.19612; the solver uses μr = 0.2, 2 % more.
    # A lever held in line with a force of 1 N through its pivot: friction torque = radius.
    design = lever({"end": (10.0, 0.0)}, {}, "end", -10.0, 10.0)
    design = replace(
        design,
        loads=(Force("pull", "end", 1.0, 0.0),),
        pivots=(Pivot("pivot", pin_diameter=2.0, friction=0.2),),
    )
    radius = float(moving(design, 0.0).friction[0, 0])
    assert radius == pytest.approx(0.2, abs=1e-12)
    assert math.sin(math.atan(0.2)) == pytest.approx(0.19612, abs=1e-5)
    assert radius / 0.19612 == pytest.approx(1.02, abs=1e-3)


def pulley(grip: tuple[float, float], rest_a: float, rest_b: float) -> Design:
    """A pulley of radius 2 in on a shaft of radius 1 in, 500 lb hung at its left, as a lever."""
    design = lever({"rope": (-2.0 * INCH, 0.0), "hand": grip}, {}, "hand", rest_a, rest_b)
    return replace(
        design,
        loads=(Force("load", "rope", 0.0, -500.0 * POUND),),
        pivots=(Pivot("pivot", pin_diameter=2.0 * INCH, friction=0.2),),
    )


# Beer-Johnston, Statics, sample problem 8.6, read: raise 611, hold 409, horizontal pull 577 lb
# (exact for r_f = μr: 611.11, 409.09, 576.3).
SHARE = 0.2 * 1.0 / 2.0  # friction circle by pulley radius
SECOND_ORDER = 2.0 * SHARE**2 / (1.0 - SHARE)


def test_raising_a_weight_over_a_pulley() -> None:
    # Exact: 500(2 + 0.2)/(2 - 0.2). Approximated (derived): the shaft carries 500 + 500, so
    # 500 + 1000·0.2/2 = 600: first order, the rest of the series is 2(r_f/R)²/(1 - r_f/R).
    design = pulley((2.0 * INCH, 0.0), 0.0, -30.0)
    effort = analyse(design).effort_to_b[0] / POUND
    assert effort == pytest.approx(600.0, abs=1e-9)
    assert 611.11 - effort == pytest.approx(500.0 * SECOND_ORDER, abs=1e-2)


def test_holding_a_weight_over_a_pulley() -> None:
    # Exact: 500(2 - 0.2)/(2 + 0.2) = 409.09; approximated (derived) 500 - 1000·0.2/2 = 400.
    design = pulley((2.0 * INCH, 0.0), 0.0, 30.0)
    # The weight turns the pulley to B: the hand's effort along B is minus what it holds back.
    hold = -analyse(design).effort_to_b[0] / POUND
    assert hold == pytest.approx(400.0, abs=1e-9)
    assert 409.09 - hold == pytest.approx(500.0 * 2.0 * SHARE**2 / (1.0 + SHARE), abs=1e-2)


def test_pulling_sideways_over_a_pulley() -> None:
    # Exact 576.3. Approximated (derived): the shaft carries 500·√2, so 500 + 707.1·0.2/2.
    design = pulley((0.0, 2.0 * INCH), 90.0, 60.0)
    effort = analyse(design).effort_to_b[0] / POUND
    assert effort == pytest.approx(500.0 + 500.0 * math.sqrt(2.0) * SHARE, abs=1e-9)
    # Second order again: (r_f/R)² of the force, and what follows.
    assert 0.0 < 576.3 - effort < 1.2 * 500.0 * SHARE**2
