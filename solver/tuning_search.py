"""The tuner's search: differential evolution, a whole generation of designs at a time.

First all of the box, then a small one around the best. It counts what it tried, keeps the best
place and can be stopped between two batches.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solver.batch import read_batch
from solver.checks import problems
from solver.errors import DesignProblem
from solver.model import Design
from solver.plan import compile_design
from solver.tuning_goal import HOPELESS, POSITIONS, Goal, Room
from solver.tuning_reserves import Reserves
from solver.tuning_space import Batches, Space

Values = NDArray[np.float64]

_FIRST_SHARE = 0.7
"""Share of the budget for the whole box; the rest is for the small one around the best."""
_NEAR = 0.03
"""Half the small box, as a share of the whole one."""
_AROUND = 0.12
"""The same for the box that is searched on when more room is asked for, or less."""
_OWN_SHARE, _OTHERS_SHARE = 0.35, 0.75
"""Shares of such a search's budget after which it has looked with the same spring, with others."""
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


class Stopped(Exception):
    """The search was cancelled."""


class Search:
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
        self.run(*self.around(_NEAR, self.best_place), seed + 1, until)

    def search_on(self, seed: int, until: int, found: Sequence[Values]) -> list[Values]:
        """Search around the best; where springs are chosen, then among the others too.

        found: the places (D,) that were best so far. The answer is what was best at either.
        """
        space, begun = self.space, self.evaluations
        own = _OWN_SHARE if space.choices else 1.0
        self.run(*self.around(_AROUND, self.best_place), seed, begun + int(own * (until - begun)))
        if not space.choices:
            return [self.best_place]
        kept = self.best_place
        self.batches = Batches.of(space, kept, 1.0)
        others = begun + int(_OTHERS_SHARE * (until - begun))
        self.run(space.lows, space.highs, seed, others, [kept, *found])
        self.look_closer(_AROUND)
        self.run(*self.around(_AROUND, self.best_place), seed, until)
        return [kept, self.best_place]

    def cost(self, place: Values) -> float:
        """The cost of a place (D,) without the room that copies need."""
        return float(self._costs(place[None, :], None)[0])

    def costs(self, places: Values, reserve: Values | None = None) -> Values:
        """Costs (S,) of places (S, D), with a reserve (S, L) in scales; they count as tried."""
        costs = self._costs(places, reserve)
        self.tell(len(places))
        return costs

    def tell(self, tried: int) -> None:
        """Count so many designs as tried, and tell of the best so far."""
        self.evaluations += tried
        if self.progress:
            self.progress(self._so_far())

    def go_on(self) -> None:
        """Raises Stopped once the search was cancelled."""
        if self.cancelled and self.cancelled():
            raise Stopped

    def _costs(self, places: Values, reserve: Values | None) -> Values:
        change = self.space.change(places)
        reserve = self.goal.no_reserve(places) if reserve is None else reserve
        costs = np.full(len(places), HOPELESS)
        for rows, plan, parameters in self.batches.split(places):
            values = read_batch(plan, parameters, POSITIONS).values
            costs[rows] = self.goal.costs(values, change[rows], reserve[rows])
        return costs

    def around(self, share: float, place: Values) -> tuple[Values, Values]:
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
        self.go_on()
        places = self.space.tidied(where.T) if self.goal.wish.aim == "near" else where.T
        reserve = self.reserves.asked(places) if self.reserves else None
        costs = self._costs(places, reserve)
        self.evaluations += len(places)
        before = self.best_cost
        for at in np.argsort(costs):
            if not costs[at] < self.best_cost:
                break
            if self.sound(places[at]):
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
            low, high = (side[free] for side in self.around(_AROUND, place))
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

    def sound(self, place: Values) -> bool:
        """Whether the design at a place (D,) passes `solver.checks`."""
        try:
            return not problems(self.space.design_at(place))
        except DesignProblem:
            return False

    def _so_far(self) -> Progress:
        design = self.space.design_at(self.best_place)
        margins, value = self.judged(self.best_place, POSITIONS)
        holds = all(each.holds for each in margins)
        return Progress(self.evaluations, self.budget, design, holds, margins, value)

    def judged(self, place: Values, positions: int) -> tuple[tuple[Room, ...], float | None]:
        """The room to each demand at a place (D,), and what the wish is about, or None."""
        wanted, design = self.goal.wanted, self.space.design_at(place)
        plan = compile_design(design)
        values = read_batch(plan, plan.parameters(design), positions).values
        room = wanted.margins(values)[0]
        shares = room / wanted.scales
        change = self.space.change(place[None, :])
        value = float(self.goal.value(values, self.goal.shares(values), change)[0])
        rows = zip(wanted.labels, wanted.limits, room.tolist(), shares.tolist(), strict=True)
        return tuple(Room(*row) for row in rows), None if np.isnan(value) else value
