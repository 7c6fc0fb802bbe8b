"""The fewest numbers to change, and then as little as can be: the search for "near".

Whoever builds the answer changes one number rather than two. So each number is first tried alone,
along all of its range and to either side. Where no one alone will do, the numbers that the search
found are left out, first those that it changed least, then one after another, as long as the
others, moved anew, still do what is wanted.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from solver.errors import DesignProblem
from solver.tuning_exact import Copies, changed, is_good
from solver.tuning_goal import FAILS
from solver.tuning_reserves import DEVIATIONS
from solver.tuning_search import Search

Values = NDArray[np.float64]

_GRID = np.concatenate([[0.0, 0.002, 0.005, 0.01], np.linspace(0.02, 1.0, 50)])
"""Shares of the way to the end of a range at which a number is tried alone."""
_HALVINGS = 20
_NUDGES = (1.0, 1.001, 1.003, 1.01, 1.03, 1.1)
"""How much farther, in turn, where the search's coarser judgement was a little too kind."""
_CAUTIOUS = 0.8
"""Share of the room that copies are said to need with which a number is looked at closely."""
_FARTHER = 1.3
"""How many times the least change found so far another may promise to be looked at closely."""
_CLOSELY = 8
"""Changes of one number that are looked at closely, at most."""
_DRAWS = 6
"""Times that copies are drawn for one of them, at most."""
_SURPLUS = 0.04
"""Standard deviations by which more copies may hold than are wanted."""
_ROUND = 0.15
"""Share of the budget for one round of leaving out a number."""


@dataclass(frozen=True, slots=True)
class _Way:
    """One number on its way from what the design has to an end of its range.

    alone: the share of the way from which all limits hold; begin: from which they also have most
    of the room that copies need. A spring of a list goes all the way at once.
    """

    at: int
    end: float
    whole: bool
    alone: float = 1.0
    begin: float = 1.0


def does_all(search: Search, copies: Copies, place: Values) -> bool:
    """Whether a place (D,) holds all, and as many of its copies as are wanted."""
    share = search.goal.wish.share
    if not is_good(search.space.design_at(place)):
        return False
    return share is None or copies.share(place) >= share


def one_number(search: Search, copies: Copies) -> Values | None:
    """The place (D,) with one number changed, as little as can be; None where one will not do.

    Raises Stopped when cancelled, with the best such place so far as the search's best.
    """
    best: tuple[float, Values] | None = None
    for way in _promising(search)[:_CLOSELY]:
        if best is not None and _change(search, _at(search, way, way.begin)) > _FARTHER * best[0]:
            break
        place = _least(search, copies, way)
        if place is None or not search.sound(place):
            continue
        change = _change(search, place)
        if best is None or change < best[0]:
            best = change, place
            search.best_place = place
    return None if best is None else best[1]


def leave_out(search: Search, copies: Copies, seed: int) -> None:
    """Leave out every number that the others, moved anew, can do without.

    Raises Stopped when cancelled, with the best place as good as it was.
    """
    _taken_over(search, copies, seed, _with_the_most_changed)
    while _taken_over(search, copies, seed, _with_one_less):
        pass


def _taken_over(
    search: Search,
    copies: Copies,
    seed: int,
    simpler: Callable[[Search, Copies, Values, int], Values | None],
) -> bool:
    """Make a simpler place than the best one the best, if there is one; keep it otherwise."""
    kept, found = search.best_place, None
    try:
        found = simpler(search, copies, kept, seed)
    finally:
        search.best_place = kept if found is None else found
    return found is not None


def _with_the_most_changed(
    search: Search, copies: Copies, best: Values, seed: int
) -> Values | None:
    """The least change with only those numbers that a place (D,) changes most, so few as will do.

    A search by evolution leaves many numbers a little changed; these go all at once.
    """
    numbers = changed(search, best)
    tries = int(_ROUND * search.budget / 2.0)
    many = 2
    while many < len(numbers):
        start = best.copy()
        start[numbers[:-many]] = search.space.present[numbers[:-many]]
        place = _among(search, start, seed, tries)
        if search.best_cost < FAILS:
            right = _set_right(search, copies, place, seed, tries)
            if right is not None:
                return right
        many += max(many // 2, 1)
    return None


def _with_one_less(search: Search, copies: Copies, best: Values, seed: int) -> Values | None:
    """The least change with one number less that does all that is wanted; None for none."""
    numbers = changed(search, best)
    if len(numbers) < 2:
        return None
    tries = int(_ROUND * search.budget / len(numbers))
    found: list[tuple[float, Values]] = []
    for out in numbers:
        start = best.copy()
        start[out] = search.space.present[out]
        place = _among(search, start, seed, tries)
        if search.best_cost < FAILS:
            found.append((search.best_cost, place))
    for _, place in sorted(found, key=lambda each: each[0]):
        right = _set_right(search, copies, place, seed, tries)
        if right is not None:
            return right
    return None


def _promising(search: Search) -> list[_Way]:
    """Ways with one number on which all holds to first order, the least change first."""
    space = search.space
    ways = [
        _Way(at, float(end), whole=False)
        for at in np.flatnonzero(~space.whole).tolist()
        for end in (space.lows[at], space.highs[at])
        if end != space.present[at]
    ]
    ways += [
        _Way(at, float(spring), whole=True)
        for at in np.flatnonzero(space.whole).tolist()
        for spring in range(int(space.highs[at]) + 1)
        if spring != space.present[at]
    ]
    search.go_on()
    none = search.goal.no_reserve(np.empty((len(ways), 0)))
    ways = [
        _Way(way.at, way.end, way.whole, share, share)
        for way, share in zip(ways, _first(search, ways, none), strict=True)
        if share <= 1.0
    ]
    if search.goal.wish.share is not None and ways:
        search.go_on()
        wanted = NormalDist().inv_cdf(search.goal.wish.share)
        room = _CAUTIOUS * wanted / DEVIATIONS * _lost(search, ways)
        ways = [
            _Way(way.at, way.end, way.whole, way.alone, share)
            for way, share in zip(ways, _first(search, ways, room), strict=True)
            if share <= 1.0
        ]
    return sorted(ways, key=lambda way: _change(search, _at(search, way, way.begin)))


def _first(search: Search, ways: Sequence[_Way], reserve: Values) -> list[float]:
    """Least share of each way (K,) from which all holds with a reserve (K, L); inf for none."""
    if not ways:
        return []
    grid = [np.array([1.0]) if way.whole else _GRID for way in ways]
    sizes = [len(each) for each in grid]
    places = np.array(
        [
            _at(search, way, share)
            for way, shares in zip(ways, grid, strict=True)
            for share in shares
        ]
    )
    holding = search.costs(places, np.repeat(reserve, sizes, axis=0)) < FAILS
    low, high = np.zeros(len(ways)), np.full(len(ways), np.inf)
    for row, holds in enumerate(np.split(holding, np.cumsum(sizes)[:-1])):
        if holds.any():
            first = int(holds.argmax())
            low[row], high[row] = grid[row][max(first - 1, 0)], grid[row][first]
    rows = np.flatnonzero((high <= 1.0) & np.array([not way.whole for way in ways]))
    for _ in range(_HALVINGS if rows.size else 0):
        middle = 0.5 * (low[rows] + high[rows])
        places = np.array(
            [
                _at(search, ways[row], share)
                for row, share in zip(rows.tolist(), middle, strict=True)
            ]
        )
        holds = search.costs(places, reserve[rows]) < FAILS
        high[rows] = np.where(holds, middle, high[rows])
        low[rows] = np.where(holds, low[rows], middle)
    return [float(share) for share in high]


def _lost(search: Search, ways: Sequence[_Way]) -> Values:
    """What tolerances take of each margin where the limits alone begin to hold, (K, L)."""
    found = []
    for way in ways:
        try:
            taken = search.goal.taken(search.space.design_at(_at(search, way, way.alone)))
        except DesignProblem:
            taken = np.zeros(len(search.goal.wanted.limits))
        found.append(taken)
    return np.array(found)


def _least(search: Search, copies: Copies, way: _Way) -> Values | None:
    """The first place of a way that does all that is wanted; None where there is none."""
    if way.whole:
        place = _at(search, way, 1.0)
        return place if does_all(search, copies, place) else None
    if search.goal.wish.share is None:
        places = (_at(search, way, min(nudge * way.begin, 1.0)) for nudge in _NUDGES)
        return next((place for place in places if does_all(search, copies, place)), None)
    return _least_of_copies(search, copies, way, NormalDist().inv_cdf(search.goal.wish.share))


def _least_of_copies(search: Search, copies: Copies, way: _Way, wanted: float) -> Values | None:
    """By the secant: the surplus of copies, in standard deviations, grows about evenly."""
    goal = 0.5 * _SURPLUS
    low, high, share = (way.alone, -wanted), None, way.begin
    if is_good(search.space.design_at(search.space.present)):
        low = 0.0, copies.surplus(search.space.present)
    for _ in range(_DRAWS):
        search.go_on()
        place = _at(search, way, share)
        surplus = copies.surplus(place) if is_good(search.space.design_at(place)) else -wanted
        if surplus >= 0.0:
            high = share, surplus
            if surplus <= _SURPLUS:
                break
        elif share >= 1.0 and high is None:
            return None
        slope = (surplus - low[1]) / max(share - low[0], 1e-9)
        if surplus < 0.0:
            low = share, surplus
        if high is None:
            step = 1.1 * (goal - surplus) / slope if slope > 0.0 else 1.0
            share = min(share + min(max(step, 0.1 * share), share + 0.05), 1.0)
        else:
            part = (goal - low[1]) / (high[1] - low[1])
            share = low[0] + min(max(part, 0.1), 0.9) * (high[0] - low[0])
    return None if high is None else _at(search, way, high[0])


def _among(search: Search, start: Values, seed: int, tries: int) -> Values:
    """The best place found when only what a place (D,) has changed may move."""
    space = search.space
    moving = start != space.present
    search.best_place, search.best_cost = start, np.inf
    search.try_out(start[:, None])
    lows, highs = (np.where(moving, side, start) for side in (space.lows, space.highs))
    search.run(lows, highs, seed, search.evaluations + tries, [start])
    return search.best_place


def _set_right(
    search: Search, copies: Copies, place: Values, seed: int, tries: int
) -> Values | None:
    """Such a place of which enough copies hold; None where it is not found."""
    good: Values | None = None
    for turn in range(_DRAWS):
        search.go_on()
        if does_all(search, copies, place):
            good = place
        if search.reserves is None or not is_good(search.space.design_at(place)):
            return good
        surplus = copies.surplus(place)
        if 0.0 <= surplus < 2.0 * _SURPLUS:
            return good
        search.reserves.learn(place, -(surplus - _SURPLUS) / DEVIATIONS)
        place = _among(search, place, seed + turn, tries // 2)
        if not search.best_cost < FAILS:
            return good
    return good


def _at(search: Search, way: _Way, share: float) -> Values:
    """The place (D,) that lies a share of a way from the design."""
    place = search.space.present.copy()
    place[way.at] = way.end if share >= 1.0 else place[way.at] + share * (way.end - place[way.at])
    return place


def _change(search: Search, place: Values) -> float:
    return float(search.space.change(place[None, :])[0])
