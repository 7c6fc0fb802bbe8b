from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from solver.layouts import LAYOUTS
from solver.model import Force, Gravity, Pivot, Stops, Torque, Weight
from solver.motion import CHUNK, Evaluator, chunks, evaluate
from solver.plan import compile_design
from tests.outside.sketches import lever, moving

LAYOUT = {layout.key: layout.build() for layout in LAYOUTS}
BARE = lever({"grip": (100.0, 0.0), "end": (50.0, 0.0)}, {"post": (0.0, 80.0)}, "grip", -30.0, 60.0)


def test_positions_run_from_rest_to_rest() -> None:
    plan = compile_design(BARE)
    motion = evaluate(plan, plan.parameters(BARE), 91)
    assert motion.travel.shape == (1, 91)
    np.testing.assert_allclose(np.degrees(motion.travel[0]), np.linspace(0.0, 90.0, 91))
    assert motion.sense.item() == 1.0
    back = replace(BARE, stops=Stops(60.0, -30.0))
    other = evaluate(plan, plan.parameters(back), 91)
    assert other.sense.item() == -1.0
    np.testing.assert_allclose(other.travel, motion.travel, atol=1e-15)


def test_a_weight_falls() -> None:
    # 2 kg at 50 mm, lever at 30°: 2·g·50·cos 30° against the turn, energy 2·g·50·sin 30°.
    design = replace(BARE, weights=(Weight("w", "end", 2.0),), gravity=Gravity(10.0))
    motion = moving(design, 30.0)
    assert motion.torque.item() == pytest.approx(-1000.0 * math.cos(math.radians(30.0)))
    assert motion.energy.item() == pytest.approx(1000.0 * 0.5)


def test_a_force_keeps_its_direction_and_a_torque_turns_along() -> None:
    design = replace(BARE, loads=(Force("f", "end", 0.0, 4.0), Torque("t", "lever", -70.0)))
    motion = moving(design, 60.0)
    assert motion.torque.item() == pytest.approx(4.0 * 50.0 * 0.5 - 70.0)
    back = replace(design, stops=Stops(60.0, -30.0))
    assert moving(back, 60.0).torque.item() == pytest.approx(-(4.0 * 50.0 * 0.5 - 70.0))


def test_drag_acts_whatever_the_load() -> None:
    design = replace(BARE, pivots=(Pivot("pivot", friction=0.0, drag=33.0),))
    motion = moving(design, [0.0, 45.0])
    np.testing.assert_allclose(motion.friction, 33.0)
    np.testing.assert_allclose(motion.friction_thrown, 33.0)


def test_the_hand_unloads_or_loads_the_pivot() -> None:
    # 100 N down at 50 mm; a hand at 100 mm that holds it bears half, the pin the other half.
    pivots = (Pivot("pivot", pin_diameter=10.0, friction=0.2),)
    design = replace(BARE, loads=(Force("f", "end", 0.0, -100.0),), pivots=pivots)
    motion = moving(design, 0.0)
    assert motion.friction.item() == pytest.approx(100.0 * 5.0 * 0.2)
    assert motion.friction_thrown.item() == pytest.approx(50.0 * 5.0 * 0.2)


def test_given_positions_are_taken_as_they_are() -> None:
    plan = compile_design(LAYOUT["compression"])
    parameters = plan.parameters(LAYOUT["compression"])
    motion = evaluate(plan, parameters, [0.0, 0.31, 1.0])
    np.testing.assert_allclose(np.degrees(motion.travel[0]), [0.0, 0.31 * 48.0, 48.0])


def test_an_evaluator_serves_as_well_as_a_plan() -> None:
    plan = compile_design(LAYOUT["rocker"])
    parameters = plan.parameters(LAYOUT["rocker"])
    one, other = evaluate(plan, parameters, 31), evaluate(Evaluator.of(plan), parameters, 31)
    assert np.array_equal(one.torque, other.torque)


def test_parameters_of_another_length_are_refused() -> None:
    plan = compile_design(LAYOUT["rocker"])
    with pytest.raises(ValueError, match="parameters a design"):
        evaluate(plan, np.zeros(3))


def test_designs_are_independent_rows() -> None:
    design = replace(LAYOUT["rocker"], plates=())
    plan = compile_design(design)
    values = np.repeat(plan.parameters(design)[None], 3, axis=0)
    values[1, plan.column("springs.main spring.rate")] *= 2.0
    motion = evaluate(plan, values, 41)
    assert np.array_equal(motion.torque[0], motion.torque[2])
    # Twice the rate is twice the torque where the spring is all that acts.
    np.testing.assert_allclose(motion.torque[1], 2.0 * motion.torque[0], rtol=1e-12, atol=1e-9)


@pytest.mark.parametrize(("designs", "positions"), [(1, 721), (2000, 181), (4096, 91), (3, 10**6)])
def test_chunks_cover_the_batch_once(designs: int, positions: int) -> None:
    found = [i for chunk in chunks(designs, positions) for i in range(designs)[chunk]]
    assert found == list(range(designs))
    for chunk in chunks(designs, positions):
        assert len(range(designs)[chunk]) * positions <= max(CHUNK, positions)


def test_a_turn_beyond_half_a_turn_is_followed_in_each_design_of_its_own() -> None:
    # Drawn upright; the turn from there goes from 0 to 80, from -200 to 80, from 30 to 210.
    design = lever({"grip": (0.0, 40.0)}, {}, "grip", -110.0, 170.0)
    plan = compile_design(replace(design, outputs=("lever",)))
    values = np.tile(plan.parameters(design), (3, 1))
    rests = np.array([[90.0, 170.0], [-110.0, 170.0], [120.0, 300.0]])
    values[:, [plan.column("stops.rest_a"), plan.column("stops.rest_b")]] = np.radians(rests)
    turn, _ = evaluate(plan, values, 181).turns["lever"]
    expected = np.radians(np.linspace(rests[:, 0], rests[:, 1], 181).T - 90.0)
    np.testing.assert_allclose(turn, expected, atol=1e-12)
