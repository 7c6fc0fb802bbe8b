"""Quantiles of many rows at once, and shares of counts with their uncertainty."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_CONFIDENCE = 1.959964
"""Standard deviations of a normal law that hold 95 %."""


def quantiles(rows: NDArray[np.floating], levels: Sequence[float]) -> Array:
    """Quantiles (L, K) of rows (K, B), between order statistics in proportion; NaN is not counted.

    A row of nothing but NaN has NaN quantiles.
    """
    ranked = np.sort(rows, axis=1)
    counts = ranked.shape[1] - np.isnan(ranked).sum(axis=1)
    found = np.full((len(levels), len(rows)), np.nan)
    some = np.flatnonzero(counts)
    for level, values in zip(levels, found, strict=True):
        place = level * (counts[some] - 1)
        low = place.astype(np.intp)
        high = np.minimum(low + 1, counts[some] - 1)
        below, above = ranked[some, low], ranked[some, high]
        # An infinity is taken as it is: two of them, or nothing of one, would make a NaN.
        alike = (below == above) | (place == low)
        with np.errstate(invalid="ignore"):
            values[some] = np.where(alike, below, below + (place - low) * (above - below))
    return found


def deviations(rows: NDArray[np.floating]) -> Array:
    """Standard deviations (K,) of rows (K, B), from the rows' own means; NaN is not counted.

    NaN for a row of nothing but NaN, or with an infinity.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        counts = np.sum(~np.isnan(rows), axis=1)
        means = np.nansum(rows, axis=1) / counts
        found: Array = np.sqrt(np.nansum((rows - means[:, None]) ** 2, axis=1) / counts)
    return np.where(np.isfinite(means), found, np.nan)


@dataclass(frozen=True, slots=True)
class Share:
    """`count` out of `of`, with the 95 % interval (Wilson's) that a sample of this size leaves.

    The interval is that of independent copies; a quasi-random sample is nearer to the truth.
    """

    count: int
    of: int
    low: float
    high: float

    @classmethod
    def counted(cls, count: int, of: int) -> Share:
        """The share with its interval; of nothing at all it is 0 … 1."""
        if of == 0:
            return cls(0, 0, 0.0, 1.0)
        z2 = _CONFIDENCE**2 / of
        share = count / of
        middle = share + 0.5 * z2
        half = math.sqrt(z2 * (share * (1.0 - share) + 0.25 * z2))
        # Exact at the ends, where rounding would leave 1e-17.
        low = 0.0 if count == 0 else (middle - half) / (1.0 + z2)
        high = 1.0 if count == of else (middle + half) / (1.0 + z2)
        return cls(count, of, low, high)

    @property
    def share(self) -> float:
        """The share itself, 0 … 1; NaN of nothing."""
        return self.count / self.of if self.of else math.nan
