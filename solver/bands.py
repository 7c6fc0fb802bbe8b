"""The band that the curves of many copies fill, on the nominal travel axis."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from solver.motion import Motion
from solver.planar import Real
from solver.quantiles import quantiles

Curves = NDArray[np.float64]

LEVELS = (0.05, 0.5, 0.95)
"""The quantiles of bands and readings: 90 of 100 copies are between the outer two."""


@dataclass(frozen=True, slots=True)
class Bands:
    """Quantiles (3, N), by `LEVELS`, over the travel (N,) from rest A of the nominal copy, degrees.

    energy: N·mm, each copy's least value zero; effort_to_b, effort_to_a: N at the grip, friction
    included. Copies are laid over each other by their share of the throw, so that every one
    starts at rest A and ends at rest B although its stops are off. NaN without a sound copy.
    """

    travel: Curves
    energy: Curves
    effort_to_b: Curves
    effort_to_a: Curves


@dataclass(slots=True)
class BandRecorder:
    """Takes the curves of a batch chunk by chunk; single precision will do for a band."""

    copies: int
    positions: int
    _curves: NDArray[np.float32] = field(init=False)

    def __post_init__(self) -> None:
        self._curves = np.full((3, self.positions, self.copies), np.nan, dtype=np.float32)

    def take(self, chunk: slice, motion: Motion) -> None:
        """Note the curves of one chunk; copies that lock are left out."""
        arm, torque = motion.arm, motion.torque
        energy = motion.energy - motion.energy.min(axis=1, keepdims=True)
        thrown = motion.friction_thrown
        curves = (energy, (thrown - torque) / arm, (thrown + torque) / arm)
        sound = motion.solved & np.isfinite(torque).all(axis=1)
        with np.errstate(over="ignore"):  # next to a lock forces have no bound
            for place, curve in enumerate(_evenly(motion.travel, curves)):
                self._curves[place, :, chunk] = curve.T
        self._curves[:, :, chunk][:, :, ~sound] = np.nan

    def bands(self, throw: float) -> Bands:
        """The quantiles of all that was taken, over a nominal throw in degrees."""
        travel = np.linspace(0.0, throw, self.positions)
        energy, to_b, to_a = (quantiles(rows, LEVELS) for rows in self._curves)
        return Bands(travel, energy, to_b, to_a)


def _evenly(travel: Real, curves: tuple[Real, ...]) -> tuple[Real, ...]:
    """The curves at evenly spaced positions, where some were moved to a spring's let-go."""
    count = travel.shape[1]
    even = np.linspace(0.0, 1.0, count)
    share = travel / travel[:, -1:]
    rows = np.flatnonzero(np.abs(share - even).max(axis=1) > 1e-12)
    if not rows.size:
        return curves
    # One rising axis for all rows: each has its own stretch of length 1, two apart.
    base = 2.0 * np.arange(rows.size)[:, None]
    known, wanted = (base + share[rows]).ravel(), (base + even).ravel()
    result = []
    for curve in curves:
        moved = curve.copy()
        moved[rows] = np.interp(wanted, known, curve[rows].ravel()).reshape(rows.size, count)
        result.append(moved)
    return tuple(result)
