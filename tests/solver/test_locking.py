from __future__ import annotations

import re

import numpy as np
import pytest

from solver.analysis import analyse
from solver.batch import read_batch
from solver.errors import DesignProblem
from solver.locking import first_lock
from solver.model import Design
from solver.motion import Evaluator, evaluate
from solver.plan import compile_design
from solver.project import Display
from tests.outside.sketches import four_bar, polar, slider_crank

# |A O4| = b + c at cos θ2 = (10² + 20² - 20²)/(2·10·20) = 0.25.
LIMIT = 75.5224878


def half_way(rest_a: float, rest_b: float) -> Design:
    """A four-bar drawn with its crank at 40° that locks at ±75.522°, coupler and rocker in line."""
    a = polar(100.0, 40.0)
    inner = (200.0 - a[0]) / 2.0, -a[1] / 2.0
    middle = a[0] + inner[0], a[1] + inner[1]
    half = np.hypot(*inner)
    off = np.sqrt(100.0**2 - half**2) / half
    b = middle[0] - inner[1] * off, middle[1] + inner[0] * off
    return four_bar({"O2": (0.0, 0.0), "O4": (200.0, 0.0), "A": a, "B": b}, rest_a, rest_b)


FROM_X = Display(angle_from="x")


def told(design: Design, display: Display = FROM_X) -> tuple[float, str]:
    with pytest.raises(DesignProblem) as caught:
        analyse(design, display=display)
    sentence = str(caught.value)
    assert caught.value.part == "coupler"
    assert "Change a length or bring the rest nearer." in sentence
    place = re.search(r"lever at (−?[\d.]+)° \(from (\+x|upright)\)", sentence)
    rest = re.search(r"does not reach rest (.)\.", sentence)
    assert place is not None
    assert rest is not None
    assert place[2] == ("+x" if display is FROM_X else "upright")
    return float(place[1].replace("−", "-")), rest[1]


@pytest.mark.parametrize(
    ("rest_a", "rest_b", "where", "rest"),
    [
        (0.0, 90.0, LIMIT, "B"),
        (90.0, 0.0, LIMIT, "A"),
        (-100.0, 50.0, -LIMIT, "A"),
        (50.0, -170.0, -LIMIT, "B"),
        (76.0, 80.0, LIMIT, "A"),  # drawn outside the throw, on the near side of rest A
        (-90.0, -80.0, -LIMIT, "B"),
        (436.0, 440.0, LIMIT, "A"),  # the same a turn on
    ],
)
def test_the_place_and_the_rest_are_told(
    rest_a: float, rest_b: float, where: float, rest: str
) -> None:
    found = told(half_way(rest_a, rest_b))
    # One decimal is shown.
    assert found[0] == pytest.approx(where, abs=0.051)
    assert found[1] == rest


def test_stops_just_short_of_the_lock_are_reached() -> None:
    result = analyse(half_way(-LIMIT + 1e-4, LIMIT - 1e-4))
    assert np.isfinite(result.torque).all()


def test_a_throw_drawn_on_neither_side_of_a_lock_is_refused_though_it_could_be_assembled() -> None:
    # Row i of the tables: between 36.87° and 101.54° and, as a mirror image, between the
    # negatives of these. Drawn in the one, the lever never gets to the other.
    a = polar(50.0, 60.0)
    span = np.hypot(a[0] - 40.0, a[1])
    inner = np.degrees(np.arccos((20.0**2 + span**2 - 50.0**2) / (2.0 * 20.0 * span)))
    heading = np.degrees(np.arctan2(-a[1], 40.0 - a[0]))
    b = polar(20.0, float(heading + inner), a)
    design = four_bar({"O2": (0.0, 0.0), "O4": (40.0, 0.0), "A": a, "B": b}, -90.0, -50.0)
    motion = evaluate(plan := compile_design(design), plan.parameters(design))
    assert motion.solved.all()
    assert told(design)[0] == pytest.approx(36.870, abs=0.051)


def test_a_slider_that_cannot_follow_is_told() -> None:
    # Crank 60, rod 50: the rod spans the slot only while 60·sin θ < 50, θ < 56.443°.
    design = slider_crank(60.0, 50.0, 0.0, 30.0, 0.0, 80.0)
    with pytest.raises(DesignProblem, match=r"56\.4°.*rest B\. “rod” locks there: a slider cannot"):
        analyse(design, display=FROM_X)


def test_first_lock_is_found_to_a_thousandth() -> None:
    design = half_way(0.0, 90.0)
    evaluator = Evaluator.of(compile_design(design))
    parameters = evaluator.plan.parameters(design)
    assert first_lock(evaluator, parameters, 40.0, 75.0) is None
    lock = first_lock(evaluator, parameters, 40.0, 170.0)
    assert lock is not None
    assert lock[0] == pytest.approx(LIMIT, abs=1e-3)
    assert evaluator.plan.design.links[evaluator.plan.steps[lock[1]].links[0]].name == "coupler"
    other_way = first_lock(evaluator, parameters, 40.0, -170.0)
    assert other_way is not None
    assert other_way[0] == pytest.approx(-LIMIT, abs=1e-3)


def test_the_place_is_told_in_the_way_the_user_counts() -> None:
    assert told(half_way(0.0, 90.0), Display(angle_from="upright"))[0] == pytest.approx(
        LIMIT - 90.0, abs=0.1
    )


def test_a_pose_beyond_the_lock_gets_a_sentence() -> None:
    result = analyse(half_way(0.0, 70.0))
    with pytest.raises(DesignProblem, match=r"stops with the lever at −10\.0° \(from upright\)"):
        result.pose(80.0)
    assert result.pose(75.0)["A"] == pytest.approx(polar(100.0, 75.0))


def test_a_batch_marks_the_locked_and_goes_on() -> None:
    design = half_way(0.0, 70.0)
    plan = compile_design(design)
    values = np.repeat(plan.parameters(design)[None], 3, axis=0)
    values[1, plan.column("stops.rest_b")] = np.radians(80.0)
    motion = evaluate(plan, values, 91)
    assert motion.solved.tolist() == [True, False, True]
    # The culprit is the step, from the position on at which it does not close.
    locked = motion.culprit[1] == 0
    assert np.degrees(motion.travel[1][locked]).min() == pytest.approx(LIMIT, abs=80.0 / 90.0)
    readings = read_batch(plan, values)
    assert np.isnan(readings.values["output_turn:rocker"]).tolist() == [False, True, False]
