"""Four-bar linkages against published tables and problems.

Crank a from O2 to A, coupler b, rocker c from O4 to B, ground d along +x; directions θ2, θ3
(A to B) and θ4 (O4 to B) from the ground.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.optimize import fsolve

from solver.analysis import analyse
from solver.errors import DesignProblem
from solver.mobility import freedom
from solver.model import Design, Stops
from solver.project import Display
from tests.outside.sketches import Place, apart, four_bar, heading, moving, polar


@dataclass(frozen=True)
class Bars:
    """Link lengths as the sources name them."""

    d: float
    a: float
    b: float
    c: float

    def gap(self, unknown: np.ndarray, crank: float) -> list[float]:
        """How far the loop is from closing, (x, y), for θ3 and θ4 in radians."""
        third, fourth = unknown
        return [
            self.a * math.cos(crank)
            + self.b * math.cos(third)
            - self.c * math.cos(fourth)
            - self.d,
            self.a * math.sin(crank) + self.b * math.sin(third) - self.c * math.sin(fourth),
        ]

    def close(self, crank: float, near: tuple[float, float]) -> tuple[float, float]:
        """θ3 and θ4 (degrees) at θ2, by root finding from values near by."""
        root, _, found, why = fsolve(
            self.gap, np.radians(near), args=(math.radians(crank),), xtol=1e-12, full_output=True
        )
        assert found == 1, why
        return math.degrees(root[0]), math.degrees(root[1])

    def places(self, crank: float, third: float) -> dict[str, Place]:
        """The assembled pose, millimetres being a tenth of the sources' units."""
        a = polar(10.0 * self.a, crank)
        return {
            "O2": (0.0, 0.0),
            "O4": (10.0 * self.d, 0.0),
            "A": a,
            "B": polar(10.0 * self.b, third, a),
        }


# Norton, Design of Machinery, table P4-1, rows a and h; values recalled from memory.
NORTON = [
    pytest.param(Bars(6, 2, 7, 9), 30.0, (88.837, 117.286), 75.0, id="a open"),
    pytest.param(Bars(6, 2, 7, 9), 30.0, (-115.211, -143.660), 75.0, id="a crossed"),
    pytest.param(Bars(20, 10, 10, 10), 50.0, (9.368, 111.749), 30.0, id="h open"),
    pytest.param(Bars(20, 10, 10, 10), 50.0, (-68.251, -170.632), 30.0, id="h crossed"),
]


@pytest.mark.parametrize(("bars", "crank", "expected", "drawn"), NORTON)
def test_directions_of_coupler_and_rocker(
    bars: Bars, crank: float, expected: tuple[float, float], drawn: float
) -> None:
    # Drawn with the crank elsewhere: that pose is found by stepping there from the table's.
    angles = expected
    for theta in np.linspace(crank, drawn, 21):
        angles = bars.close(theta, angles)
    design = four_bar(bars.places(drawn, angles[0]), min(crank, drawn), max(crank, drawn))
    pose = analyse(design).pose(crank)
    assert apart(heading(pose["A"], pose["B"]), expected[0]) < 1e-3
    assert apart(heading(pose["O4"], pose["B"]), expected[1]) < 1e-3
    # The linkage's own loop closes to rounding.
    assert apart(heading(pose["A"], pose["B"]), bars.close(crank, expected)[0]) < 1e-9


def test_a_four_bar_has_one_degree_of_freedom() -> None:
    # M = 3(L-1) - 2·J1 - J2 with L = 4, J1 = 4: 1. Norton, 5th ed., solution P2-1a, read.
    bars = Bars(6, 2, 7, 9)
    assert freedom(four_bar(bars.places(30.0, 88.837), 20.0, 40.0)) == 1


# Input limits  cos θ2 = (a² + d² - b² - c²)/(2ad) ± bc/(ad); Norton 4.10, values recalled from
# memory, confirmed by |A O4| = b ± c. Each with a crank direction from which it is reached.
LIMITS = [
    pytest.param(Bars(20, 10, 10, 10), 75.522, 50.0, id="row h"),
    pytest.param(Bars(4, 5, 2, 5), 36.870, 60.0, id="row i, near"),
    pytest.param(Bars(4, 5, 2, 5), 101.537, 60.0, id="row i, far"),
    pytest.param(Bars(9, 7, 11, 6), 33.557, 60.0, id="row n"),
]


def before_the_limit(bars: Bars, drawn: float, rest: float) -> Design:
    """The linkage drawn at `drawn` with one stop there and the other at `rest`."""
    a = polar(bars.a, drawn)
    span = math.hypot(a[0] - bars.d, a[1])
    # Law of cosines in the triangle A, B, O4; one of the two ways to assemble it.
    inner = math.acos((bars.b**2 + span**2 - bars.c**2) / (2.0 * bars.b * span))
    third = heading(a, (bars.d, 0.0)) + math.degrees(inner)
    return replace(four_bar(bars.places(drawn, third), drawn, rest), stops=Stops(drawn, rest))


@pytest.mark.parametrize(("bars", "limit", "drawn"), LIMITS)
def test_input_limits(bars: Bars, limit: float, drawn: float) -> None:
    beyond = math.copysign(1.0, limit - drawn)
    # Half a thousandth of a degree is the table's rounding, half what may be missed.
    short = analyse(before_the_limit(bars, drawn, limit - beyond * 1e-3))
    assert all(math.isfinite(short.readings[key].value) for key in ("throw", "output_turn:rocker"))
    with pytest.raises(DesignProblem) as caught:
        # The table counts directions from +x.
        analyse(
            before_the_limit(bars, drawn, limit + beyond * 75.0), display=Display(angle_from="x")
        )
    told = re.search(r"lever at (-?[\d.]+)°", str(caught.value))
    assert told is not None
    # Told to one decimal.
    assert float(told[1]) == pytest.approx(limit, abs=0.051)
    assert "rest B" in str(caught.value)
    assert "“coupler” and “rocker” lock" in str(caught.value)
    with pytest.raises(DesignProblem):
        analyse(before_the_limit(bars, drawn, limit + beyond * 1e-3))


@pytest.mark.parametrize(("crank", "drawn"), [(0.0, 90.0), (180.0, 90.0), (270.0, 90.0)])
def test_a_crank_that_turns_right_round_has_no_limit(crank: float, drawn: float) -> None:
    # Row a (Grashof): |cos θ2| > 1 for both signs, so there is no input limit.
    assert analyse(before_the_limit(Bars(6, 2, 7, 9), drawn, crank)).throw == abs(crank - drawn)


def test_speed_of_a_driven_rocker() -> None:
    # Khurmi-Gupta, Theory of Machines, example 7.1: AB 40, CD 80 mm, 120 rpm and the answer
    # 4.8 rad/s read; BC 150, AD 150 mm, BAD 60° recalled from memory. The book's answer is
    # taken off a drawing; exact 4.7846 rad/s.
    omega = 120.0 * 2.0 * math.pi / 60.0
    design = before_the_limit(Bars(15, 4, 15, 8), 60.0, 80.0)
    spin = moving(design, 60.0).turns["rocker"][1][0, 0] * omega
    assert spin == pytest.approx(4.7846, rel=1e-4)
    assert spin == pytest.approx(4.8, rel=0.05)
    assert spin * 80e-3 == pytest.approx(0.3828, rel=1e-4)


def test_speeds_and_accelerations_of_coupler_and_rocker() -> None:
    # Khurmi-Gupta 8.4: 62.5/175/112.5/200 mm, 10 rad/s and the answers read, 60° recalled from
    # memory. Answers off a drawing: 1.9, 3.79 rad/s, 23.43, 47.1 rad/s²; exact below.
    omega, step = 10.0, 0.01
    design = before_the_limit(Bars(20, 6.25, 17.5, 11.25), 60.0, 80.0)
    motion = moving(design, [60.0 - step, 60.0, 60.0 + step])
    for link, speed, gain in (("coupler", 1.980, 23.37), ("rocker", 3.787, 46.14)):
        spin = motion.turns[link][1][0]
        assert abs(spin[1]) * omega == pytest.approx(speed, rel=1e-3)
        change = (spin[2] - spin[0]) / math.radians(2.0 * step)
        assert abs(change) * omega**2 == pytest.approx(gain, rel=1e-3)


def test_mechanical_advantage_of_a_four_bar() -> None:
    # Khurmi-Gupta 7.10: 300/360/360/600 mm, 100 rpm, 50 N·m, efficiency 0.7 and the answers
    # 6.25 rad/s, 1.17, 58.6 N·m read; 60° recalled from memory. Exact: 6.3034, 1.1629, 58.15.
    omega = 100.0 * 2.0 * math.pi / 60.0
    result = analyse(before_the_limit(Bars(60, 30, 36, 36), 60.0, 50.0))
    ratio = result.readings["advantage_a:rocker"].value
    assert omega / ratio == pytest.approx(6.3034, rel=1e-4)
    assert 0.7 * ratio == pytest.approx(1.1629, rel=1e-4)
    assert 50.0 * 0.7 * ratio == pytest.approx(58.15, rel=1e-4)
