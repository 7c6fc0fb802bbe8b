"""What the tuner is to reach: limits, conditions and a wish, as costs of whole batches."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from solver.errors import DesignProblem
from solver.margins import Demands, demands
from solver.model import Design, Limit
from solver.plan import compile_design
from solver.readings import catalogue
from solver.sturdy import taken_by_tolerances

Values = NDArray[np.float64]

POSITIONS = 91
"""Lever positions of every design tried."""
GUARD = 1e-4
"""Room, in scales, that the search leaves, so that finer positions still find a limit held."""
HOPELESS = 2e9
"""Cost of a design that cannot be, or locks."""
FAILS = 1e9
"""Cost of a design that does not hold all; its misses come on top."""
_FAR = 10.0


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wanted besides the limits.

    "most" or "least" of a reading; "robust": the most room to the limits, counting each one's in
    what the tolerances take of it in the design as it is; "near": as little change as can be, see
    `Space.change`. share: how many copies must hold all limits too, 0 … 1; None asks for none.
    """

    aim: Literal["most", "least", "robust", "near"] = "robust"
    reading: str = ""
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Room:
    """The room to one limit or condition, in the base unit of its reading; negative: it fails."""

    label: str
    limit: Limit
    room: float
    share: float
    """The same as a share of the bound's size, for ranking."""

    @property
    def holds(self) -> bool:
        """Whether there is any room."""
        return self.room >= 0.0


@dataclass(frozen=True, slots=True)
class Goal:
    """Limits, conditions and wish, and how they are told from readings."""

    wanted: Demands
    wish: Wish
    counted: Values
    """What the room to each own limit is counted in for "robust", in scales."""

    @classmethod
    def of(cls, design: Design, wish: Wish) -> Goal:
        """DesignProblem for a wish or a limit on a reading that the design does not have."""
        wanted = demands(design)
        _check(wish, design)
        none = np.zeros(len(wanted.limits))
        if wish.aim != "robust":
            return cls(wanted, wish, none + 1.0)
        taken = _taken(design, wanted)
        # A limit that no tolerance touches has room in plenty; one whose loss cannot be told
        # (the design as it is may be far off) counts in the size of its bound.
        return cls(wanted, wish, np.where(taken > 0.0, taken, 1.0))

    def taken(self, design: Design) -> Values:
        """What tolerances take of the limits at a design, (L,), in scales.

        Of conditions nothing is taken, unless there are no limits.
        """
        taken = _taken(design, self.wanted)
        if self.wanted.own:
            taken[self.wanted.own :] = 0.0
        return taken

    def no_reserve(self, places: Values) -> Values:
        """For places (S, D), of which no share of copies is asked, (S, L)."""
        return np.zeros((len(places), len(self.wanted.limits)))

    def shares(self, values: dict[str, Values]) -> Values:
        """Room in scales, (S, L), no further off than -10."""
        result: Values = np.maximum(self.wanted.margins(values) / self.wanted.scales, -_FAR)
        return result

    def value(self, values: dict[str, Values], shares: Values, change: Values) -> Values:
        """What the wish is about, (S,); NaN where there is none. change: `Space.change`, (S,)."""
        if self.wish.aim == "near":
            return change
        if self.wish.aim != "robust":
            missing = np.full(len(shares), np.nan)
            return values.get(self.wish.reading, missing)
        own = slice(self.wanted.own) if self.wanted.own else slice(None)
        result: Values = (shares[:, own] / self.counted[own]).min(axis=1)
        return result

    def costs(self, values: dict[str, Values], change: Values, reserve: Values) -> Values:
        """What differential evolution makes small, (S,); see the module.

        change: `Space.change`, (S,); reserve: room, in scales, that each design must have on top
        of the limits so that enough copies hold, (S, L).
        """
        shares = self.shares(values)
        misses = np.maximum(GUARD + reserve - shares, 0.0).sum(axis=1)
        value = self.value(values, shares, change)
        small = self.wish.aim in ("least", "near")
        wished = np.clip(value if small else -value, -5e8, 5e8)
        cost = np.where(misses > 0.0, FAILS + misses, wished)
        lost = np.isnan(values["throw"]) | ((misses == 0.0) & np.isnan(value))
        return np.where(lost, HOPELESS, cost)


def _check(wish: Wish, design: Design) -> None:
    if wish.aim in ("most", "least") and wish.reading not in {k.key for k in catalogue(design)}:
        raise DesignProblem(
            f"This design has no reading “{wish.reading}”: choose another wish.", wish.reading
        )
    if wish.share is not None and not 0.5 <= wish.share < 1.0:
        raise DesignProblem("The share of copies must be at least 50 % and below 100 %.")


def _taken(design: Design, wanted: Demands) -> Values:
    """What tolerances take of each margin of a design, (L,), in scales; 0 where it cannot be told.

    About 99.9 % of copies stay within it, if one limit is looked at alone.
    """
    plan = compile_design(design, holes=True)
    taken = taken_by_tolerances([design], plan, wanted, POSITIONS)[0]
    usable = np.isfinite(taken) & (taken > 1e-3) & (taken < _FAR)
    result: Values = np.where(usable, taken, 0.0)
    return result
