"""Zeros and extremes between samples, so that readings change smoothly with the geometry.

A batch of sampled functions y(x), arrays (B, N), x rising along each row. Zeros are refined on
the cubic through the four nearest samples: the error falls with the fourth power of the spacing
h (below 1e-9 rad for 181 positions over a 90° throw). Where these samples are not evenly spaced,
which marks a corner in y, the straight line between the two samples is taken instead, with an
error of order h².
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.planar import Real

Index = NDArray[np.intp]

_UNEVEN = 1e-6
"""Relative difference of spacings beyond which samples are taken to straddle a corner."""


@dataclass(frozen=True, slots=True)
class Crossings:
    """Every sign change of a batch of functions: `where` it is, in which row and interval.

    rows, at: (K,) row and interval (between sample `at` and `at + 1`); where: (K,) place;
    rising: (K,) whether y grows positive there; above: (B, N) where y is positive. A sample
    that is exactly zero counts as not positive; NaN samples change no sign.
    """

    x: Real
    above: NDArray[np.bool_]
    rows: Index
    at: Index
    where: Real
    rising: NDArray[np.bool_]

    @classmethod
    def of(cls, x: Real, y: Real) -> Crossings:
        """Find and refine the sign changes of y over x."""
        above = y > 0.0
        change = above[:, 1:] != above[:, :-1]
        rows, at = np.nonzero(change)
        if rows.size:
            real = ~np.isnan(y[rows, at] + y[rows, at + 1])
            rows, at = rows[real], at[real]
        return cls(x, above, rows, at, refine(x, y, rows, at), above[rows, at + 1])

    def positive_measure(self) -> Real:
        """Total length of x, per row (B,), over which y is positive."""
        total: Real = np.where(self.above[:, -1], self.x[:, -1], 0.0)
        total -= np.where(self.above[:, 0], self.x[:, 0], 0.0)
        np.add.at(total, self.rows, np.where(self.rising, -self.where, self.where))
        return total

    def first_fall(self) -> Real:
        """End of the stretch from the first sample on which y is positive, per row (B,).

        NaN where y is not positive at the first sample; the last x where it never falls.
        """
        starts = self.above[:, 0]
        result = np.where(starts, self.x[:, -1], np.nan)
        # Written backwards, so that the first crossing of each row is what stays.
        rows, where = self.rows[::-1], self.where[::-1]
        result[rows] = np.where(starts[rows], where, np.nan)
        return result

    def last_rise(self) -> Real:
        """Start of the stretch up to the last sample on which y is positive, per row (B,).

        NaN where y is not positive at the last sample; the first x where it always is.
        """
        ends = self.above[:, -1]
        result = np.where(ends, self.x[:, 0], np.nan)
        result[self.rows] = np.where(ends[self.rows], self.where, np.nan)
        return result

    def first_rise(self) -> Real:
        """Where y first is positive, per row (B,); NaN where it never is."""
        result = np.where(self.above[:, 0], self.x[:, 0], np.nan)
        rises = self.rising & ~self.above[self.rows, 0]
        result[self.rows[rises][::-1]] = self.where[rises][::-1]
        return result

    def last_fall(self) -> Real:
        """Where y last is positive, per row (B,); NaN where it never is."""
        result = np.where(self.above[:, -1], self.x[:, -1], np.nan)
        falls = ~self.rising & ~self.above[self.rows, -1]
        result[self.rows[falls]] = self.where[falls]
        return result


def refine(x: Real, y: Real, rows: Index, at: Index) -> Real:
    """The zero of y between samples `at` and `at + 1` of each row, which bracket it."""
    x0, y0 = x[rows, at], y[rows, at]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = y0 / (y0 - y[rows, at + 1])
    share = np.where(np.isfinite(share), share, 0.5)
    if x.shape[1] >= 4 and rows.size:
        share = _on_cubic(x, y, rows, at, share)
    result: Real = x0 + share * (x[rows, at + 1] - x0)
    return result


def _on_cubic(x: Real, y: Real, rows: Index, at: Index, share: Real) -> Real:
    """Newton's method from the straight-line zero `share` (0 … 1), kept within the bracket."""
    first = np.minimum(np.maximum(at - 1, 0), x.shape[1] - 4)
    window = first[:, None] + np.arange(4)
    xs, ys = x[rows[:, None], window], y[rows[:, None], window]
    steps = xs[:, 1:] - xs[:, :-1]
    d1 = ys[:, 1:] - ys[:, :-1]
    d2 = d1[:, 1:] - d1[:, :-1]
    d3 = d2[:, 1] - d2[:, 0]
    # Newton's forward form in s, which counts samples from the first of the four.
    a1 = d1[:, 0] - d2[:, 0] / 2.0 + d3 / 3.0
    a2 = (d2[:, 0] - d3) / 2.0
    a3 = d3 / 6.0
    low = (at - first).astype(np.float64)
    s = low + share
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(3):
            value = ys[:, 0] + s * (a1 + s * (a2 + s * a3))
            s = s - value / (a1 + s * (2.0 * a2 + s * 3.0 * a3))
            s = np.minimum(np.maximum(s, low), low + 1.0)
    even = np.abs(steps - steps[:, :1]).max(axis=1) < _UNEVEN * steps[:, 0]
    return np.where(even & np.isfinite(s), s - low, share)


def highest(x: Real, y: Real, slope: Real) -> tuple[Real, Real]:
    """Greatest value of y and where, per row (B,), from samples of y and of its slope.

    Between samples y is the cubic that has these values and slopes (Hermite).
    """
    count = y.shape[1]
    everyone = np.arange(y.shape[0])
    top = np.argmax(y, axis=1)
    value, where = y[everyone, top], x[everyone, top]
    rising = slope[everyone, top] > 0.0
    at = np.where(rising, top, top - 1)
    inside = (at >= 0) & (at < count - 1)
    rows, at = everyone[inside], at[inside]
    falls = (slope[rows, at] > 0.0) & (slope[rows, at + 1] <= 0.0)
    rows, at = rows[falls], at[falls]
    if rows.size:
        place = refine(x, slope, rows, at)
        value[rows] = np.maximum(value[rows], hermite(x, y, slope, rows, at, place))
        where[rows] = place
    return value, where


def hermite(x: Real, y: Real, slope: Real, rows: Index, at: Index, place: Real) -> Real:
    """Values between samples `at` and `at + 1` of the rows, by cubic Hermite interpolation."""
    width = x[rows, at + 1] - x[rows, at]
    t = (place - x[rows, at]) / width
    y0, y1 = y[rows, at], y[rows, at + 1]
    s0, s1 = slope[rows, at] * width, slope[rows, at + 1] * width
    bend = 2.0 * (y0 - y1) + s0 + s1
    result: Real = y0 + t * (s0 + t * (3.0 * (y1 - y0) - 2.0 * s0 - s1 + t * bend))
    return result


def peak(x: Real, y: Real) -> tuple[Real, Real]:
    """Greatest value of y and where, per row (B,), on the parabola through three samples.

    Error of order h³ in the place, h⁴ in the value; the sample itself next to a corner.
    """
    everyone = np.arange(y.shape[0])
    top = np.argmax(y, axis=1)
    value, where = y[everyone, top], x[everyone, top]
    inside = (top > 0) & (top < y.shape[1] - 1)
    rows, mid = everyone[inside], top[inside]
    left, right = x[rows, mid] - x[rows, mid - 1], x[rows, mid + 1] - x[rows, mid]
    rise = (y[rows, mid] - y[rows, mid - 1]) / left
    fall = (y[rows, mid + 1] - y[rows, mid]) / right
    bend = (fall - rise) / (left + right)
    slope = (rise * right + fall * left) / (left + right)
    with np.errstate(divide="ignore", invalid="ignore"):
        shift = -0.5 * slope / bend
    even = np.abs(left - right) < _UNEVEN * left
    good = even & np.isfinite(shift) & (bend < 0.0)
    rows, shift, slope, bend = rows[good], shift[good], slope[good], bend[good]
    value[rows] += shift * (slope + bend * shift)
    where[rows] += shift
    return value, where
