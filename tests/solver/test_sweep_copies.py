"""The share of copies over a range is that of a study of each value alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from solver.analysis import analyse
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import Limit
from solver.number_names import NamedNumber, with_number
from solver.quantiles import Share
from solver.spread import spread
from solver.sweep import Sweep
from solver.sweep_copies import HOLD_ALL, sure_ranges, sweep_copies

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


@pytest.mark.parametrize(
    ("key", "number", "values"),
    [
        ("compression", "springs.main spring.rate", np.linspace(2.0, 3.2, 5)),
        ("compression", "points.spring anchor.y", np.linspace(-95.0, -89.0, 4)),
        ("rocker", "stops.rest_a", np.linspace(108.0, 116.0, 4)),
        ("knee", "points.slot end.y", np.linspace(-4.0, 4.0, 3)),
    ],
)
def test_every_share_is_that_of_its_own_copies(key: str, number: str, values: np.ndarray) -> None:
    design = LAYOUT[key]()
    held = analyse(design).readings["holding_force"].value
    design = replace(design, limits=(Limit("holding_force", at_least=0.98 * held),))
    found = sweep_copies(design, number, values, copies=256, positions=91)
    shares = [
        100.0 * spread(with_number(design, number, float(value)), 256, 91).all_limits.share
        for value in values
    ]
    np.testing.assert_allclose(found.readings[HOLD_ALL.key], shares)
    assert len(set(shares)) > 1


def test_what_cannot_be_swept_says_why() -> None:
    design = LAYOUT["compression"]()
    with pytest.raises(DesignProblem, match="rate"):
        sweep_copies(design, "springs.main spring.rate", np.array([-1.0, 2.0]))
    with pytest.raises(DesignProblem, match="add one"):
        sweep_copies(replace(design, limits=()), "springs.main spring.rate", np.array([2.0]))


def counted(truth: np.ndarray, luck: np.ndarray) -> Sweep:
    """A sweep from 0 to 1 whose every share is `truth`, of copies with the same luck each."""
    shares = 100.0 * (luck[None, :] < truth[:, None]).mean(axis=1)
    number = NamedNumber("made.up", "made up", "length", 0.5)
    values = np.linspace(0.0, 1.0, len(truth))
    return Sweep(number, values, (HOLD_ALL,), {HOLD_ALL.key: shares}, len(luck))


def even(copies: int) -> np.ndarray:
    return (np.arange(copies) + 0.5) / copies


def test_crossings_lie_in_their_ranges_as_often_as_is_said() -> None:
    """The truth, a straight line, is 99 % at 0.6; of 95 in 100 the count has its own error."""
    rng, truth = np.random.default_rng(7), np.linspace(0.975, 1.0, 61)
    right = []
    for _ in range(600):
        ranges = sure_ranges(counted(truth, rng.random(1000)), 99.0)
        right.append(any(low <= 0.6 <= high for low, high in ranges))
    assert 0.93 <= np.mean(right) <= 0.98


def test_a_range_ends_where_the_interval_of_the_share_does() -> None:
    swept = counted(np.linspace(0.9, 1.0, 101), even(1000))
    ((low, high),) = sure_ranges(swept, 97.0)
    shares = swept.readings[HOLD_ALL.key]
    ends = [
        [getattr(Share.counted(round(10.0 * share), 1000), end) for share in shares]
        for end in ("high", "low")
    ]
    for end, side in zip((low, high), ends, strict=True):
        assert np.interp(end, swept.values, side) == pytest.approx(0.97, abs=1e-6)


def test_a_range_that_goes_beyond_the_values_is_open() -> None:
    swept = counted(np.linspace(0.983, 0.997, 12), even(399))
    ((low, high),) = sure_ranges(swept, 99.0)
    assert (low, high) == (-np.inf, np.inf)
    falling = counted(np.linspace(1.0, 0.2, 81), even(399))
    ((low, high),) = sure_ranges(falling, 50.0)
    assert 0.5 < low < 0.625 < high < 0.75
