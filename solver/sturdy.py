"""How much of each margin the design's tolerances may take, to first order.

Each thing that may be off (`solver.spreadable`) is put to both ends of its tolerance alone, and
the greater drop of each margin is noted. Drops of independent things add as the root of their
squares; the result is three standard deviations of each margin, which 99.87 % of copies stay
within if the margin falls by a normal law, or, with `worst`, their plain sum: all at their worst
together. Left out is how one error changes the effect of another. What is taken is looked at in
a few places of the zone and the greatest is used for all of it, so that elsewhere more copies
hold. Copies drawn at the edge of such regions of the examples hold every limit in 99.9 % or more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from solver.batch import read_batch
from solver.edit import move_point
from solver.margins import Demands
from solver.model import Design
from solver.plan import Plan, compile_design
from solver.sampling import Copier
from solver.survey import Survey

Values = NDArray[np.float64]


def losses(
    design: Design,
    survey: Survey,
    places: NDArray[np.complex128],
    positions: int,
    worst: bool = False,
) -> Values:
    """What tolerances take of each margin, in scales, (L + 1,); the last, of closing, is 0.

    places: where the survey's point is put for it; infinite where there is none.
    """
    if not len(places):
        return np.full(len(survey.labels), np.inf)
    plan = compile_design(design, holes=True)
    moved = [move_point(design, survey.point, place.real, place.imag) for place in places]
    taken = taken_by_tolerances(moved, plan, survey.wanted, positions, worst)
    return np.append(taken.max(axis=0), 0.0)


def taken_by_tolerances(
    designs: Sequence[Design], plan: Plan, wanted: Demands, positions: int, worst: bool = False
) -> Values:
    """What tolerances take of each margin of designs of one make-up, in scales, (K, L).

    plan: theirs, compiled with holes.
    """
    batches = []
    for design in designs:
        copier = Copier.of(design, plan)
        ends = np.eye(len(copier.items))
        middle = np.zeros((1, len(copier.items)))
        batches.append(copier.copies(np.concatenate([middle, ends, -ends])))
        batches.append(copier.nominal[None, :])
    values = read_batch(plan, np.concatenate(batches), positions).values
    room = wanted.margins(values) / wanted.scales
    room = np.maximum(room, -10.0).reshape(len(designs), -1, room.shape[-1])
    widening = math.sqrt(3.0) if designs[0].tolerances.spread == "uniform" else 1.0
    return np.array([_loss(each, worst, widening) for each in room])


def _loss(room: Values, worst: bool, widening: float) -> Values:
    """Loss (L,) at one place from margins in its middle, at the ends, and as drawn."""
    middle, ends, nominal = room[0], room[1:-1], room[-1]
    # Least of both ends of each thing; one at an edge of two rests may lose either way.
    least = ends.reshape(2, -1, room.shape[-1]).min(axis=0)
    drops = np.maximum(middle - least, 0.0)
    most = drops.sum(axis=0)
    spread = most if worst else np.minimum(widening * np.sqrt((drops**2).sum(axis=0)), most)
    result: Values = nominal - middle + spread
    return np.maximum(result, 0.0)
