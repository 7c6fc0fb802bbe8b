"""The tuner: what to change so that every limit holds and one thing is as good as can be.

Differential evolution (scipy), a whole generation of designs at a time, then once more in a
small box around the best. Which of two designs is better: of two that hold all limits and
conditions, the one that serves the wish; one that holds them before one that does not; of two
that do not, the one whose misses, each in the size of its own bound, add up to less. So newtons
are never weighed against millimetres but as shares of what was asked.

Where a share of copies is asked for, the search leaves each limit as much room as that share
needs by what the tolerances take to first order (`solver.tuning_reserves`). Copies are then drawn
of the answer, and the search goes on with more room or less, with another spring of a list where
that serves better, until the copies drawn are as many as wanted.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solver.analysis import analyse
from solver.batch import read_batch
from solver.checks import problems
from solver.errors import DesignProblem
from solver.model import Design
from solver.movables import Movable
from solver.plan import compile_design
from solver.project import Display
from solver.spread import spread
from solver.tuning_goal import FAILS, HOPELESS, POSITIONS, Goal, Room, Wish
from solver.tuning_reserves import Reserves
from solver.tuning_space import Batches, Space
from solver.workshop_numbers import GRAINS, rounded

Values = NDArray[np.float64]

_ACTIVE = 0.02
"""Room, in scales, below which a limit that holds stands in the way of those that do not."""
_FIRST_SHARE = 0.7
"""Share of the budget for the whole box; the rest is for the small one around the best."""
_NEAR = 0.03
"""Half the small box, as a share of the whole one."""
_AROUND = 0.12
"""The same for the box that is searched on when more room is asked for, or less."""
_OWN_SHARE, _OTHERS_SHARE = 0.35, 0.75
"""Shares of such a search's budget after which it has looked with the same spring, with others."""
_DEVIATIONS = 3.0
"""Standard deviations of a margin in what tolerances are said to take of it."""
_TURNS = 6
"""Times that copies are drawn of an answer, at most."""
_SURPLUS = 0.1
"""Standard deviations by which more copies may hold than are asked for."""
_ROUNDINGS = 8
"""Ways to round an answer that are looked at closely, at most, for each step."""
_PATIENCE = 40
"""Generations without a better design that end a search."""


@dataclass(frozen=True, slots=True)
class Progress:
    """The search so far: the best design, whether it holds all, and the wish's value (or None).

    The value is in the reading's base unit; for "robust" it is the least room, counted in
    what the tolerances take.
    """

    evaluations: int
    budget: int
    design: Design
    holds: bool
    margins: tuple[Room, ...]
    value: float | None


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
    The design found passes `solver.checks`. Raises DesignProblem for movables or a wish that
    cannot be, and for a design that cannot be solved at all.
    """
    space = Space.of(design, movables)
    search = _Search(
        space, Batches.of(space, space.present, 1.0), Goal.of(design, wish or Wish()), budget
    )
    search.progress, search.cancelled = progress, cancelled
    try:
        if search.goal.wish.share is not None:
            search.assure(search.goal.wish.share, copies, seed)
        else:
            search.try_out(space.present[:, None])
            search.search(seed, budget)
    except _Stopped:
        cancelled_early = True
    else:
        cancelled_early = False
    if display is not None:
        search.round_to(display, copies)
    return search.answer(cancelled_early)


class _Stopped(Exception):
    """The search was cancelled."""


class _Search:
    """One search: counts evaluations and keeps the best place."""

    def __init__(self, space: Space, batches: Batches, goal: Goal, budget: int) -> None:
        self.space, self.batches, self.goal, self.budget = space, batches, goal, budget
        self.progress: Callable[[Progress], None] | None = None
        self.cancelled: Callable[[], bool] | None = None
        self.evaluations = 0
        self.best_place = space.present
        self.best_cost = np.inf
        self.reserves: Reserves | None = None
        self._stale = 0

    def search(self, seed: int, until: int) -> None:
        """Search the whole box, then a small one around the best."""
        space, begun = self.space, self.evaluations
        self.run(space.lows, space.highs, seed, begun + int(_FIRST_SHARE * (until - begun)))
        self.look_closer(_NEAR)
        self.run(*self._around(_NEAR, self.best_place), seed + 1, until)

    def search_on(self, seed: int, until: int, found: Sequence[Values]) -> list[Values]:
        """Search around the best; where springs are chosen, then among the others too.

        found: the places (D,) that were best so far. The answer is what was best at either.
        """
        space, begun = self.space, self.evaluations
        own = _OWN_SHARE if space.choices else 1.0
        self.run(*self._around(_AROUND, self.best_place), seed, begun + int(own * (until - begun)))
        if not space.choices:
            return [self.best_place]
        kept = self.best_place
        self.batches = Batches.of(space, kept, 1.0)
        others = begun + int(_OTHERS_SHARE * (until - begun))
        self.run(space.lows, space.highs, seed, others, [kept, *found])
        self.look_closer(_AROUND)
        self.run(*self._around(_AROUND, self.best_place), seed, until)
        return [kept, self.best_place]

    def assure(self, share: float, copies: int, seed: int) -> None:
        """Search until so many copies hold all limits, and hardly more than that."""
        wanted = NormalDist().inv_cdf(share)
        times = wanted / _DEVIATIONS
        self.reserves = reserves = Reserves(self.space, self.goal.taken, times)
        good: tuple[float, Values] | None = None
        found: list[Values] = []
        for turn in range(_TURNS):
            self.best_cost = np.inf
            self.try_out(np.stack([self.best_place, self.space.present], axis=1))
            until = int(self.budget * (0.5 if turn == 0 else 0.5 + 0.5 * turn / (_TURNS - 1)))
            if turn == 0:
                self.search(seed, until)
                places = [self.best_place]
            else:
                places = self.search_on(seed + turn, until, found)
            held = 0.0
            for place in places:
                held = _held(self.space.design_at(place), copies)
                cost = self._cost(place)
                if held >= share and (good is None or cost <= good[0]):
                    good = cost, place
            found.append(self.best_place)
            most = 1.0 - 0.5 / copies
            surplus = NormalDist().inv_cdf(min(max(held, 1.0 - most), most)) - wanted
            lacking = held < share and self.best_cost >= FAILS
            times = reserves.times(self.best_place)
            if 0.0 <= surplus < _SURPLUS or lacking or times <= 0.0 < surplus:
                break
            reserves.learn(self.best_place, -(surplus - _SURPLUS / 2.0) / _DEVIATIONS)
        if good is not None:
            self.best_place = good[1]

    def _cost(self, place: Values) -> float:
        """The cost of a place (D,) without the room that copies need."""
        places = place[None, :]
        ((_, plan, parameters),) = self.batches.split(places)
        values = read_batch(plan, parameters, POSITIONS).values
        change, reserve = self.space.change(places), self.goal.no_reserve(places)
        return float(self.goal.costs(values, change, reserve)[0])

    def round_to(self, display: Display, copies: int) -> None:
        """Take the nearest place on a drawing's steps that still holds what the best one holds."""
        self.cancelled = None  # what was found so far is rounded, however the search ended
        found, share = self.best_place, self.goal.wish.share
        holding = _is_good(self.space.design_at(found))
        enough = share is not None and _held(self.space.design_at(found), copies) >= share
        for grain in GRAINS:
            places = rounded(self.space, found, display, grain)
            self.best_cost = np.inf
            costs = self.try_out(places.T)
            for at in np.argsort(costs, kind="stable")[:_ROUNDINGS]:
                if not costs[at] < HOPELESS:
                    break
                design = self.space.design_at(places[at])
                if holding and not _is_good(design):
                    continue
                if enough and _held(design, copies) < (share or 0.0):
                    continue
                self.best_place = places[at]
                return
        self.best_place = found

    def _around(self, share: float, place: Values) -> tuple[Values, Values]:
        """The box (D,), (D,) of up to a share of the ranges around a place, its springs kept."""
        space = self.space
        half = share * (space.highs - space.lows)
        lows = np.where(space.whole, place, np.maximum(space.lows, place - half))
        highs = np.where(space.whole, place, np.minimum(space.highs, place + half))
        return lows, highs

    def look_closer(self, share: float) -> None:
        """Have the weights of plates true near the best place, and judge that one anew."""
        self.batches = Batches.of(self.space, self.best_place, share)
        self.best_cost = np.inf
        self.try_out(self.best_place[:, None])

    def try_out(self, where: Values) -> Values:
        """Costs (S,) of places (D, S), as differential evolution wants them."""
        if self.cancelled and self.cancelled():
            raise _Stopped
        places = self.space.tidied(where.T) if self.goal.wish.aim == "near" else where.T
        change = self.space.change(places)
        reserve = self.reserves.asked(places) if self.reserves else self.goal.no_reserve(places)
        costs = np.full(len(places), HOPELESS)
        for rows, plan, parameters in self.batches.split(places):
            values = read_batch(plan, parameters, POSITIONS).values
            costs[rows] = self.goal.costs(values, change[rows], reserve[rows])
        self.evaluations += len(places)
        before = self.best_cost
        for at in np.argsort(costs):
            if not costs[at] < self.best_cost:
                break
            if self._sound(places[at]):
                self.best_place, self.best_cost = places[at].copy(), float(costs[at])
            else:
                costs[at] = HOPELESS
        gained = before - self.best_cost
        self._stale = 0 if gained > 1e-7 * abs(self.best_cost) else self._stale + 1
        if self.progress:
            self.progress(self._so_far())
        return costs

    def run(
        self,
        lows: Values,
        highs: Values,
        seed: int,
        until: int,
        about: Sequence[Values] = (),
    ) -> None:
        """Search a box (D,), (D,) until that many evaluations are made or nothing is gained.

        about: places (D,) around which half of those tried first lie, if there are any.
        """
        from scipy.optimize import differential_evolution  # half a second, for the tuner alone

        free = highs > lows
        size = int(np.clip(8 * free.sum(), 24, 96))
        generations = (until - self.evaluations) // size - 1
        if not free.any() or generations < 1:
            return
        self._stale = 0

        def costs(part: Values) -> Values:
            whole = np.repeat(self.best_place[:, None], part.shape[1], axis=1)
            whole[free] = part
            return self.try_out(whole)

        def weary(intermediate_result: Any) -> bool:  # noqa: ANN401  # scipy brings no types
            return self._stale >= _PATIENCE

        rng = np.random.default_rng(seed)
        start = rng.uniform(lows[free], highs[free], (size, int(free.sum())))
        for at, place in enumerate(about):
            low, high = (side[free] for side in self._around(_AROUND, place))
            rows = start[2 * at :: 2 * len(about)]
            rows[:] = rng.uniform(low, high, rows.shape)
            rows[:1] = place[free]
        if self.goal.wish.aim == "near":
            # Every second one changes one thing alone, for that may do.
            groups = self.space.groups[free]
            for row in range(1, size, 2):
                left = groups != groups[row // 2 % len(groups)]
                start[row, left] = self.best_place[free][left]
        start[0] = self.best_place[free]
        differential_evolution(
            costs,
            list(zip(lows[free], highs[free], strict=True)),
            init=start,
            maxiter=generations,
            tol=0.0,
            polish=False,
            rng=rng,
            callback=weary,
            updating="deferred",
            vectorized=True,
            integrality=self.space.whole[free],
        )

    def answer(self, cancelled: bool) -> Tuning:
        """The best design, judged as finely as the app does."""
        design = self.space.design_at(self.best_place)
        margins, value = self._judged(self.best_place, 721)
        holds = _is_good(design)
        shares = [(each.share, each.label) for each in margins]
        conflict = [label for share, label in shares if share < 0.0]
        conflict += [label for share, label in shares if 0.0 <= share < _ACTIVE]
        return Tuning(
            design=design,
            holds=holds,
            margins=margins,
            value=value,
            conflict=() if holds else tuple(conflict),
            evaluations=self.evaluations,
            cancelled=cancelled,
            edges=self.space.at_ends(self.best_place),
        )

    def _sound(self, place: Values) -> bool:
        try:
            return not problems(self.space.design_at(place))
        except DesignProblem:
            return False

    def _so_far(self) -> Progress:
        design = self.space.design_at(self.best_place)
        margins, value = self._judged(self.best_place, POSITIONS)
        holds = all(each.holds for each in margins)
        return Progress(self.evaluations, self.budget, design, holds, margins, value)

    def _judged(self, place: Values, positions: int) -> tuple[tuple[Room, ...], float | None]:
        wanted, design = self.goal.wanted, self.space.design_at(place)
        plan = compile_design(design)
        values = read_batch(plan, plan.parameters(design), positions).values
        room = wanted.margins(values)[0]
        shares = room / wanted.scales
        change = self.space.change(place[None, :])
        value = float(self.goal.value(values, self.goal.shares(values), change)[0])
        rows = zip(wanted.labels, wanted.limits, room.tolist(), shares.tolist(), strict=True)
        return tuple(Room(*row) for row in rows), None if np.isnan(value) else value


def _is_good(design: Design) -> bool:
    """Whether `solver.analysis` says that a design holds all limits and conditions."""
    try:
        return analyse(design).good
    except DesignProblem:
        return False


def _held(design: Design, copies: int) -> float:
    """Share of copies that hold all limits; without limits, that work."""
    try:
        found = spread(design, copies)
    except DesignProblem:
        return 0.0
    return (found.all_limits if found.limits else found.good).share
