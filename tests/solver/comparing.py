"""Comparing the readings of two designs, on the scale of what the designs do."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.model import Design
from solver.motion import Motion
from solver.readings import ReadingKind, catalogue, measure
from solver.units import Quantity
from tests.solver.linkages import motion_of

STEEP_ENOUGH = 0.02
"""Least slope, per rad of the throw, of a sign change whose place is compared."""
ADVANTAGE = 1e3
"""An advantage above this belongs to a point that stands still; its size is rounding."""


@dataclass(frozen=True)
class Taken:
    """A design's motion and readings with the scale of each quantity."""

    design: Design
    motion: Motion
    values: dict[str, float]
    scales: dict[str, float]

    @property
    def kinds(self) -> dict[str, ReadingKind]:
        """The readings by key."""
        return {kind.key: kind for kind in catalogue(self.design)}


def taken(design: Design, positions: int = 181) -> Taken:
    """Readings of a design and the size of the forces, torques and energies behind them."""
    motion = motion_of(design, positions)
    measures = measure(motion)
    values = {key: float(value[0]) for key, value in measures.values.items()}
    arm = float(motion.arm[0, 0])
    forces = [np.max(np.abs(load)) for load in motion.loads]
    forces += [np.max(np.abs(run.force)) for run in motion.springs if run.turning is not None]
    force = float(max(forces, default=0.0))
    torque = float(np.max(np.abs(motion.torque) + motion.friction_thrown)) + force * 10.0
    energy = float(np.max(np.abs(motion.energy))) + torque
    scales = {
        "force": force + torque / min(arm, 50.0),
        "torque": torque + force * 100.0,
        "energy": energy,
        "length": 300.0,
        "angle": 180.0,
        "ratio": 10.0,
    }
    return Taken(design, motion, values, scales)


def decided(this: Taken) -> bool:
    """Whether a hair's change leaves as many dead centres, hang zones and rests as before.

    Readings jump where the lever just begins, or ceases, to hold itself somewhere; there two
    computations may differ by all of the reading without either being wrong.
    """
    motion = this.motion
    if not motion.solved[0]:
        return False
    torque, friction, x = motion.torque[0], motion.friction[0], motion.travel[0]
    scale = np.max(np.abs(torque) + friction)
    if scale < 1e-3:
        return False
    sure = (_sure(x, y, scale) for y in (torque, torque - friction, torque + friction))
    if not all(sure):
        return False
    return _one_top(motion.energy[0])


def _sure(x: NDArray[np.float64], y: NDArray[np.float64], scale: float) -> bool:
    hair = 1e-5 * scale
    if not np.array_equal(y > hair, y > -hair):
        return False
    at = np.nonzero((y[1:] > 0.0) != (y[:-1] > 0.0))[0]
    width = np.diff(x)[at]
    slopes = np.abs(np.diff(y)[at]) / np.maximum(width, 1e-12)
    return bool(np.all(slopes > STEEP_ENOUGH * scale))


def _one_top(energy: NDArray[np.float64]) -> bool:
    """Whether one place only has (nearly) the greatest energy."""
    near = np.nonzero(energy >= energy.max() - 1e-5 * np.ptp(energy))[0]
    return bool(near[-1] - near[0] < 8)


def differences(
    one: Taken,
    other: Taken,
    tolerance: float,
    times: Callable[[Quantity, str], float] = lambda quantity, key: 1.0,
    renamed: Mapping[str, str] | None = None,
    shifted: Callable[[str, float], float] = lambda key, value: value,
) -> list[str]:
    """Readings of `other` that are not those of `one` times their factor, in words.

    `renamed` gives the key in `other` where it differs; `shifted` changes a value of `one`.
    """
    wrong = []
    for key, kind in one.kinds.items():
        there = (renamed or {}).get(key, key)
        value = shifted(key, one.values[key]) * times(kind.quantity, key)
        found = other.values[there]
        scale = one.scales[kind.quantity] * times(kind.quantity, key)
        if kind.quantity == "ratio" and abs(value) > ADVANTAGE and abs(found) > ADVANTAGE:
            continue
        if kind.quantity == "ratio":
            scale = max(scale, value**2)
        if math.isnan(value) and math.isnan(found):
            continue
        if not abs(found - value) <= tolerance * scale:
            wrong.append(f"{key}: {value!r} became {found!r} (scale {scale:.3g})")
    return wrong
