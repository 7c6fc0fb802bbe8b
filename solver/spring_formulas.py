"""What wire, coils and ends say about a spring: index, rate, solid length.

The formulas are those of EN 13906, recalled from memory and not seen in the standard; the rate
of helical springs in the same form is worked through in Shigley, Mechanical Engineering Design,
problem 10-3 (read), against which the tests check it. Plain floats: mm, N, N/mm².
"""

from __future__ import annotations

import math

SHEAR_PATENTED, SHEAR_STAINLESS = 81_500.0, 73_000.0
"""Shear moduli (N/mm²) of patented drawn wire, EN 10270-1 (read on a secondary page), and of
stainless 1.4310, EN 10270-3 (recalled from memory; it varies between editions)."""

ELASTIC_PATENTED, ELASTIC_STAINLESS = 206_000.0, 185_000.0
"""Moduli of elasticity (N/mm²) of the same two, from the same places."""

USUAL_INDEX = (4.0, 20.0)
"""The spring indices that EN 15800 covers for cold-coiled compression springs (its scope, read);
for extension and torsion springs the same is common practice, no source."""

END_COILS = 2.0
"""Coils of a cold-coiled compression spring, closed at its ends, that do not work: EN 13906-1,
n_t = n + 2, recalled from memory."""

_UNGROUND = 1.5


def spring_index(wire: float, mean: float) -> float:
    """The spring index w = D/d: mean diameter of the coils over that of the wire (mm)."""
    return mean / wire


def coil_rate(wire: float, mean: float, working: float, shear: float) -> float:
    """Rate (N/mm) of a compression or an extension spring: R = G d⁴ / (8 D³ n).

    EN 13906-1 and -2, from memory; `working` coils only, `shear` modulus in N/mm².
    """
    return shear * wire**4 / (8.0 * mean**3 * working)


def torsion_rate(wire: float, mean: float, coils: float, elastic: float) -> float:
    """Rate (N·mm per degree) of a torsion spring's coils: R = E d⁴ / (64 D n), per radian.

    EN 13906-3, from memory, where 64 · 180/π stands as 3667; the bending of the legs is left out.
    """
    return math.radians(elastic * wire**4 / (64.0 * mean * coils))


def solid_lengths(wire: float, coils: float) -> tuple[float, float]:
    """Solid length (mm) of a cold-coiled compression spring with ends ground, and not ground.

    EN 13906-1, from memory: L_c = n_t d and (n_t + 1.5) d, with all coils n_t.
    """
    return coils * wire, (coils + _UNGROUND) * wire
