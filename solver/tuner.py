"""The tuner: what to change so that every limit holds and one thing is as good as can be.

Differential evolution (`solver.tuning_search`). Which of two designs is better: of two that hold
all limits and conditions, the one that serves the wish; one that holds them before one that does
not; of two that do not, the one whose misses, each in the size of its own bound, add up to less.
So newtons are never weighed against millimetres but as shares of what was asked.

Where a share of copies is asked for, the search leaves each limit as much room as that share
needs by what the tolerances take to first order (`solver.tuning_reserves`). Copies are then drawn
of the answer, and the search goes on with more room or less, with another spring of a list where
that serves better, until the copies drawn are as many as wanted.

Of as little change as can be, fewer numbers come first (`solver.tuning_simple`): a coordinate of a
point is a number, and so is a spring of a list. At last the answer is rounded, and what it does
not need is put back (`solver.tuning_exact`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from solver.model import Design
from solver.movables import Movable
from solver.project import Display
from solver.tuning_exact import Copies, is_good, put_back, round_to
from solver.tuning_goal import FAILS, Goal, Room, Wish
from solver.tuning_reserves import DEVIATIONS, Reserves
from solver.tuning_search import Progress, Search, Stopped
from solver.tuning_simple import does_all, leave_out, one_number
from solver.tuning_space import Batches, Space

Values = NDArray[np.float64]

_ACTIVE = 0.02
"""Room, in scales, below which a limit that holds stands in the way of those that do not."""
_NEAR_SHARE = 0.6
"""Share of the budget of "near" that is for the search; the rest is for leaving numbers out, or
for searching on where not all that is wanted was found."""
_TURNS = 6
"""Times that copies are drawn of an answer, at most."""
_SURPLUS = 0.1
"""Standard deviations by which more copies may hold than are asked for."""


@dataclass(frozen=True, slots=True)
class Tuning:
    """The answer. `holds` is what `solver.analysis` says of the design (its `good`).

    conflict: where not all can hold, the limits that fail at the nearest design and those with
    next to no room there; cancelled: whether it was ended early; edges: what lies at an end of the
    range that it was given, in words.
    """

    design: Design
    holds: bool
    margins: tuple[Room, ...]
    value: float | None
    conflict: tuple[str, ...]
    evaluations: int
    cancelled: bool
    edges: tuple[str, ...] = ()


def tune(
    design: Design,
    movables: Sequence[Movable],
    wish: Wish | None = None,
    *,
    seed: int = 1,
    budget: int = 12_000,
    progress: Callable[[Progress], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    copies: int = 2000,
    display: Display | None = None,
) -> Tuning:
    """Search for the best design within what may move; the given one is never changed.

    budget: most designs to try, about; one seed gives one answer. `progress` is called after
    every generation with the best so far, and `cancelled` before each one; when it says True,
    the best so far is the answer. copies: how many are drawn where a share is asked for.
    display: in whose units the answer's numbers are rounded to what a drawing says, as far as it
    then still does what was found; None leaves them as they are.
    The design found passes `solver.checks`. Unless the search was ended early, it needs every
    number that it changes: with any one of them put back to its first value (the others as they
    are), it would not hold all that it holds now, copies included, or miss more where not all
    holds, or serve the wish less, as shown. Of "near" that answers what was asked, and is
    rounded, it would not either with one of them a whole step nearer to its first value; and
    where one number changed alone was found to do all that is wanted, one is changed.
    Raises DesignProblem for movables or a wish that cannot be, and for a design that cannot be
    solved at all.
    """
    space = Space.of(design, movables)
    goal = Goal.of(design, wish or Wish())
    search = Search(space, Batches.of(space, space.present, 1.0), goal, budget)
    search.progress, search.cancelled = progress, cancelled
    drawn = Copies(search, copies)
    stopped = False
    try:
        _find(search, drawn, seed)
    except Stopped:
        stopped = True
    grain = round_to(search, drawn, display) if display is not None else 0.0
    if not stopped:
        try:
            put_back(search, drawn, display, grain)
        except Stopped:
            stopped = True
    return _answer(search, stopped)


def _find(search: Search, copies: Copies, seed: int) -> None:
    """Search until the best place is the answer, still unrounded. Raises Stopped."""
    near, share = search.goal.wish.aim == "near", search.goal.wish.share
    if near and does_all(search, copies, search.space.present):
        return
    if near and (place := one_number(search, copies)) is not None:
        search.best_place = place
        return
    budget = int(search.budget * (_NEAR_SHARE if near else 1.0))
    if share is not None:
        _assure(search, copies, share, seed, budget)
    else:
        search.try_out(search.space.present[:, None])
        search.search(seed, budget)
    if near and not does_all(search, copies, search.best_place):
        search.best_cost = np.inf
        search.try_out(search.best_place[:, None])
        search.search(seed, search.budget)
    if near and does_all(search, copies, search.best_place):
        leave_out(search, copies, seed)


def _assure(search: Search, copies: Copies, share: float, seed: int, budget: int) -> None:
    """Search until so many copies hold all limits, and hardly more than that."""
    wanted = NormalDist().inv_cdf(share)
    times = wanted / DEVIATIONS
    search.reserves = reserves = Reserves(search.space, search.goal.taken, times)
    good: tuple[float, Values] | None = None
    found: list[Values] = []
    for turn in range(_TURNS):
        search.best_cost = np.inf
        search.try_out(np.stack([search.best_place, search.space.present], axis=1))
        until = int(budget * (0.5 if turn == 0 else 0.5 + 0.5 * turn / (_TURNS - 1)))
        if turn == 0:
            search.search(seed, until)
            places = [search.best_place]
        else:
            places = search.search_on(seed + turn, until, found)
        held = 0.0
        for place in places:
            held = copies.share(place)
            cost = search.cost(place)
            if held >= share and (good is None or cost <= good[0]):
                good = cost, place
        found.append(search.best_place)
        surplus = copies.surplus(places[-1])
        lacking = held < share and search.best_cost >= FAILS
        times = reserves.times(search.best_place)
        if 0.0 <= surplus < _SURPLUS or lacking or times <= 0.0 < surplus:
            break
        reserves.learn(search.best_place, -(surplus - _SURPLUS / 2.0) / DEVIATIONS)
    if good is not None:
        search.best_place = good[1]


def _answer(search: Search, cancelled: bool) -> Tuning:
    """The best design, judged as finely as the app does."""
    design = search.space.design_at(search.best_place)
    margins, value = search.judged(search.best_place, 721)
    holds = is_good(design)
    shares = [(each.share, each.label) for each in margins]
    conflict = [label for share, label in shares if share < 0.0]
    conflict += [label for share, label in shares if 0.0 <= share < _ACTIVE]
    return Tuning(
        design=design,
        holds=holds,
        margins=margins,
        value=value,
        conflict=() if holds else tuple(conflict),
        evaluations=search.evaluations,
        cancelled=cancelled,
        edges=search.space.at_ends(search.best_place),
    )
