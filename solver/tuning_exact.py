"""The last steps to an answer, judged as exactly as the app judges: round it, put back.

The search compares designs by coarse batches. From here on, a place is only left for another that
still does what the found one did, by `solver.analysis` and by the copies of `solver.spread`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from solver import units
from solver.analysis import analyse
from solver.errors import DesignProblem
from solver.model import Design
from solver.project import Display
from solver.readings import catalogue
from solver.spread import held
from solver.tuning_goal import HOPELESS, Room
from solver.tuning_search import Search
from solver.workshop_numbers import GRAINS, nearer, rounded

Values = NDArray[np.float64]

_FINE = 721
"""Positions at which an answer is judged."""
_ROUNDINGS = 8
"""Ways to round an answer that are looked at closely, at most, for each step."""
_MISSED = 5e-4
"""Sum of misses, in scales, by which an answer that does not hold all may become worse."""
_SHOWN_SHARE = 5e-4
"""The same for the share of copies, where it is less than wanted: half of what is shown."""
_ROBUST_DECIMALS = 1


@dataclass
class Copies:
    """Shares of copies that hold at places, each looked at once."""

    search: Search
    count: int
    _known: dict[bytes, float] = field(default_factory=dict)

    def share(self, place: Values) -> float:
        """The share of copies of the design at a place (D,) that hold; 0 where none can be."""
        key = place.tobytes()
        if key not in self._known:
            try:
                self._known[key] = held(self.search.space.design_at(place), self.count)
            except DesignProblem:
                self._known[key] = 0.0
        return self._known[key]

    def surplus(self, place: Values) -> float:
        """Standard deviations by which more copies hold than are wanted; negative: fewer."""
        wanted = NormalDist().inv_cdf(self.search.goal.wish.share or 0.5)
        most = 1.0 - 0.5 / self.count
        return NormalDist().inv_cdf(min(max(self.share(place), 1.0 - most), most)) - wanted


@dataclass(frozen=True)
class Standard:
    """What a place that was found does, and whether another one does as much."""

    search: Search
    copies: Copies
    holds: bool
    share: float
    misses: float
    value: float | None
    display: Display | None

    @classmethod
    def of(cls, search: Search, copies: Copies, display: Display | None) -> Standard:
        """What the best place does."""
        place, share = search.best_place, search.goal.wish.share
        rooms, value = search.judged(place, _FINE)
        least = 0.0
        if share is not None:
            least = copies.share(place)
            least = share if least >= share else least - _SHOWN_SHARE
        holds = is_good(search.space.design_at(place))
        return cls(search, copies, holds, least, _misses(rooms), value, display)

    def met(self, place: Values, *, value: bool = True) -> bool:
        """Whether a place (D,) does as much; `value`: in what the wish is about too."""
        if not self.search.sound(place):
            return False
        if self.holds and not is_good(self.search.space.design_at(place)):
            return False
        if value or not self.holds:
            rooms, found = self.search.judged(place, _FINE)
            if not self.holds and _misses(rooms) > self.misses + _MISSED:
                return False
            if value and self.holds and not self._serves(found):
                return False
        return self.share <= 0.0 or self.copies.share(place) >= self.share

    def _serves(self, found: float | None) -> bool:
        """Whether the wish is not served worse, as far as that is shown."""
        wish = self.search.goal.wish
        if wish.aim == "near" or self.value is None:
            return True
        if found is None:
            return False
        before, after = self._shown(self.value), self._shown(found)
        return after <= before if wish.aim == "least" else after >= before

    def _shown(self, value: float) -> float:
        wish = self.search.goal.wish
        if self.display is None:
            return float(f"{value:.9g}")
        if wish.aim == "robust":
            return round(value, _ROBUST_DECIMALS)
        kinds = {kind.key: kind for kind in catalogue(self.search.space.design)}
        text = units.number(value, kinds[wish.reading].quantity, self.display)
        return float(text.replace("−", "-").replace("∞", "inf"))


def round_to(search: Search, copies: Copies, display: Display) -> float:
    """Take the nearest place on a drawing's steps that still holds what the best one holds.

    The answer is the grain of the steps, as a multiple of the drawing's; 0 where nothing is
    rounded.
    """
    found, standard = search.best_place, Standard.of(search, copies, display)
    for grain in GRAINS:
        places = rounded(search.space, found, display, grain)
        reserve = search.reserves.asked(places) if search.reserves else None
        costs = search.costs(places, reserve)
        for at in np.argsort(costs, kind="stable")[:_ROUNDINGS]:
            if not costs[at] < HOPELESS:
                break
            if standard.met(places[at], value=False):
                search.best_place = places[at]
                return grain
    return 0.0


def put_back(search: Search, copies: Copies, display: Display | None, grain: float) -> None:
    """Put every number back to its first value that is not needed for what the best place does.

    Of "near" each number also goes as many whole steps back as it can. What is left: no single
    number can be put back, nor brought a step nearer, without losing something that is wanted, or
    a wish that shows less. Raises Stopped, with the best place as good as it was, when cancelled.
    """
    standard = Standard.of(search, copies, display)
    steps = display if search.goal.wish.aim == "near" and grain > 0.0 else None
    while _put_back_once(search, standard, steps, grain):
        pass


def _put_back_once(
    search: Search, standard: Standard, display: Display | None, grain: float
) -> bool:
    """Whether any number could go back, wholly or by steps; the least change is tried first."""
    gained = False
    for at in changed(search, search.best_place):
        gained |= _try(search, standard, int(at), float(search.space.present[at]))
    if display is None:
        return gained
    for at in changed(search, search.best_place):
        while search.best_place[at] != search.space.present[at]:
            value = nearer(search.space, search.best_place, int(at), display, grain)
            if not _try(search, standard, int(at), value):
                break
            gained = True
    return gained


def _try(search: Search, standard: Standard, at: int, value: float) -> bool:
    search.go_on()
    place = search.best_place.copy()
    place[at] = value
    met = standard.met(place)
    if met:
        search.best_place = place
    search.tell(1)
    return met


def changed(search: Search, place: Values) -> NDArray[np.intp]:
    """The dimensions in which a place (D,) differs from the design, the least changed first."""
    space = search.space
    reach = np.where(space.highs > space.lows, space.highs - space.lows, 1.0)
    off = np.abs(place - space.present) / reach
    order: NDArray[np.intp] = np.argsort(off, kind="stable")
    return order[off[order] > 0.0]


def is_good(design: Design) -> bool:
    """Whether `solver.analysis` says that a design holds all limits and conditions."""
    try:
        return analyse(design).good
    except DesignProblem:
        return False


def _misses(rooms: tuple[Room, ...]) -> float:
    return sum(max(-each.share, 0.0) for each in rooms)
