from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from solver.analysis import Analysis, analyse
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import CompressionSpring, Limit, Stops
from solver.project import Display

LAYOUT = {layout.key: layout.build() for layout in LAYOUTS}
COMPRESSION = LAYOUT["compression"]


@pytest.fixture(scope="module")
def result() -> Analysis:
    return analyse(COMPRESSION)


def test_curves_share_the_travel(result: Analysis) -> None:
    curves = (result.travel, result.direction, result.grip_travel, result.energy, result.torque,
              result.friction, result.effort_to_b, result.effort_to_a, result.springs[0].length,
              result.springs[0].force)  # fmt: skip
    assert {curve.shape for curve in curves} == {(721,)}
    assert result.throw == pytest.approx(48.0)
    assert result.sense == -1
    np.testing.assert_allclose(result.direction, 114.0 - result.travel)
    np.testing.assert_allclose(result.grip_travel, 140.0 * np.radians(result.travel))


def test_the_energy_has_its_top_at_dead_centre(result: Analysis) -> None:
    assert result.energy.min() == 0.0
    assert result.dead_centre == pytest.approx(24.0, abs=1e-9)
    top = float(result.travel[np.argmax(result.energy)])
    assert top == pytest.approx(24.0, abs=48.0 / 720.0)
    assert result.readings["barrier"].value == pytest.approx(result.energy.max(), rel=1e-9)


def test_signs_of_torque_and_effort(result: Analysis) -> None:
    # On the way from A the spring drives back to A, past dead centre on to B.
    assert result.torque[10] < 0.0 < result.torque[-10]
    assert result.effort_to_b[10] > 0.0 > result.effort_to_b[-10]
    assert result.effort_to_a[-10] > 0.0 > result.effort_to_a[10]
    # Friction always adds to the effort.
    assert np.all(result.effort_to_b + result.effort_to_a > 0.0)


def test_commit_points_bound_the_hang_zone(result: Analysis) -> None:
    (zone,) = result.hang_zones
    assert zone.kind == "dead centre"
    assert zone.end == pytest.approx(result.commit_from_a, abs=1e-9)
    assert zone.start == pytest.approx(result.commit_from_b, abs=1e-9)
    assert zone.end_mm - zone.start_mm == pytest.approx(result.readings["hang_zone_mm"].value)
    # There torque and friction are equal.
    for edge in (zone.start, zone.end):
        torque, friction = (
            float(np.interp(edge, result.travel, curve))
            for curve in (result.torque, result.friction)
        )
        assert abs(torque) == pytest.approx(friction, rel=1e-4)


def test_what_the_spring_does(result: Analysis) -> None:
    (spring,), (work,) = COMPRESSION.springs, result.springs
    assert isinstance(spring, CompressionSpring)
    assert (work.kind, work.name, work.free) == ("compression", "main spring", 82.0)
    assert work.solid == 48.0
    assert work.most is None
    assert work.at_dead_centre == pytest.approx(60.0, abs=1e-6)
    assert work.force_dead_centre == pytest.approx(2.4 * 22.0, abs=1e-5)
    np.testing.assert_allclose(work.force, 2.4 * (82.0 - work.length))
    assert (work.at_rest_a, work.at_rest_b) == (work.length[0], work.length[-1])


def test_poses_by_direction_and_by_travel(result: Analysis) -> None:
    upright = result.pose_at(24.0)
    assert upright["grip"] == pytest.approx((0.0, 140.0))
    assert upright["lever foot"] == pytest.approx((0.0, -32.0))
    assert result.pose(90.0)["grip"] == pytest.approx(upright["grip"])
    assert result.pose(450.0)["grip"] == pytest.approx((0.0, 140.0))


def test_travel_and_turn_may_exceed_half_a_turn() -> None:
    wide = replace(COMPRESSION, stops=Stops(250.0, -40.0), limits=())
    result = analyse(wide)
    assert result.throw == pytest.approx(290.0)
    assert result.readings["travel_at_grip"].value == pytest.approx(140.0 * math.radians(290.0))


def test_a_limit_on_a_reading_that_is_not_there_is_refused() -> None:
    design = replace(COMPRESSION, limits=(Limit("output_turn:rocker", at_least=1.0),))
    with pytest.raises(DesignProblem, match="output_turn:rocker"):
        analyse(design)


def test_sentences_speak_the_users_units() -> None:
    inches = analyse(COMPRESSION, display=Display(units="inch"))
    assert " in at the grip" in inches.verdict
    assert " mm" not in inches.verdict
    # The numbers stay in base units.
    assert inches.readings["travel_at_grip"].value == pytest.approx(140.0 * math.radians(48.0))


def test_a_symmetric_lever_has_symmetric_readings(result: Analysis) -> None:
    for a, b in (("holding_force_a", "holding_force_b"), ("barrier_a", "barrier_b"),
                 ("peak_effort_to_a", "peak_effort_to_b")):  # fmt: skip
        assert result.readings[a].value == pytest.approx(result.readings[b].value, rel=1e-9)


@pytest.mark.parametrize("positions", [2, 3, 4, 8])
def test_very_few_positions_still_give_an_answer(positions: int) -> None:
    coarse = analyse(COMPRESSION, positions)
    assert coarse.travel.shape == (positions,)
    fine = analyse(COMPRESSION)
    seat = "seating_force_a"
    assert coarse.readings[seat].value == pytest.approx(fine.readings[seat].value)
