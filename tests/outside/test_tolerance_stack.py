"""A linear stack of tolerances: worst case and root-sum-square in closed form.

The bottoming margin of a spring is the shortest distance of its anchors less end fittings, solid
length and least gaps. With these three off by ±0.05, ±0.10 and ±0.20 mm (derived):

    worst case       0.05 + 0.10 + 0.20          = 0.35 mm
    root-sum-square  √(0.05² + 0.10² + 0.20²)    = 0.229129 mm
"""

from __future__ import annotations

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from solver.model import CompressionSpring, Design, Limit
from solver.spread import Spread, spread
from tests.outside.sketches import lever
from tests.solver.test_sampling import allowing

OFF = {"solid_length": 0.10, "least_gaps": 0.20, "fittings": 0.05}
WORST, ROOT_SUM_SQUARE = 0.35, 0.229129
LABELS = {
    "solid_length": "solid length of coil",
    "least_gaps": "least gaps of coil",
    "fittings": "end fittings of coil",
}


def stack(law: str, at_least: float = 0.0) -> Design:
    """A lever whose spring is shortest at dead centre, 60 mm between its anchors."""
    design = lever({"grip": (0.0, 140.0), "foot": (0.0, -32.0)}, {"anchor": (0.0, -92.0)}, "grip",
                   114.0, 66.0)  # fmt: skip
    spring = CompressionSpring("coil", "anchor", "foot", 2.4, 84.0, 42.0, 4.0, fittings=2.0)
    limit = Limit("bottoming_margin", at_least=at_least)
    design = replace(design, springs=(spring,), limits=(limit,))
    design = allowing(design, *((f"springs.coil.{key}", off) for key, off in OFF.items()))
    return replace(design, tolerances=replace(design.tolerances, spread=law))  # type: ignore[arg-type]


def studied(law: str, at_least: float = 0.0) -> Spread:
    return spread(stack(law, at_least), 2000)


@pytest.mark.parametrize("law", ["normal", "uniform"])
def test_worst_case(law: str) -> None:
    assert sum(OFF.values()) == pytest.approx(WORST)
    (limit,) = studied(law).limits
    nominal = 60.0 - 2.0 - 42.0 - 4.0
    assert limit.worst == pytest.approx(nominal - WORST, abs=1e-9)
    assert limit.worst_holds
    # Just in reach of the worst case, and just out of it.
    assert studied(law, nominal - WORST - 1e-6).limits[0].worst_holds
    assert not studied(law, nominal - WORST + 1e-6).limits[0].worst_holds


@pytest.mark.parametrize(("law", "reach"), [("normal", 3.0), ("uniform", math.sqrt(3.0))])
def test_root_sum_square(law: str, reach: float) -> None:
    assert math.hypot(*OFF.values()) == pytest.approx(ROOT_SUM_SQUARE, abs=1e-6)
    read = studied(law).readings["bottoming_margin"]
    # A normal tolerance is three standard deviations, a uniform one √3. The quasi-random sample
    # of 2000 gives the deviation within 0.3 % (plain random numbers: 1.6 %).
    assert read.deviation * reach == pytest.approx(ROOT_SUM_SQUARE, rel=3e-3)
    assert read.nominal == pytest.approx(12.0, abs=1e-9)


def test_percentiles_of_a_normal_sum() -> None:
    read = studied("normal").readings["bottoming_margin"]
    law = NormalDist(12.0, ROOT_SUM_SQUARE / 3.0)
    for value, level in ((read.low, 0.05), (read.middle, 0.5), (read.high, 0.95)):
        # 0.4 % of the copies, as below, are 0.003 mm at the outer levels.
        assert value == pytest.approx(law.inv_cdf(level), abs=4e-3)


@pytest.mark.parametrize("law", ["normal", "uniform"])
def test_shares_of_the_variance(law: str) -> None:
    found = studied(law)
    shares = {each.label: each.share for each in found.contributions("bottoming_margin")}
    for key, off in OFF.items():
        assert shares[LABELS[key]] == pytest.approx((off / ROOT_SUM_SQUARE) ** 2, rel=0.01)
    assert found.remainder("bottoming_margin") == pytest.approx(0.0, abs=1e-12)
    assert found.contributions("bottoming_margin")[0].label == LABELS["least_gaps"]


@pytest.mark.parametrize("below", [0.15, 0.1, 0.05, 0.0])
def test_shares_that_hold_follow_the_normal_law(below: float) -> None:
    (limit,) = studied("normal", 12.0 - below).limits
    expected = NormalDist().cdf(below * 3.0 / ROOT_SUM_SQUARE)
    assert limit.holds.low <= expected <= limit.holds.high
    # Nearer than the interval of independent copies, whose half width is 0.005 … 0.022.
    assert limit.holds.share == pytest.approx(expected, abs=4e-3)


def test_a_uniform_sum_stays_within_its_ends() -> None:
    read = studied("uniform").readings["bottoming_margin"]
    assert 12.0 - WORST <= read.least < 12.0 - 0.9 * WORST
    assert 12.0 + 0.9 * WORST < read.most <= 12.0 + WORST
    assert np.isfinite(read.deviation)
