"""The wire of a spring in words: the steel that its rate is taken to be of, and its stress.

For information: what a wire bears depends on its grade, its thickness and how it was wound, so
the maker has to be asked. Nothing here moves a reading.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from solver.model import CompressionSpring, Design, Spring, TorsionSpring
from solver.spring_data import RATE_OFF, mean_diameter, steel_rates
from solver.spring_formulas import bending_stress, shear_stress
from solver.spring_work import SpringWork
from solver.torsion_shape import bearing


def wire_words(design: Design, spring: Spring) -> str:
    """The wire that its rate is taken to be of, "" where it fits none or too little is known.

    Carbon steel where that fits, as most springs from stock.
    """
    rates = steel_rates(spring, bearing(design, spring))
    if rates is None:
        return ""
    stainless, patented = (abs(spring.rate / rate - 1.0) <= RATE_OFF for rate in rates)
    if patented:
        return "spring steel EN 10270-1"
    return "stainless EN 10270-3" if stainless else ""


def stress(spring: Spring, load: float) -> float | None:
    """Stress (N/mm²) of the wire at a force (N) or a torsion spring's moment (N·mm).

    Bending for a torsion spring, shear for the others, without the curvature's share; None where
    wire or diameter is not known.
    """
    mean = mean_diameter(spring)
    if spring.wire is None or mean is None or mean <= 0.0:
        return None
    if isinstance(spring, TorsionSpring):
        return bending_stress(spring.wire, load)
    return shear_stress(spring.wire, mean, load)


def stresses(spring: Spring, work: SpringWork) -> Iterator[tuple[str, float]]:
    """At what, and the stress (N/mm²) there.

    The greatest over the throw, and at the end of what the spring may be worked to, as far as that
    is known. Nothing where wire or diameter is not known.
    """
    kind = "Bending stress" if isinstance(spring, TorsionSpring) else "Shear stress"
    loads = [(f"{kind} in the throw", float(np.nanmax(np.abs(work.force))))]
    if isinstance(spring, TorsionSpring):
        if spring.most_twist is not None:
            loads.append((f"{kind}, greatest twist", spring.rate * spring.most_twist))
    elif isinstance(spring, CompressionSpring):
        solid = spring.rate * (spring.free_length - spring.solid_length)
        loads.append((f"{kind} closed solid", solid))
    elif spring.longest is not None:
        pull = spring.initial_tension + spring.rate * (spring.longest - spring.free_length)
        loads.append((f"{kind}, longest allowed", pull))
    for words, load in loads:
        found = stress(spring, load)
        if found is not None:
            yield words, found
