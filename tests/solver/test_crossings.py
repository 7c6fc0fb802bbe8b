from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from solver.crossings import Crossings, highest, peak, refine
from solver.planar import Real

Curve = Callable[[Real], Real]


def grid(count: int, end: float = 1.0) -> Real:
    return np.linspace(0.0, end, count)[None, :]


def order(errors: list[float]) -> float:
    """Mean order of convergence over halvings of the spacing."""
    return math.log2(errors[0] / errors[-1]) / (len(errors) - 1)


def worst(count: int, error: Callable[[Real, float], float]) -> float:
    """Greatest error over features that lie anywhere between the samples."""
    x = grid(count)
    return max(error(x, 0.37 + share / (count - 1)) for share in np.linspace(0.0, 1.0, 17))


def zero_error(x: Real, c: float) -> float:
    y = np.exp(x) * (np.sin(2.0 * (x - c)) + 0.4 * (x - c) ** 2)
    found = Crossings.of(x, y)
    assert found.rows.tolist() == [0]
    assert found.rising.tolist() == [True]
    return abs(float(found.where[0]) - c)


def test_zeros_converge_with_the_fourth_power() -> None:
    errors = [worst(count, zero_error) for count in (21, 41, 81, 161)]
    assert order(errors) > 3.7
    assert errors[-1] < 2e-9


def cornered(count: int, corner: float) -> Real:
    """Even samples, the two around the corner moved to either side of it."""
    x = np.linspace(0.0, 1.0, count)
    at = int(np.searchsorted(x, corner)) - 1
    x[at], x[at + 1] = corner - 1e-9, corner + 1e-9
    return x[None, :]


def corner_error(count: int, c: float, side: float) -> float:
    """A zero at c, and a jump and a corner within two samples of it."""
    corner = c + side * 1.4 / (count - 1)
    x = cornered(count, corner)
    smooth = np.exp(x) * (np.sin(2.0 * (x - c)) + 0.4 * (x - c) ** 2)
    beyond = (x - corner) * side > 0.0
    y = np.where(beyond, smooth + side * (1.0 + 3.0 * np.abs(x - corner)), smooth)
    found = Crossings.of(x, y)
    assert found.rows.tolist() == [0]
    return abs(float(found.where[0]) - c)


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_zeros_beside_a_corner_converge_as_well(side: float) -> None:
    places = np.linspace(0.0, 1.0, 17)
    errors = [
        max(corner_error(count, 0.37 + share / (count - 1), side) for share in places)
        for count in (21, 41, 81, 161)
    ]
    assert order(errors) > 3.5
    assert errors[-1] < 2e-8


def test_a_jump_through_zero_is_found_where_it_is() -> None:
    x = cornered(41, 0.412)
    found = Crossings.of(x, np.where(x < 0.412, 1.0 + x, -2.0))
    assert found.where[0] == pytest.approx(0.412, abs=2e-9)
    assert found.positive_measure()[0] == pytest.approx(0.412, abs=2e-9)


def peak_errors(x: Real, c: float) -> tuple[float, float]:
    y = np.cos(2.0 * (x - c)) + 0.5 * (x - c) ** 3
    value, where = peak(x, y)
    return abs(float(value[0]) - 1.0), abs(float(where[0]) - c)


def test_peaks_converge() -> None:
    counts = (21, 41, 81, 161)
    values = [worst(count, lambda x, c: peak_errors(x, c)[0]) for count in counts]
    places = [worst(count, lambda x, c: peak_errors(x, c)[1]) for count in counts]
    assert order(values) > 3.7
    assert order(places) > 2.7


def highest_errors(x: Real, c: float) -> tuple[float, float]:
    y = np.cos(2.0 * (x - c)) + 0.5 * (x - c) ** 3
    slope = -2.0 * np.sin(2.0 * (x - c)) + 1.5 * (x - c) ** 2
    value, where = highest(x, y, slope)
    return abs(float(value[0]) - 1.0), abs(float(where[0]) - c)


def test_heights_from_values_and_slopes_converge_faster() -> None:
    counts = (21, 41, 81, 161)
    values = [worst(count, lambda x, c: highest_errors(x, c)[0]) for count in counts]
    places = [worst(count, lambda x, c: highest_errors(x, c)[1]) for count in counts]
    assert order(values) > 3.7
    assert order(places) > 3.7


@pytest.mark.parametrize("finder", ["peak", "highest"])
def test_a_peak_that_runs_out_of_the_row_leaves_no_jump(finder: str) -> None:
    # The top moves over the last sample in 2000 steps; the value must follow.
    c = np.linspace(0.9, 1.1, 2001)[:, None]
    x = np.broadcast_to(grid(21), (2001, 21))
    y = np.cos(2.0 * (x - c))
    slope = -2.0 * np.sin(2.0 * (x - c))
    value, where = peak(x, y) if finder == "peak" else highest(x, y, slope)
    exact = np.where(c[:, 0] < 1.0, 1.0, np.cos(2.0 * (1.0 - c[:, 0])))
    # h⁴ times the fourth derivative by 4!, with h = 0.05.
    np.testing.assert_allclose(value, exact, atol=4.2e-6)
    assert np.max(np.abs(np.diff(value))) < 1e-4 * 2.0
    # The place is off by h³ times the fourth derivative over that of the second, at most.
    assert np.max(np.abs(np.diff(where))) < 1e-4 + 0.05**3 * 4.0


def test_peak_beside_a_corner_takes_the_samples_on_its_side() -> None:
    corner = 0.52
    x = cornered(41, corner)
    # Top of the smooth part at 0.51, closer to the corner than the next sample.
    y = np.where(x < corner, 1.0 - 4.0 * (x - 0.51) ** 2, -1.0)
    value, where = peak(x, y)
    assert value[0] == pytest.approx(1.0, abs=1e-12)
    assert where[0] == pytest.approx(0.51, abs=1e-9)


def test_peak_of_a_roof_is_its_ridge() -> None:
    x = cornered(41, 0.52)
    value, where = peak(x, 1.0 - 3.0 * np.abs(x - 0.52))
    assert value[0] == pytest.approx(1.0, abs=1e-8)
    assert where[0] == pytest.approx(0.52, abs=1e-8)


def test_too_few_samples_give_the_best_of_them() -> None:
    value, where = peak(grid(2), np.array([[1.0, 3.0]]))
    assert (value[0], where[0]) == (3.0, 1.0)
    found = Crossings.of(grid(2), np.array([[-1.0, 3.0]]))
    assert found.where.tolist() == [0.25]


def test_stretches_of_a_wave() -> None:
    # Positive on (0.05, 0.35), (0.65, 0.95): a wave with zeros there.
    x = grid(401)
    y = np.sin(np.pi * (x - 0.05) / 0.3)
    found = Crossings.of(x, y)
    np.testing.assert_allclose(found.where, [0.05, 0.35, 0.65, 0.95], atol=1e-9)
    assert found.positive_measure()[0] == pytest.approx(0.6, abs=1e-8)
    assert math.isnan(found.first_fall()[0])
    assert math.isnan(found.last_rise()[0])
    other = Crossings.of(x, -y)
    assert other.first_fall()[0] == pytest.approx(0.05, abs=1e-9)
    assert other.last_rise()[0] == pytest.approx(0.95, abs=1e-9)
    assert other.positive_measure()[0] == pytest.approx(0.4, abs=1e-8)


def test_what_is_positive_throughout_or_nowhere() -> None:
    x = np.repeat(grid(11), 2, axis=0)
    found = Crossings.of(x, np.array([[1.0] * 11, [-1.0] * 11]))
    assert found.positive_measure().tolist() == [1.0, 0.0]
    assert found.first_fall()[0] == 1.0
    assert found.last_rise()[0] == 0.0
    assert np.isnan([found.first_fall()[1], found.last_rise()[1]]).all()


def test_a_zero_sample_counts_as_not_positive() -> None:
    found = Crossings.of(grid(3), np.array([[-1.0, 0.0, 1.0]]))
    assert found.at.tolist() == [1]
    assert found.where.tolist() == [0.5]
    assert Crossings.of(grid(3), np.zeros((1, 3))).rows.size == 0


def test_samples_that_are_not_numbers_change_no_sign() -> None:
    y = np.sin(8.0 * grid(41))
    holed = y.copy()
    holed[0, 10:20] = np.nan
    both = Crossings.of(np.repeat(grid(41), 2, axis=0), np.vstack([holed, y]))
    whole = [0.0, math.pi / 8.0, math.pi / 4.0]
    assert both.where[both.rows == 1] == pytest.approx(whole, abs=1e-5)
    # The hole, 0.25 to 0.5, swallows the middle one.
    assert both.where[both.rows == 0] == pytest.approx([whole[0], whole[2]], abs=1e-5)
    assert np.isfinite(both.where).all()


def test_refining_keeps_within_its_bracket() -> None:
    # A cubic through these samples has other zeros; the bracket's own is wanted.
    x, y = grid(4, 3.0), np.array([[50.0, 1e-3, -1.0, 60.0]])
    where = refine(x, y, np.array([0]), np.array([1]))
    assert 1.0 <= where[0] <= 2.0


def test_functions_looked_at_together_give_what_each_gives_alone() -> None:
    # Three functions over two rows of x, of which the second has a corner.
    x = np.vstack([grid(41), cornered(41, 0.52)])
    places = np.array([0.31, 0.5, 0.53, 0.86, 0.2, 0.515]).reshape(3, 2, 1)
    y = np.where(x < 0.52, np.cos(4.0 * (x - places)), np.cos(5.0 * (x - places))) - 0.4
    slope = np.where(x < 0.52, -4.0 * np.sin(4.0 * (x - places)), -5.0 * np.sin(5.0 * (x - places)))
    tops, highs, zeros = peak(x, y), highest(x, y, slope), Crossings.of_each(x, y)
    for at in range(3):
        for row in range(2):
            one, mine = x[row : row + 1], slice(row, row + 1)
            for found, alone in (
                (tops, peak(one, y[at, mine])),
                (highs, highest(one, y[at, mine], slope[at, mine])),
            ):
                assert [part[at, row] for part in found] == [part[0] for part in alone]
            single = Crossings.of(one, y[at, mine])
            here = zeros[at].rows == row
            assert zeros[at].where[here].tolist() == single.where.tolist() != []
            assert zeros[at].at[here].tolist() == single.at.tolist()
            assert zeros[at].rising[here].tolist() == single.rising.tolist()
            assert zeros[at].positive_measure()[row] == single.positive_measure()[0]
