"""Which turn a torsion spring's twist is counted from."""

import math
from dataclasses import replace

import numpy as np
import pytest

from solver.analysis import analyse
from solver.edit import move_point
from solver.model import FRAME, Design, Link, Point, Stops, TorsionSpring
from solver.rebase import rebase


def lever(free_angle: float, turns: int = 0, stops: Stops | None = None) -> Design:
    """A lever whose legs are drawn exactly opposite: the leg angle is 180°."""
    return Design(
        points=(Point("o", 0.0, 0.0), Point("grip", 0.0, 100.0), Point("peg", 0.0, -40.0)),
        links=(Link(FRAME, ("o", "peg")), Link("lever", ("o", "grip"))),
        lever="lever",
        grip="grip",
        stops=stops or Stops(120.0, 60.0),
        springs=(TorsionSpring("coil", "o", "peg", "grip", 2.0, free_angle, turns=turns),),
    )


def twist(design: Design) -> float:
    """Twist at the drawn pose (degrees)."""
    analysis = analyse(design)
    return float(np.interp(90.0, analysis.direction[::-1], analysis.springs[0].length[::-1]))


def test_opposite_legs_twist_by_the_short_way() -> None:
    assert twist(lever(162.0)) == pytest.approx(18.0)
    assert twist(lever(-162.0)) == pytest.approx(-18.0)


def test_dragging_a_leg_through_the_straight_line_makes_no_jump() -> None:
    before, after = (twist(move_point(lever(162.0), "peg", x, -40.0)) for x in (-1e-6, 1e-6))
    assert before == pytest.approx(after, abs=1e-4)


def test_turns_wind_it_further() -> None:
    assert twist(lever(162.0, turns=1)) == pytest.approx(378.0)
    moment = analyse(lever(162.0, turns=1)).springs[0].force
    assert moment.max() == pytest.approx(2.0 * (378.0 + 30.0))


@pytest.mark.parametrize("direction", [20.0, 100.0, 170.0])
def test_rebasing_keeps_a_twist_beyond_half_a_turn(direction: float) -> None:
    """Free at 10°, drawn at 180°: 170° of twist, up to 250° in the poses."""
    design = lever(10.0, stops=Stops(170.0, 20.0))
    drawn, moved = (analyse(d) for d in (design, rebase(design, direction)))
    np.testing.assert_allclose(moved.springs[0].length, drawn.springs[0].length, atol=1e-9)
    assert drawn.springs[0].longest == pytest.approx(250.0)
    np.testing.assert_allclose(moved.torque, drawn.torque, atol=1e-9)


def test_the_torque_is_the_rate_times_the_twist() -> None:
    analysis = analyse(replace(lever(162.0), stops=Stops(95.0, 85.0)))
    assert abs(analysis.torque[360]) == pytest.approx(2.0 * 18.0)
    assert math.isclose(analysis.direction[360], 90.0)
