"""Zeros and extremes between samples, so that readings change smoothly with the geometry.

A batch of sampled functions y(x), arrays (B, N), x rising along each row. Zeros are refined on
the cubic through the four nearest samples: the error falls with the fourth power of the spacing
h (below 1e-9 rad for 181 positions over a 90° throw). A pair of samples much closer than the
others marks a corner in y, or a jump; there the four samples are all taken from one side of it.

Several functions over the same x are best looked at together, y of the shape (…, B, N). Inside,
they are the rows of one table, and row r of it goes with row r % B of x.
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
_ROUNDING = 1e-9
"""Share of a value by which rounding may part two that are equal, with much to spare."""


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
        return cls.of_each(x, y[None])[0]

    @classmethod
    def of_each(cls, x: Real, ys: Real) -> list[Crossings]:
        """The same of several functions (S, B, N) over one x."""
        count, designs, samples = ys.shape
        y = ys.reshape(-1, samples)
        above = y > 0.0
        rows, at = np.divmod(np.flatnonzero(above[:, 1:] != above[:, :-1]), max(samples - 1, 1))
        if rows.size:
            real = ~np.isnan(y[rows, at] + y[rows, at + 1])
            rows, at = rows[real], at[real]
        where, rising = refine(x, y, rows, at), above[rows, at + 1]
        found = []
        for first in range(0, count * designs, designs):
            mine = slice(*rows.searchsorted((first, first + designs)))
            part = rows[mine] - first, at[mine], where[mine], rising[mine]
            found.append(cls(x, above[first : first + designs], *part))
        return found

    def positive_measure(self) -> Real:
        """Total length of x, per row (B,), over which y is positive."""
        total: Real = np.where(self.above[:, -1], self.x[:, -1], 0.0)
        total -= np.where(self.above[:, 0], self.x[:, 0], 0.0)
        ends = np.where(self.rising, -self.where, self.where)
        return total + np.bincount(self.rows, ends, len(total))

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
    mine = rows % len(x)
    x0, y0 = x[mine, at], y[rows, at]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = y0 / (y0 - y[rows, at + 1])
    share = np.where(np.isfinite(share), share, 0.5)
    if x.shape[1] >= 4 and rows.size:
        share = _on_cubic(x, y, rows, at, share)
    result: Real = x0 + share * (x[mine, at + 1] - x0)
    return result


def _on_cubic(x: Real, y: Real, rows: Index, at: Index, share: Real) -> Real:
    """Newton's method from the straight-line zero `share` (0 … 1), kept within the bracket."""
    first, xs, ys = _four(x, y, rows, at)
    a1, a2, a3 = _powers(ys)
    low = (at - first).astype(np.float64)
    s = low + share
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(3):
            value = ys[0] + s * (a1 + s * (a2 + s * a3))
            s = s - value / (a1 + s * (2.0 * a2 + s * 3.0 * a3))
            s = np.minimum(np.maximum(s, low), low + 1.0)
    even = _evenly(xs)
    share = np.where(even & np.isfinite(s), s - low, share)
    if not even.all():
        share[~even] = _beside_corner(x, y, rows[~even], at[~even], share[~even])
    return share


def _four(x: Real, y: Real, rows: Index, at: Index) -> tuple[Index, Real, Real]:
    """The four samples around the intervals `at` of K rows: the first's index, xs and ys (4, K)."""
    first = np.minimum(np.maximum(at - 1, 0), y.shape[1] - 4)
    window = first + _FOUR
    return first, x[rows % len(x), window], y[rows, window]


_FOUR: Index = np.arange(4)[:, None]


def _evenly(xs: Real) -> NDArray[np.bool_]:
    """Whether four samples (4, K) are evenly spaced."""
    steps = xs[1:] - xs[:-1]
    result: NDArray[np.bool_] = np.abs(steps[1:] - steps[0]).max(axis=0) < _UNEVEN * steps[0]
    return result


def _powers(ys: Real) -> tuple[Real, Real, Real]:
    """Coefficients of s, s², s³ of the cubic through four samples (4, K), s from the first on."""
    d1 = ys[1:] - ys[:-1]
    d2 = d1[1:] - d1[:-1]
    d3 = d2[1] - d2[0]
    return d1[0] - d2[0] / 2.0 + d3 / 3.0, (d2[0] - d3) / 2.0, d3 / 6.0


def _beside_corner(x: Real, y: Real, rows: Index, at: Index, share: Real) -> Real:
    """The same where samples are not evenly spaced; the straight line stays between corners."""
    cubic = _Cubic.through(x, y, rows, at)
    s = share
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(4):
            s = np.clip(s - cubic.value(s) / cubic.slope(s), 0.0, 1.0)
    return np.where(cubic.clear & np.isfinite(s), s, share)


@dataclass(frozen=True, slots=True)
class _Cubic:
    """Cubics in s, 0 … 1 over the intervals `at` of some rows, in Newton's divided form.

    Each goes through four samples around its interval, all on one side of a corner; `clear` is
    whether there are such. nodes: (K, 4) the samples' s; y0, d1, d2, d3: (K,) the coefficients.
    """

    nodes: Real
    y0: Real
    d1: Real
    d2: Real
    d3: Real
    clear: NDArray[np.bool_]

    @classmethod
    def through(cls, x: Real, y: Real, rows: Index, at: Index) -> _Cubic:
        mine = rows % len(x)
        firsts = np.clip(at[:, None] - np.array([1, 2, 0]), 0, x.shape[1] - 4)
        windows = firsts[:, :, None] + np.arange(4)
        steps = np.diff(x[mine[:, None, None], windows], axis=2)
        clear = _CORNER * steps.min(axis=2) > steps.max(axis=2)
        best = np.argmax(clear, axis=1)[:, None]
        window = np.take_along_axis(windows, best[:, :, None], axis=1)[:, 0]
        x0 = x[mine, at][:, None]
        with np.errstate(divide="ignore", invalid="ignore"):
            nodes = (x[mine[:, None], window] - x0) / (x[mine, at + 1][:, None] - x0)
            values = y[rows[:, None], window]
            d1 = np.diff(values, axis=1) / np.diff(nodes, axis=1)
            d2 = np.diff(d1, axis=1) / (nodes[:, 2:] - nodes[:, :-2])
            d3 = (d2[:, 1] - d2[:, 0]) / (nodes[:, 3] - nodes[:, 0])
        fits = np.take_along_axis(clear, best, axis=1)[:, 0]
        return cls(nodes, values[:, 0], d1[:, 0], d2[:, 0], d3, fits)

    def value(self, s: Real) -> Real:
        t0, t1, t2 = (s - self.nodes[:, i] for i in range(3))
        result: Real = self.y0 + t0 * (self.d1 + t1 * (self.d2 + t2 * self.d3))
        return result

    def slope(self, s: Real) -> Real:
        t0, t1, t2 = (s - self.nodes[:, i] for i in range(3))
        return self.d1 + (t0 + t1) * self.d2 + (t0 * t1 + t0 * t2 + t1 * t2) * self.d3

    def bend(self, s: Real) -> Real:
        t0, t1, t2 = (s - self.nodes[:, i] for i in range(3))
        return 2.0 * (self.d2 + (t0 + t1 + t2) * self.d3)


def highest(x: Real, y: Real, slope: Real) -> tuple[Real, Real]:
    """Greatest values of y (…, B, N) and where, (…, B), from samples of y and of its slope.

    Between samples y is the cubic that has these values and slopes (Hermite).
    """
    *shape, count = y.shape
    y, slope = y.reshape(-1, count), slope.reshape(-1, count)
    everyone = np.arange(len(y))
    top = np.argmax(y, axis=1)
    value, where = y[everyone, top], x[everyone % len(x), top]
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
    return value.reshape(shape), _first(x, y, value, where).reshape(shape)


def _first(x: Real, y: Real, value: Real, where: Real) -> Real:
    """Where the greatest values (R,) are: at the start where that ties with a later place.

    Otherwise the rest that a symmetric design is said to have them at would be rounding's choice.
    """
    start = x[np.arange(len(y)) % len(x), 0]
    result: Real = np.where(exceeds(value, y[:, 0]), where, start)
    return result


def exceeds(one: Real, other: Real) -> NDArray[np.bool_]:
    """Whether values are greater than others, by more than rounding makes of equal ones."""
    result: NDArray[np.bool_] = one > other + _ROUNDING * np.abs(other)
    return result


def hermite(x: Real, y: Real, slope: Real, rows: Index, at: Index, place: Real) -> Real:
    """Values between samples `at` and `at + 1` of the rows, by cubic Hermite interpolation."""
    mine = rows % len(x)
    x0 = x[mine, at]
    width = x[mine, at + 1] - x0
    t = (place - x0) / width
    y0, y1 = y[rows, at], y[rows, at + 1]
    s0, s1 = slope[rows, at] * width, slope[rows, at + 1] * width
    bend = 2.0 * (y0 - y1) + s0 + s1
    result: Real = y0 + t * (s0 + t * (3.0 * (y1 - y0) - 2.0 * s0 - s1 + t * bend))
    return result


def peak(x: Real, y: Real) -> tuple[Real, Real]:
    """Greatest values of y (…, B, N) and where, (…, B), on the cubic through the nearest samples.

    Error of order h³ in the place, h⁴ in the value. At an end of the row, and beside a corner,
    the samples are those on the near side; the sample itself stays where y rises beyond it.
    """
    *shape, count = y.shape
    y = y.reshape(-1, count)
    everyone = np.arange(len(y))
    top = np.argmax(y, axis=1)
    value, where = y[everyone, top], x[everyone % len(x), top]
    if count < 4:
        return value.reshape(shape), _first(x, y, value, where).reshape(shape)
    mid = np.minimum(np.maximum(top, 1), count - 2)
    at = mid - (y[everyone, mid + 1] < y[everyone, mid - 1])
    first, xs, ys = _four(x, y, everyone, at)
    even = _evenly(xs)
    a1, a2, a3 = _powers(ys)
    with np.errstate(divide="ignore", invalid="ignore"):
        # The zero of the slope at which the bend is negative, in the form that cancels least.
        s = a1 / (np.sqrt(a2 * a2 - 3.0 * a3 * a1) - a2)
        height = ys[0] + s * (a1 + s * (a2 + s * a3))
        good = even & (np.abs(s - (at - first) - 0.5) <= 0.5) & (height >= value)
    result = (
        np.where(good, height, value),
        np.where(good, xs[0] + s * (xs[1] - xs[0]), where),
    )
    if not even.all():
        rough = everyone[~even]
        for part, found in zip(result, _peak_beside_corner(x, y, top, rough), strict=True):
            part[rough] = found
    value, where = result
    return value.reshape(shape), _first(x, y, value, where).reshape(shape)


def _peak_beside_corner(x: Real, y: Real, top: Index, rows: Index) -> tuple[Real, Real]:
    """The same, for some rows, where samples are not evenly spaced."""
    mine = rows % len(x)
    value, where = y[rows, top[rows]], x[mine, top[rows]]
    mid, shift, good = _vertex(x[mine], y[rows], top[rows])
    at = np.where(good & (shift < 0.0), mid - 1, mid)
    x0, width = x[mine, at], x[mine, at + 1] - x[mine, at]
    cubic = _Cubic.through(x, y, rows, at)
    with np.errstate(divide="ignore", invalid="ignore"):
        s = (x[mine, mid] + shift - x0) / width
        for _ in range(3):
            s = np.clip(s - cubic.slope(s) / cubic.bend(s), 0.0, 1.0)
        height = cubic.value(s)
        good &= cubic.clear & (height >= value)
    return np.where(good, height, value), np.where(good, x0 + s * width, where)


def _vertex(x: Real, y: Real, top: Index) -> tuple[Index, Real, NDArray[np.bool_]]:
    """Middle sample and vertex of the parabola through three samples around the greatest.

    Returns the sample (B,), the vertex's distance from it, and whether there is a vertex between
    the three. The three avoid a corner beside the greatest, and the ends of the row.
    """
    everyone, last = np.arange(y.shape[0]), y.shape[1] - 1
    left, right = _steps_around(x, everyone, np.clip(top, 1, last - 1))
    mid = np.where((top == last) | (right * _CORNER < left), top - 1, top)
    mid = np.where((top == 0) | (left * _CORNER < right), top + 1, mid)
    mid = np.clip(mid, 1, last - 1)
    left, right = _steps_around(x, everyone, mid)
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = (y[everyone, mid] - y[everyone, mid - 1]) / left
        fall = (y[everyone, mid + 1] - y[everyone, mid]) / right
        bend = (fall - rise) / (left + right)
        shift = -0.5 * (rise * right + fall * left) / (left + right) / bend
    good = (bend < 0.0) & (shift >= -left) & (shift <= right)
    good &= np.maximum(left, right) < _CORNER * np.minimum(left, right)
    return mid, shift, good


def _steps_around(x: Real, rows: Index, mid: Index) -> tuple[Real, Real]:
    """Spacings before and after a sample of each row."""
    here = x[rows, mid]
    return here - x[rows, mid - 1], x[rows, mid + 1] - here
