"""A lever thrown over by one extension spring: closed forms.

Ground (pivot to anchor) a = 100 mm, arm r = 40 mm, rate 2 N/mm, free length 90 mm, angle θ from
dead centre, where the spring is longest:

    L = √(a² + r² + 2ar·cos θ)    F = k(L - L0)    U = k(L - L0)²/2    T = F·a·r·sin θ / L

All expected numbers are derived from these forms, not published ones.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from solver.analysis import analyse
from solver.model import Design, ExtensionSpring, Gravity, Pivot, Weight
from tests.outside.sketches import lever, moving, polar

GROUND, ARM, RATE, FREE = 100.0, 40.0, 2.0, 90.0
UPRIGHT = 90.0


def over_centre(half_throw: float, friction: float = 0.0) -> Design:
    """The lever upright at dead centre, anchor below the pivot; grip at the arm's end."""
    design = lever({"arm end": (0.0, ARM)}, {"anchor": (0.0, -GROUND)}, "arm end",
                   UPRIGHT - half_throw, UPRIGHT + half_throw)  # fmt: skip
    spring = ExtensionSpring(
        "spring", "anchor", "arm end", RATE, FREE, end_pin_diameter=4.0, end_friction=friction
    )
    pivot = Pivot("pivot", pin_diameter=8.0, friction=friction)
    return replace(design, springs=(spring,), pivots=(pivot,))


# θ (degrees), L (mm), F (N), U (N·mm), T (N·mm); derived, closed form above.
ROWS = [
    (0.0, 140.0, 100.0, 2500.0, 0.0),
    (5.0, 139.8912, 99.7825, 2489.135, 248.668),
    (30.0, 136.1183, 92.2367, 2126.902, 1355.243),
    (60.0, 124.9000, 69.7999, 1218.007, 1935.901),
    (90.0, 107.7033, 35.4066, 313.407, 1314.968),
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]:g} degrees")
def test_length_force_energy_and_torque(row: tuple[float, ...]) -> None:
    theta, length, force, energy, torque = row
    motion = moving(over_centre(90.0), UPRIGHT + theta)
    run = motion.springs[0]
    # Half a unit of the last digit given.
    assert run.length[0, 0] == pytest.approx(length, abs=5e-5)
    assert run.force[0, 0] == pytest.approx(force, abs=5e-5)
    assert motion.energy[0, 0] == pytest.approx(energy, abs=5e-4)
    assert motion.torque[0, 0] == pytest.approx(torque, abs=5e-4)


def test_the_closed_form_at_every_position() -> None:
    result = analyse(over_centre(90.0))
    theta = np.radians(result.travel - 90.0)
    length = np.sqrt(GROUND**2 + ARM**2 + 2.0 * GROUND * ARM * np.cos(theta))
    force = RATE * (length - FREE)
    energy = 0.5 * RATE * (length - FREE) ** 2
    # Rounding only: 1e-12 of the greatest values (140 mm, 2500 N·mm).
    np.testing.assert_allclose(result.springs[0].length, length, atol=1e-10)
    np.testing.assert_allclose(result.springs[0].force, force, atol=1e-10)
    np.testing.assert_allclose(result.energy, energy - energy.min(), atol=1e-8)
    np.testing.assert_allclose(
        result.torque, force * GROUND * ARM * np.sin(theta) / length, atol=1e-8
    )


def test_torque_maximum() -> None:
    # Derived: θ = 60.114°, 1935.911 N·mm. Pulled back from a rest 90° off dead centre, the
    # effort at the grip (on the arm's end, 40 mm) has its peak there.
    result = analyse(over_centre(90.0))
    peak = result.readings["peak_effort_to_b"]
    assert peak.value * ARM == pytest.approx(1935.911, abs=1e-3)
    assert peak.where is not None
    # The torque is flat at its peak, so the place has the sampling's h³ error, h = 0.25°.
    assert 90.0 - peak.where == pytest.approx(60.114, abs=1e-3)


def test_barrier_from_a_stop_at_60_degrees() -> None:
    # Derived: U(0) - U(60°) = 1281.993 mJ.
    readings = analyse(over_centre(60.0)).readings
    for key in ("barrier", "barrier_a", "barrier_b"):
        assert readings[key].value == pytest.approx(1281.993, abs=1e-3)
    assert readings["dead_centre"].value == pytest.approx(60.0, abs=1e-9)


def test_slope_at_dead_centre() -> None:
    # Derived: dT/dθ = F·a·r/L = 100·100·40/140 = 2857.143 N·mm/rad, driving away from the centre.
    step = 0.01
    torque = moving(over_centre(60.0), [UPRIGHT - step, UPRIGHT + step]).torque[0]
    slope = (torque[1] - torque[0]) / math.radians(2.0 * step)
    # The difference quotient is off by a share of step² ≈ 3e-8.
    assert slope == pytest.approx(2857.143, rel=1e-6)


def test_hang_zone() -> None:
    # Derived: pivot pin radius 4, eye pins 2 mm, μ 0.15. Every force is the spring's F, the two
    # eyes turn by 1 rad per radian of the lever together, so friction is μF(4 + 2), and
    #   sin θ = μ(r_p + r_e)L/(ar)  ->  1.8049° to either side (with L = 140 mm: 1.805°).
    # The friction circles here have the radius μr; r·sin φ would give 1.785°.
    result = analyse(over_centre(60.0, friction=0.15))
    zone = result.readings["hang_zone"].value
    assert zone / 2.0 == pytest.approx(1.8049, abs=1e-3)
    theta, length = 0.0, 0.0
    for _ in range(50):
        length = math.sqrt(GROUND**2 + ARM**2 + 2.0 * GROUND * ARM * math.cos(theta))
        theta = math.asin(0.15 * 6.0 * length / (GROUND * ARM))
    # Cubic refinement between samples 0.17° apart.
    assert zone / 2.0 == pytest.approx(math.degrees(theta), abs=1e-8)
    assert result.commit_from_a == pytest.approx(60.0 + math.degrees(theta), abs=1e-8)
    assert result.commit_from_b == pytest.approx(60.0 - math.degrees(theta), abs=1e-8)


def test_holding_force_at_the_stop() -> None:
    # Derived: seating force T(60°)/r = 1935.901/40 N. To lift the lever off, the hand holds
    # T/r square to the lever against the spring's F; the pivot carries their sum R, and friction
    # adds μ(4·R + 2·F)/r.
    readings = analyse(over_centre(60.0, friction=0.15)).readings
    hand = 1935.901 / ARM
    assert readings["seating_force_a"].value == pytest.approx(hand, abs=1e-4)
    length, force = 124.9000, 69.7999
    # Components of the spring's pull along and square to the lever (square: toward the stop).
    square = force * GROUND * math.sin(math.radians(60.0)) / length
    along = force * (ARM + GROUND * math.cos(math.radians(60.0))) / length
    assert math.hypot(square, along) == pytest.approx(force, rel=1e-5)
    pivot = math.hypot(square - hand, along)
    expected = hand + 0.15 * (4.0 * pivot + 2.0 * force) / ARM
    assert readings["holding_force_a"].value == pytest.approx(expected, abs=1e-3)


def test_zero_free_length_spring_balances_a_weight_everywhere() -> None:
    # m·g·l = k·a·r with a spring of zero free length (value recalled from memory); m 5 kg,
    # l 300 mm, a 100 mm, r 200 mm, g 9.81 -> k = 0.73575 N/mm, V = 18.39375 J at all angles.
    # The zero free length is had by preload: 30 mm long, initial tension k·30 = 22.07 N
    # (derived).
    rate = 5.0 * 9.81 * 300.0 / (100.0 * 200.0)
    assert rate == pytest.approx(0.73575, abs=1e-12)
    tension = rate * 30.0
    assert tension == pytest.approx(22.07, abs=5e-3)
    design = lever({"end": polar(300.0, 60.0), "joint": polar(200.0, 60.0)},
                   {"post": (0.0, 100.0)}, "end", 170.0, -150.0)  # fmt: skip
    design = replace(
        design,
        springs=(ExtensionSpring("spring", "post", "joint", rate, 30.0, tension, end_friction=0),),
        weights=(Weight("load", "end", 5.0),),
        gravity=Gravity(9.81),
    )
    motion = moving(design, np.linspace(170.0, -150.0, 161))
    # The spring's energy counts from its own 30 mm instead of from nothing.
    energy = motion.energy[0] + 0.5 * rate * 30.0**2
    assert energy == pytest.approx(18393.75, rel=1e-12)
    assert np.ptp(energy) < 1e-12 * 18393.75
    # 5 kg on 300 mm is 14 715 N·mm; rounding leaves 1e-12 of it.
    assert np.max(np.abs(motion.torque)) < 1e-12 * 14715.0
