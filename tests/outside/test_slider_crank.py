"""Slider-cranks against published examples."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from solver.analysis import analyse
from tests.outside.sketches import moving, slider_crank


def test_speeds_and_accelerations_of_the_rod() -> None:
    # Khurmi-Gupta, Theory of Machines, example 8.1, read: crank 150 mm, rod 600 mm, 300 rpm ->
    # middle of the rod 4.1 m/s and 117 m/s², rod 5.67 rad/s and 171.67 rad/s². The crank
    # direction is not given there; 45° reproduces it. Exact numbers below.
    omega, step = 300.0 * 2.0 * math.pi / 60.0, 0.01
    design = slider_crank(150.0, 600.0, 0.0, 45.0, 30.0, 60.0)
    motion = moving(design, [45.0 - step, 45.0, 45.0 + step])
    width = math.radians(2.0 * step)
    spin, speed = motion.turns["rod"][1][0], motion.outputs["middle"][1][0]
    assert abs(speed[1]) * omega * 1e-3 == pytest.approx(3.995, rel=1e-3)
    assert abs(spin[1]) * omega == pytest.approx(5.642, rel=1e-3)
    assert abs(spin[2] - spin[0]) / width * omega**2 == pytest.approx(171.55, rel=1e-3)
    assert abs(speed[2] - speed[0]) / width * omega**2 * 1e-3 == pytest.approx(117.3, rel=1e-3)


def test_stroke_and_dead_centres_of_an_offset_slider() -> None:
    # r 30, l 50, e 10: stroke √((l+r)² - e²) - √((l-r)² - e²) = 79.373 - 17.321 = 62.052 mm,
    # read (GATE ME 2025, question 60); dead centres at crank directions 7.181° and 30.000°
    # (folded, so 210.000°), time ratio 1.2904, derived.
    design = slider_crank(30.0, 50.0, -10.0, 100.0, 7.181, 210.0)
    result = analyse(design)
    assert result.readings["output_travel:B"].value == pytest.approx(62.052, abs=1e-3)

    def run(direction: float) -> float:
        return result.pose(direction)["B"][0]

    far = minimize_scalar(lambda t: -run(t), bracket=(5.0, 8.0, 12.0)).x
    near = minimize_scalar(run, bracket=(205.0, 209.0, 214.0)).x
    # A minimum found from values alone is known to the root of rounding, 1e-6 of 60° here.
    assert far == pytest.approx(7.181, abs=1e-3)
    assert near - 180.0 == pytest.approx(30.000, abs=1e-3)
    assert run(far) == pytest.approx(79.373, abs=1e-3)
    assert run(near) == pytest.approx(17.321, abs=1e-3)
    assert (near - far) / (360.0 - near + far) == pytest.approx(1.2904, rel=1e-4)
    # The slider stands still there, and the solver's rates say so.
    speeds = np.abs(moving(design, [far, near]).outputs["B"][1][0])
    assert np.all(speeds < 1e-3)
