"""The knee toggle: two equal arms that straighten, with and without friction in their pins.

Arms L = 80 mm, α from straight. A force P at the knee, square to the line of the outer pins,
holds a force F along that line:  F/P = 1/(2 tan α)  (virtual work, derived).
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from solver.analysis import analyse
from solver.model import Design, Force, Gravity, Load, Pivot, Weight
from tests.outside.sketches import moving, polar, slider_crank

ARM, PIN, MU = 80.0, 8.0, 0.15

# α (degrees), F/P; derived.
RATIOS = [
    (30.0, 0.86603),
    (20.0, 1.37374),
    (10.0, 2.83564),
    (5.0, 5.71503),
    (2.0, 14.31813),
    (1.0, 28.64498),
]


def knee(loads: tuple[Load, ...], friction: float = 0.0) -> Design:
    """The lever is one arm, the grip the knee; the rod's far pin slides along x."""
    design = slider_crank(ARM, ARM, 0.0, 20.0, 40.0, -20.0)
    pivots = tuple(Pivot(name, PIN, friction) for name in ("O", "A", "B"))
    return replace(design, loads=loads, pivots=pivots)


@pytest.mark.parametrize(("alpha", "ratio"), RATIOS)
def test_force_ratio_without_friction(alpha: float, ratio: float) -> None:
    force = ratio * 100.0
    down, out = Force("press", "A", 0.0, -100.0), Force("work", "B", -force, 0.0)
    motion = moving(knee((down, out)), alpha)
    # In balance: of 100 N on an arm of 80 mm nothing is left but the ratio's last digit,
    # 5e-6 · 100 N, which works at 2L·sin α.
    slack = 5e-6 * 100.0 * 2.0 * ARM * math.sin(math.radians(alpha)) + 1e-9
    assert abs(motion.torque[0, 0]) < slack
    # Both arms then carry P/(2 sin α), and so does every pin.
    pins = {motion.plan.design.points[i].name: float(load[0, 0])
            for i, load in zip(motion.pins, motion.loads, strict=True)}  # fmt: skip
    arm_force = 100.0 / (2.0 * math.sin(math.radians(alpha)))
    assert pins["A"] == pytest.approx(arm_force, rel=1e-5)
    assert pins["O"] == pytest.approx(arm_force, rel=1e-5)


@pytest.mark.parametrize(("alpha", "ratio"), RATIOS)
def test_mechanical_advantage(alpha: float, ratio: float) -> None:
    # The reading is for a hand force square to the lever; P square to the base line is that
    # times cos α.
    design = knee(())
    design = replace(design, stops=replace(design.stops, rest_b=alpha))
    advantage = analyse(design).readings["advantage_b:B"].value
    assert advantage * math.cos(math.radians(alpha)) == pytest.approx(ratio, rel=1e-5)


def test_worked_press() -> None:
    # Read, general reference page on the toggle joint: one arm's projection 1983, height 258,
    # F 883 N at the knee -> ratio 3.8, P 3393 N. Exact: α 7.413°, 3.8430, 3393.4 N.
    # There 883 N is the force at the knee, 3393 N what the joint presses with.
    alpha = math.degrees(math.atan2(258.0, 1983.0))
    assert alpha == pytest.approx(7.413, abs=5e-4)
    design = knee(())
    design = replace(design, stops=replace(design.stops, rest_b=alpha))
    ratio = analyse(design).readings["advantage_b:B"].value * math.cos(math.radians(alpha))
    assert ratio == pytest.approx(3.8430, rel=5e-4)
    assert 883.0 * ratio == pytest.approx(3393.4, rel=5e-4)


def ratio_with_friction(alpha: float) -> float:
    """The F that, with friction, a P of 1 N at the knee can just move, by the solver.

    For given loads the solver knows the torque T and friction M; T(F) = M(F) is found by
    halving, since T falls and M rises with F.
    """
    low, high = 0.0, 1.0 / (2.0 * math.tan(math.radians(alpha)))
    for _ in range(60):
        force = 0.5 * (low + high)
        loads = (Force("press", "A", 0.0, -1.0), Force("work", "B", -force, 0.0))
        motion = moving(knee(loads, MU), alpha)
        # Torque is positive along A to B, here towards straight.
        if motion.torque[0, 0] > motion.friction[0, 0]:
            low = force
        else:
            high = force
    return low


@pytest.mark.parametrize(("alpha", "exact"), [(5.0, 4.8721), (1.0, 15.401)])
def test_force_ratio_with_friction(alpha: float, exact: float) -> None:
    # Friction circles (derived): each arm's force line leans by asin(2μr/L) = 0.8595°, so
    # F/P = 1/(2 tan(α + 0.8595°)).
    lean = math.asin(2.0 * MU * PIN / 2.0 / ARM)
    assert math.degrees(lean) == pytest.approx(0.8595, abs=5e-5)
    assert 0.5 / math.tan(math.radians(alpha) + lean) == pytest.approx(exact, rel=2e-5)
    # The solver's approximation (derived): each pin turns against the frictionless reaction.
    # Rod, knee and slide pin carry S = F/cos α, turning by 2 and 1 rad per rad; the lever's
    # pivot carries R, the sum of P and S:
    #   P·L·cos α = 2F·L·sin α + μr(3S + R),   R² = (F)² + (P - F·tan α)².
    slope = math.radians(alpha)
    found = ratio_with_friction(alpha)
    rod, pivot = found / math.cos(slope), math.hypot(found, 1.0 - found * math.tan(slope))
    given = ARM * math.cos(slope)
    taken = 2.0 * found * ARM * math.sin(slope) + MU * PIN / 2.0 * (3.0 * rod + pivot)
    assert given == pytest.approx(taken, rel=1e-12)
    # What it leaves out is of second order in the lean (0.015 rad): 2e-4; found are 3e-4 of
    # the ratio, the reactions' own change included.
    assert found == pytest.approx(exact, rel=4e-4)


def test_toggle_holds_itself_near_straight() -> None:
    # Derived: held within α ≤ asin(2μr/L) = 0.8595° by the friction circles.
    design = replace(knee((Force("work", "B", -100.0, 0.0),), MU))
    design = replace(design, stops=replace(design.stops, rest_a=20.0, rest_b=-20.0))
    result = analyse(design)
    half = result.readings["hang_zone"].value / 2.0
    exact = math.degrees(math.asin(2.0 * MU * PIN / 2.0 / ARM))
    # The approximation (derived): 2F·L·sin α = 4μr·F/cos α  ->  sin 2α = 4μr/L.
    assert half == pytest.approx(
        0.5 * math.degrees(math.asin(4.0 * MU * PIN / 2.0 / ARM)), abs=1e-7
    )
    # They differ by a share of (2μr/L)²/2 = 1.1e-4.
    assert half == pytest.approx(exact, rel=1.2e-4)
    assert [zone.kind for zone in result.hang_zones] == ["dead centre"]


def test_energy_of_a_falling_knee() -> None:
    # Meriam-Kraige, Dynamics, sample problem 6/11: inputs read, of the answers 2.54 m/s and
    # 60.1 mm recalled from memory. Two 10 kg links of 0.375 m and 7 kg at their joint fall
    # from 45° to flat: V = 44.222 J (g 9.81).
    size = 375.0
    design = slider_crank(size, size, 0.0, 45.0, 45.0, 0.0)
    low, high = polar(size / 2.0, 45.0), design.point("middle")
    points = (*design.points, replace(high, name="lever middle", x=low[0], y=low[1]))
    links = (design.links[0], replace(design.links[1], points=("O", "A", "lever middle")),
             design.links[2])  # fmt: skip
    weights = (Weight("collar", "A", 7.0), Weight("bar 1", "lever middle", 10.0),
               Weight("bar 2", "middle", 10.0))  # fmt: skip
    design = replace(design, points=points, links=links, weights=weights, gravity=Gravity(9.81))
    motion = moving(design, [45.0, 0.0])
    fall = (motion.energy[0, 0] - motion.energy[0, 1]) * 1e-3
    assert fall == pytest.approx(44.222, rel=1e-4)
    # Flat, both bars turn about their outer ends at one rate: ½·7 + 10/3 = 6.833 per v².
    assert motion.turns["rod"][1][0, 1] == pytest.approx(1.0, abs=1e-12)
    assert abs(motion.outputs["B"][1][0, 1]) < 1e-9
    assert math.sqrt(fall / (3.5 + 10.0 / 3.0)) == pytest.approx(2.54, abs=5e-3)
