"""Readings of many designs at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from solver.motion import Evaluator, Motion, chunks, evaluate
from solver.plan import Plan
from solver.readings import Values, measure


@dataclass(frozen=True, slots=True)
class BatchReadings:
    """Readings of B designs: `values[key]` (B,) in base units, `where[key]` (B,) in degrees."""

    values: dict[str, Values]
    where: dict[str, Values]


def read_batch(
    plan: Plan,
    parameters: ArrayLike,
    positions: int = 181,
    look: Callable[[slice, Motion], None] | None = None,
) -> BatchReadings:
    """All readings of designs with the parameters (B, P), each over `positions` lever positions.

    Designs that cannot be solved have NaN readings. The batch is worked through in chunks that
    fit the processor's cache, so memory does not grow with B × positions; `look` is given each
    chunk's curves as they are solved.
    """
    values = np.atleast_2d(np.asarray(parameters, dtype=np.float64))
    evaluator = Evaluator.of(plan)
    parts = []
    for chunk in chunks(len(values), positions):
        motion = evaluate(evaluator, values[chunk], positions)
        parts.append(measure(motion))
        if look is not None:
            look(chunk, motion)
    return BatchReadings(
        {key: np.concatenate([part.values[key] for part in parts]) for key in parts[0].values},
        {key: np.concatenate([part.where[key] for part in parts]) for key in parts[0].where},
    )
