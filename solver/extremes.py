"""The extremes of a batch's curves that readings are made of, all found in two passes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.crossings import highest, peak
from solver.motion import Motion

Values = NDArray[np.float64]
Extreme = tuple[Values, Values]
"""Values (B,) and where, travel in rad, (B,)."""


@dataclass(frozen=True, slots=True)
class Extremes:
    """Greatest values over the throw, and the least of the springs' lengths.

    energy: N·mm; longest, shortest: of each spring, mm (torsion: twist, rad); spring_forces: of
    each spring, N (torsion: N·mm); effort_to_b, effort_to_a: torque against the hand, N·mm;
    pin_loads: N, in the order of `Motion.pins`.
    """

    energy: Extreme
    longest: list[Extreme]
    shortest: list[Extreme]
    effort_to_b: Extreme
    effort_to_a: Extreme
    spring_forces: list[Extreme]
    pin_loads: list[Extreme]

    @classmethod
    def of(cls, motion: Motion) -> Extremes:
        """Find them all."""
        springs, torque, thrown = motion.springs, motion.torque, motion.friction_thrown
        count, shape = len(springs), torque.shape
        # Of these the slope is known too.
        curves = np.empty((1 + 2 * count, *shape))
        slopes = np.empty_like(curves)
        curves[0] = motion.energy
        np.negative(torque, out=slopes[0])
        for at, run in enumerate(springs, 1):
            curves[at], slopes[at] = run.length, run.slope
            np.negative(run.length, out=curves[at + count])
            np.negative(run.slope, out=slopes[at + count])
        energy, *lengths = zip(*highest(motion.travel, curves, slopes), strict=True)
        curves = np.empty((2 + count + len(motion.loads), *shape))
        np.subtract(thrown, torque, out=curves[0])
        np.add(thrown, torque, out=curves[1])
        for at, run in enumerate(springs, 2):
            np.abs(run.force, out=curves[at])
        for at, load in enumerate(motion.loads, 2 + count):
            curves[at] = load
        to_b, to_a, *others = zip(*peak(motion.travel, curves), strict=True)
        return cls(
            energy=energy,
            longest=lengths[:count],
            shortest=[(-negative, where) for negative, where in lengths[count:]],
            effort_to_b=to_b,
            effort_to_a=to_a,
            spring_forces=others[:count],
            pin_loads=others[count:],
        )
