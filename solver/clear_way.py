"""How clear the lever's way home is, as one number that changes smoothly with the design."""

from __future__ import annotations

import numpy as np

from solver.crossings import Crossings
from solver.planar import Real


def clear_way(drive_a: Real, drive_b: Real, to_a: Crossings, to_b: Crossings) -> Real:
    """Least slope of the driving torque from the edge of the hang zone, N·mm per rad, (B,).

    drive_a, drive_b: torque beyond friction towards A and B, N·mm, (B, N); to_a, to_b: their
    zeros. Taken is the least of this torque over the distance from where the lever first drives
    itself that way, of both ways. It is positive where the lever has one hang zone around one
    dead centre and no other place to stay, and else negative or zero; a count of such places
    would not change smoothly. Positions within half a spacing of the edge are left out, so that
    rounding is not blown up there; the next one has the same slope.
    """
    x = to_a.x
    throw = x[:, -1]
    least = 0.5 * throw[:, None] / (x.shape[1] - 1)
    to_rest_a = _least_slope(drive_a, to_a.last_fall()[:, None] - x, least)
    to_rest_b = _least_slope(drive_b, x - to_b.first_rise()[:, None], least)
    # The torque at the rest itself counts over the whole throw: it comes to nothing, and so does
    # this, where the stretch that leads to the rest vanishes.
    at_rests = np.minimum(drive_a[:, 0], drive_b[:, -1]) / throw
    result: Real = np.minimum(np.minimum(to_rest_a, to_rest_b), at_rests)
    return result


def _least_slope(drive: Real, away: Real, least: Real) -> Real:
    slope = drive / away
    slope[~(away > least)] = np.inf
    result: Real = slope.min(axis=1)
    return result
