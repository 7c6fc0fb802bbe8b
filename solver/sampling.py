"""Copies of a design drawn from its tolerances: quasi-random ones, or given ones.

Copies follow a scrambled Sobol sequence, which fills the space of tolerances more evenly than
random numbers do; with one seed they are the same ones every time.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from solver.model import Design
from solver.plan import Plan
from solver.spreadable import Spreadable, spreadables

Array = NDArray[np.float64]
Law = Literal["normal", "uniform"]

NORMAL_REACH = 3.0
"""Standard deviations from the middle of a normal tolerance to its ends."""

_SIGNED = frozenset(
    ("x", "y", "rest_a", "rest_b", "direction", "fittings", "free_angle", "turns", "torque")
)
"""Last words of the paths of numbers that may be negative."""


def may_be_negative(path: str) -> bool:
    """Whether the number of that path may go below zero."""
    return path.rpartition(".")[2] in _SIGNED


@lru_cache(maxsize=8)
def variates(dimension: int, copies: int, seed: int = 0, law: Law = "normal") -> Array:
    """Independent numbers (copies, dimension), ±1 being the ends of the tolerance. Read-only.

    "uniform" lies between the ends; "normal" has standard deviation 1/3, so that 0.27 % of its
    numbers are beyond them.
    """
    from scipy.special import ndtri
    from scipy.stats import qmc  # half a second that only tolerance studies need

    if dimension == 0:
        return np.zeros((copies, 0))
    sequence = qmc.Sobol(dimension, rng=np.random.default_rng(seed))
    # Whole powers of two keep the sequence's balance; the rest is not used.
    even = sequence.random_base2(max(copies - 1, 1).bit_length())[:copies]
    # The sequence may hold a zero, whose normal quantile is -inf; its step is 2^-30.
    found: Array = (
        ndtri(np.clip(even, 1e-9, 1.0 - 1e-9)) / NORMAL_REACH
        if law == "normal"
        else 2.0 * even - 1.0
    )
    found.flags.writeable = False
    return found


@dataclass(frozen=True, slots=True)
class Copier:
    """Makes parameter vectors of copies from what each thing is off by."""

    nominal: Array
    items: tuple[Spreadable, ...]
    matrix: Array
    middle: Array
    floored: NDArray[np.intp]

    @classmethod
    def of(cls, design: Design, plan: Plan) -> Copier:
        """For a design and its plan, compiled with holes."""
        items = spreadables(design, plan)
        nominal = plan.parameters(design)
        matrix, middle = np.zeros((len(items), nominal.size)), np.zeros(nominal.size)
        for row, item in enumerate(items):
            matrix[row, list(item.columns)] += item.reach
            middle[list(item.columns)] += item.middle
        touched = {column for item in items for column in item.columns}
        floored = [
            column
            for path, column in plan.columns.items()
            if column in touched and not may_be_negative(path)
        ]
        return cls(nominal, items, matrix, middle, np.array(sorted(floored), dtype=np.intp))

    def copies(self, off: Array) -> Array:
        """Parameters (B, P) of copies; `off` (B, D) is ±1 at the ends of each tolerance."""
        made: Array = off @ self.matrix + (self.nominal + self.middle)
        made[:, self.floored] = np.maximum(made[:, self.floored], 0.0)
        return made

    def labels(self) -> tuple[str, ...]:
        """The different labels of the items, in order."""
        return tuple(dict.fromkeys(item.label for item in self.items))

    def grouped(self, per_item: Array) -> Array:
        """Sums (…, G) over the items of each label, from numbers (…, D) per item."""
        labels = self.labels()
        of_label = [[label == item.label for label in labels] for item in self.items]
        sums: Array = per_item @ np.array(of_label, dtype=np.float64).reshape(
            len(self.items), len(labels)
        )
        return sums
