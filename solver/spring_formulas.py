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


def torsion_rate(
    wire: float, mean: float, coils: float, elastic: float, legs: float = 0.0
) -> float:
    """Rate (N·mm per degree) of a torsion spring: R = E d⁴ / (64 D n_a), per radian.

    EN 13906-3, from memory, where 64 · 180/π stands as 3667. Of straight legs that bend, loaded
    `legs` mm from the axis, both together, n_a = n + (L1 + L2) / (3 π D): Shigley, Mechanical
    Engineering Design, section 10-12, from memory. Derived: a cantilever loaded at its end, F at
    L, bends there by F L³ / 3EI, seen from the axis an angle of M L / 3EI with M = F L; a coil
    turns by M π D / EI, so a leg counts for L / (3 π D) of them.
    """
    active = coils + legs / (3.0 * math.pi * mean)
    return math.radians(elastic * wire**4 / (64.0 * mean * active))


def bending_stress(wire: float, moment: float) -> float:
    """Stress (N/mm²) in a torsion spring's wire: σ = 32 M / (π d³), for `moment` in N·mm.

    EN 13906-3, from memory: the plain bending stress of a round bar; what the curvature adds on
    the inside is left out.
    """
    return 32.0 * moment / (math.pi * wire**3)


def shear_stress(wire: float, mean: float, force: float) -> float:
    """Stress (N/mm²) in a compression or an extension spring's wire: τ = 8 D F / (π d³).

    EN 13906-1 and -2, from memory: the plain shear stress of a round bar twisted by F D / 2; what
    the curvature adds on the inside is left out.
    """
    return 8.0 * mean * force / (math.pi * wire**3)


def solid_lengths(wire: float, coils: float) -> tuple[float, float]:
    """Solid length (mm) of a cold-coiled compression spring with ends ground, and not ground.

    EN 13906-1, from memory: L_c = n_t d and (n_t + 1.5) d, with all coils n_t.
    """
    return coils * wire, (coils + _UNGROUND) * wire
