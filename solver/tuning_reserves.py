"""Room that designs of a search must have so that enough of their copies hold.

What tolerances take depends on the spring: 1 mm off in free length takes more newtons of a stiff
one. So each choice of springs has a reserve of its own, learnt where the search has been with it
or, until then, guessed with it put into the best design.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import islice, product

import numpy as np
from numpy.typing import NDArray

from solver.errors import DesignProblem
from solver.model import Design
from solver.tuning_space import Space

Values = NDArray[np.float64]
Chosen = tuple[int, ...]

DEVIATIONS = 3.0
"""Standard deviations of a margin in what tolerances are said to take of it."""
_GUESSED = 40
"""Choices of springs whose reserve is guessed one by one; more would take seconds."""


class Reserves:
    """How much room (L,), in scales, is asked of designs, by which springs are chosen.

    taken: what tolerances take of each margin of a design, (L,); times: how many times that.
    """

    def __init__(self, space: Space, taken: Callable[[Design], Values], times: float) -> None:
        self._space, self._taken = space, taken
        self._of: dict[Chosen, tuple[Values, float]] = {}
        self._learnt: set[Chosen] = set()
        self._usual = (taken(space.design), times)

    def times(self, place: Values) -> float:
        """How many times what tolerances take is asked for, with the springs of a place (D,)."""
        return self._of.get(self._chosen(place), self._usual)[1]

    def learn(self, place: Values, more: float) -> None:
        """Ask for more, by so many times what tolerances take at a place (D,), with its springs.

        Other springs that have not been learnt are guessed from there.
        """
        chosen = self._chosen(place)
        asked, times = self._of.get(chosen, self._usual)
        taken = self._taken(self._space.design_at(place))
        if chosen not in self._learnt and (taken > 0.0).any():
            # What was asked for so far was the room of other springs.
            touched = taken > 0.0
            times = min(times, float((times * asked[touched] / taken[touched]).min()))
        times = max(times + more, 0.0)
        lists = [range(len(springs)) for springs in self._space.choices]
        for other in islice(product(*lists), _GUESSED):
            if other not in self._learnt:
                self._of[other] = (self._guessed(place, other, taken), times)
        self._of[chosen] = self._usual = (taken, times)
        self._learnt.add(chosen)

    def asked(self, places: Values) -> Values:
        """Room to ask for at places (S, D), (S, L)."""
        found = (self._of.get(self._chosen(place), self._usual) for place in places)
        return np.array([times * taken for taken, times in found])

    def _guessed(self, place: Values, chosen: Chosen, instead: Values) -> Values:
        """What tolerances take with other springs; `instead` where that cannot be told."""
        other = place.copy()
        other[self._space.whole] = chosen
        try:
            taken = self._taken(self._space.design_at(other))
        except DesignProblem:
            return instead
        return np.where(taken > 0.0, taken, instead)

    def _chosen(self, place: Values) -> Chosen:
        return tuple(np.rint(place[self._space.whole]).astype(int).tolist())
