"""Each step to the simplest answer by itself, begun at a place that is not simple."""

from __future__ import annotations

import numpy as np
import pytest

from solver.model import Design
from solver.movables import Movable, PointBox, SpringNumber
from solver.project import Display
from solver.tuning_exact import Copies, changed, is_good, put_back, round_to
from solver.tuning_goal import Goal, Wish
from solver.tuning_search import Search
from solver.tuning_simple import leave_out, one_number
from solver.tuning_space import Batches, Space
from solver.workshop_numbers import nearer
from tests.solver.test_tuning_simple import LAYOUT, METRIC, asking

FOOT_Y, RATE, LENGTH = 1, 2, 3


def begun(design: Design, movables: list[Movable], share: float | None = None) -> Search:
    space = Space.of(design, movables)
    goal = Goal.of(design, Wish("near", share=share))
    return Search(space, Batches.of(space, space.present, 1.0), goal, 3000)


def stronger() -> tuple[Design, list[Movable]]:
    """A lever that shall hold more, by its foot, the rate of its spring or how long it is."""
    design = asking(LAYOUT["compression"](), holding_force=1.1)
    spring = design.springs[0]
    rate = SpringNumber(spring.name, "rate", 0.8 * spring.rate, 1.2 * spring.rate)
    length = SpringNumber(spring.name, "free_length", 76.0, 88.0)
    return design, [PointBox("lever foot", 8.0, 8.0), rate, length]


def at(search: Search, **numbers: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    place = search.space.present.copy()
    for name, value in numbers.items():
        place[{"x": 0, "y": FOOT_Y, "rate": RATE, "length": LENGTH}[name]] += value
    return place


def test_one_number_is_the_one_that_changes_least_as_found_by_halving() -> None:
    design, movables = stronger()
    search = begun(design, movables)
    found = one_number(search, Copies(search, 200))
    assert found is not None
    space, least = search.space, []
    for dimension in range(4):
        for end in (space.lows[dimension], space.highs[dimension]):
            low, high = 0.0, 1.0
            place = space.present.copy()
            place[dimension] = end
            if not is_good(space.design_at(place)):
                continue
            for _ in range(20):
                middle = 0.5 * (low + high)
                place[dimension] = space.present[dimension]
                place[dimension] += middle * (end - space.present[dimension])
                good = is_good(space.design_at(place))
                low, high = (low, middle) if good else (middle, high)
            least.append(float(space.change(place[None, :])[0]))
    assert len(least) >= 3
    assert len(changed(search, found)) == 1
    assert float(space.change(found[None, :])[0]) == pytest.approx(min(least), rel=2e-3)


@pytest.mark.parametrize(
    "numbers",
    [
        {"rate": 0.12, "length": 1.0},
        {"x": 0.3, "y": -0.3, "rate": 0.1, "length": 1.0},
        {"y": -0.6, "rate": 0.15},
    ],
)
def test_what_one_number_would_do_is_left_to_one_that_goes_farther(
    numbers: dict[str, float],
) -> None:
    design, movables = stronger()
    search = begun(design, movables)
    search.best_place = at(search, **numbers)
    assert is_good(search.space.design_at(search.best_place))
    for name in numbers:
        less = at(search, **{key: value for key, value in numbers.items() if key != name})
        # None can just be put back, but the foot's way across, which does next to nothing.
        assert name == "x" or not is_good(search.space.design_at(less))
    leave_out(search, Copies(search, 200), 1)
    assert len(changed(search, search.best_place)) == 1
    assert is_good(search.space.design_at(search.best_place))


@pytest.mark.parametrize("share", [None, 0.8])
def test_put_back_goes_as_many_steps_as_it_can(share: float | None) -> None:
    design, movables = stronger()
    search = begun(design, movables, share)
    copies = Copies(search, 500)
    far = at(search, y=-7.0)
    alone = at(search, y=-7.0, x=1.0)
    search.best_place = alone
    assert share is None or copies.share(far) > share
    put_back(search, copies, METRIC, 1.0)
    assert changed(search, search.best_place).tolist() == [FOOT_Y]
    y = search.best_place[FOOT_Y]
    assert -6.9 < y < -0.2
    place = search.best_place.copy()
    place[FOOT_Y] = nearer(search.space, place, FOOT_Y, METRIC, 1.0)
    assert place[FOOT_Y] == pytest.approx(y + 0.1, abs=1e-9)
    held = copies.share(place)
    assert not is_good(search.space.design_at(place)) or (share is not None and held < share)


def test_a_change_of_less_than_half_a_step_becomes_a_whole_one_where_it_is_needed() -> None:
    design, movables = stronger()
    search = begun(asking(LAYOUT["compression"](), holding_force=1.001), movables)
    search.best_place = at(search, length=0.02)
    assert is_good(search.space.design_at(search.best_place))
    grain = round_to(search, Copies(search, 200), METRIC)
    assert grain == 1.0
    assert search.best_place.tolist() == pytest.approx(at(search, length=0.1).tolist())
    assert design.springs == search.space.design.springs


@pytest.mark.parametrize(
    ("offset", "expected"), [(0.33, 0.3), (0.3, 0.2), (0.1, 0.0), (0.04, 0.0), (-0.25, -0.2)]
)
def test_a_step_nearer(offset: float, expected: float) -> None:
    design, movables = stronger()
    search = begun(design, movables)
    place = at(search, length=offset)
    found = nearer(search.space, place, LENGTH, Display(), 1.0) - search.space.present[LENGTH]
    assert found == pytest.approx(expected, abs=1e-9)
