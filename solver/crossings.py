"""Zeros and extremes between samples, so that readings change smoothly with the geometry.

A batch of sampled functions y(x), arrays (B, N), x rising along each row. Zeros are refined on
the cubic through the four nearest samples: the error falls with the fourth power of the spacing
h (below 1e-9 rad for 181 positions over a 90° throw). A pair of samples much closer than the
others marks a corner in y, or a jump; there the four samples are all taken from one side of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.planar import Real

Index = NDArray[np.intp]

_UNEVEN = 1e-6
"""Relative difference of spacings up to which samples count as evenly spaced."""

_CORNER = 20.0
"""Ratio of spacings beyond which samples straddle a corner."""


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
    share = np.where(even & np.isfinite(s), s - low, share)
    if not even.all():
        share[~even] = _beside_corner(x, y, rows[~even], at[~even], share[~even])
    return share


def _beside_corner(x: Real, y: Real, rows: Index, at: Index, share: Real) -> Real:
    """The same where samples straddle a corner: on a cubic through samples on one side of it.

    Of the windows of four samples around the interval, the one whose closest pair is widest is
    taken. The straight line stays where every window straddles a corner.
    """
    firsts = np.clip(at[:, None] - np.array([1, 2, 0]), 0, x.shape[1] - 4)
    windows = firsts[:, :, None] + np.arange(4)
    steps = np.diff(x[rows[:, None, None], windows], axis=2)
    best = np.argmax(steps.min(axis=2), axis=1)
    window = np.take_along_axis(windows, best[:, None, None], axis=1)[:, 0]
    clear = np.take_along_axis(steps, best[:, None, None], axis=1)[:, 0]
    clear_of_it = _CORNER * clear.min(axis=1) > clear.max(axis=1)
    x0 = x[rows, at]
    width = x[rows, at + 1] - x0
    with np.errstate(divide="ignore", invalid="ignore"):
        nodes = (x[rows[:, None], window] - x0[:, None]) / width[:, None]
        d1, d2, d3 = _divided(y[rows[:, None], window], nodes)
        n0, n1, n2 = nodes[:, 0], nodes[:, 1], nodes[:, 2]
        s = share
        for _ in range(4):
            t0, t1, t2 = s - n0, s - n1, s - n2
            value = y[rows, window[:, 0]] + t0 * (d1 + t1 * (d2 + t2 * d3))
            slope = d1 + (t0 + t1) * d2 + (t0 * t1 + t0 * t2 + t1 * t2) * d3
            s = np.clip(s - value / slope, 0.0, 1.0)
    return np.where(clear_of_it & np.isfinite(s), s, share)


def _divided(values: Real, nodes: Real) -> tuple[Real, Real, Real]:
    """First entries of the divided differences of order 1 to 3 over four nodes a row."""
    d1 = (values[:, 1:] - values[:, :-1]) / (nodes[:, 1:] - nodes[:, :-1])
    d2 = (d1[:, 1:] - d1[:, :-1]) / (nodes[:, 2:] - nodes[:, :-2])
    d3 = (d2[:, 1] - d2[:, 0]) / (nodes[:, 3] - nodes[:, 0])
    return d1[:, 0], d2[:, 0], d3


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

    Error of order h² in the place, h³ in the value. At an end of the row, and beside a corner,
    the three samples are those on the near side, and the sample itself stays where their
    parabola rises beyond it.
    """
    everyone = np.arange(y.shape[0])
    top = np.argmax(y, axis=1)
    value, where = y[everyone, top], x[everyone, top]
    last = y.shape[1] - 1
    if last < 2:
        return value, where
    left, right = _steps_around(x, everyone, np.clip(top, 1, last - 1))
    mid = np.where((top == last) | (right * _CORNER < left), top - 1, top)
    mid = np.where((top == 0) | (left * _CORNER < right), top + 1, mid)
    mid = np.clip(mid, 1, last - 1)
    left, right = _steps_around(x, everyone, mid)
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = (y[everyone, mid] - y[everyone, mid - 1]) / left
        fall = (y[everyone, mid + 1] - y[everyone, mid]) / right
        bend = (fall - rise) / (left + right)
        slope = (rise * right + fall * left) / (left + right)
        shift = -0.5 * slope / bend
    good = (bend < 0.0) & (shift >= -left) & (shift <= right)
    good &= np.maximum(left, right) < _CORNER * np.minimum(left, right)
    rows, mid, shift = everyone[good], mid[good], shift[good]
    value[rows] = y[rows, mid] + shift * (slope[good] + bend[good] * shift)
    where[rows] = x[rows, mid] + shift
    return value, where


def _steps_around(x: Real, rows: Index, mid: Index) -> tuple[Real, Real]:
    """Spacings before and after a sample of each row."""
    here = x[rows, mid]
    return here - x[rows, mid - 1], x[rows, mid + 1] - here
