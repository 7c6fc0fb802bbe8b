"""The simplest answer: no number changed that need not be, and the rest as little as can be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, product
from pathlib import Path

import numpy as np
import pytest

from solver import files
from solver.analysis import analyse
from solver.batch import read_batch
from solver.changes import changes
from solver.layouts import LAYOUTS
from solver.margins import demands
from solver.model import CompressionSpring, Design, Limit
from solver.movables import (
    Movable,
    PointBox,
    PointLine,
    SpringChoice,
    SpringNumber,
    StopRange,
)
from solver.number_names import find_number, with_number
from solver.project import Display
from solver.spread import held, spread
from solver.tuner import Tuning, tune
from solver.tuning_goal import Wish
from solver.tuning_search import Progress
from solver.tuning_space import Batches, Space

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}
METRIC = Display()
STEPS = {"x": 0.1, "y": 0.1, "rate": 0.01, "free_length": 0.1, "rest_a": 0.1, "rest_b": 0.1}
EXAMPLES = Path(__file__).resolve().parents[2] / "assets" / "examples"


def without_rod() -> Design:
    """The diverter whose lever sits on the flap's shaft; too few of its copies hold."""
    project = files.load(EXAMPLES / "09-with-or-without-rod.throwover")
    return project.variants[1].design


def may_move(design: Design) -> list[Movable]:
    """All points but the lever's pivot, both rests, and the first spring's rate and length."""
    spring = design.springs[0]
    assert isinstance(spring, CompressionSpring)
    length = spring.free_length or 0.0
    return [
        *(PointBox(each.name, 8.0, 8.0) for each in design.points if each.name != "pivot"),
        SpringNumber(spring.name, "rate", 0.8 * spring.rate, 1.2 * spring.rate),
        SpringNumber(spring.name, "free_length", 0.9 * length, 1.1 * length),
        StopRange("A", design.stops.rest_a - 5.0, design.stops.rest_a + 5.0),
        StopRange("B", design.stops.rest_b - 5.0, design.stops.rest_b + 5.0),
    ]


def numbers(movables: list[Movable]) -> Iterator[str]:
    """The paths of all numbers that may change."""
    for movable in movables:
        match movable:
            case PointBox():
                yield from (f"points.{movable.point}.{axis}" for axis in "xy")
            case SpringNumber():
                yield f"springs.{movable.spring}.{movable.field}"
            case StopRange():
                yield f"stops.rest_{movable.rest.lower()}"
            case _:
                raise AssertionError(movable)


def value_of(design: Design, path: str) -> float:
    value = find_number(design, path).value
    assert value is not None
    return value


def changed(before: Design, after: Design, movables: list[Movable]) -> list[str]:
    return [path for path in numbers(movables) if value_of(before, path) != value_of(after, path)]


def holds(design: Design, share: float | None) -> bool:
    """All that is wanted, by the analysis and by copies."""
    if not analyse(design).good:
        return False
    return share is None or spread(design).all_limits.share >= share


def simplest(before: Design, found: Tuning, movables: list[Movable], share: float | None) -> None:
    """Assert what is promised of an answer that was rounded."""
    assert found.holds
    assert holds(found.design, share)
    for path in changed(before, found.design, movables):
        first, now = value_of(before, path), value_of(found.design, path)
        assert not holds(with_number(found.design, path, first), share), path
        step = STEPS[path.rpartition(".")[2]]
        if abs(now - first) > step:
            nearer = now + (step if first > now else -step)
            assert not holds(with_number(found.design, path, nearer), share), path


def asking(design: Design, **factors: float) -> Design:
    """The design with limits that ask for so many times what its readings are now."""
    now = analyse(design).readings
    limits = [Limit("hang_zone", at_most=30.0)]
    for key, factor in factors.items():
        bound = factor * now[key].value
        limits.append(Limit(key, at_least=bound) if factor > 1.0 else Limit(key, at_most=bound))
    return replace(design, limits=tuple(limits))


@pytest.mark.parametrize("share", [None, 0.95])
@pytest.mark.parametrize("more", [1.02, 1.15])
def test_one_number_is_changed_where_one_will_do(more: float, share: float | None) -> None:
    design = asking(LAYOUT["compression"](), holding_force=more)
    movables = may_move(design)
    found = tune(design, movables, Wish("near", share=share), display=METRIC)
    simplest(design, found, movables, share)
    assert len(changed(design, found.design, movables)) == 1


def small(movables: list[Movable], part: float) -> list[Movable]:
    """The same with so small a part of each range."""
    found: list[Movable] = []
    for movable in movables:
        match movable:
            case PointBox():
                found.append(PointBox(movable.point, part * movable.dx, part * movable.dy))
            case SpringNumber() | StopRange():
                middle, half = 0.5 * (movable.low + movable.high), movable.high - movable.low
                half *= 0.5 * part
                found.append(replace(movable, low=middle - half, high=middle + half))
            case _:
                raise AssertionError(movable)
    return found


def tight() -> tuple[Design, list[Movable]]:
    """A design that needs more than what any one number may change."""
    design = asking(LAYOUT["compression"](), holding_force=1.2)
    return design, small(may_move(design), 0.3)


@pytest.mark.parametrize(("more", "share", "most"), [(1.4, None, 3), (1.2, 0.9, 2), (1.6, None, 4)])
def test_what_one_number_cannot_do_is_done_with_no_more_than_it_takes(
    more: float, share: float | None, most: int
) -> None:
    """Fewer will not do: not in any place tried of any set of one number less."""
    design = asking(LAYOUT["compression"](), holding_force=more)
    movables = small(may_move(design), 0.3)
    found = tune(design, movables, Wish("near", share=share), display=METRIC)
    simplest(design, found, movables, share)
    assert len(changed(design, found.design, movables)) == most
    assert share is not None or not any_holds(design, movables, most - 1)


def any_holds(design: Design, movables: list[Movable], many: int) -> bool:
    """Whether all holds anywhere with so many numbers changed: corners and random places."""
    space, wanted = Space.of(design, movables), demands(design)
    rng = np.random.default_rng(1)
    corners = np.array(list(product((0.0, 1.0), repeat=many)))
    batch = []
    for chosen in combinations(range(len(space.lows)), many):
        at = list(chosen)
        parts = np.concatenate([corners, rng.uniform(size=(150, many))])
        places = np.repeat(space.present[None, :], len(parts), axis=0)
        places[:, at] = space.lows[at] + parts * (space.highs - space.lows)[at]
        batch.append(places)
    places = np.concatenate(batch)
    ((_, plan, parameters),) = Batches.of(space, space.present, 1.0).split(places)
    room = wanted.margins(read_batch(plan, parameters, 91).values)
    return bool((room >= 0.0).all(axis=1).any())


def test_the_example_is_answered_with_one_number() -> None:
    """Lever foot or spring anchor, rate or free length: each alone will do, so no two are told."""
    design = without_rod()
    spring = design.springs[0]
    assert isinstance(spring, CompressionSpring)
    movables: list[Movable] = [
        PointBox("lever foot", 10.0, 10.0),
        PointBox("spring anchor", 10.0, 10.0),
        SpringNumber(spring.name, "rate", 0.8 * spring.rate, 1.2 * spring.rate),
        SpringNumber(spring.name, "free_length", 64.0, 96.0),
    ]
    found = tune(design, movables, Wish("near", share=0.99), display=METRIC)
    simplest(design, found, movables, 0.99)
    assert len(changed(design, found.design, movables)) == 1
    (told,) = changes(design, found.design, METRIC)
    assert " and " not in told


def test_a_spring_of_a_list_is_one_number_and_more_than_a_small_change() -> None:
    design = asking(LAYOUT["compression"](), holding_force=1.1)
    spring = design.springs[0]
    assert isinstance(spring, CompressionSpring)
    drawer = tuple(replace(spring, rate=factor * spring.rate) for factor in (1.0, 1.02, 1.3, 1.4))
    choice = SpringChoice(spring.name, drawer)
    short, long = PointLine("lever foot", -90.0, 0.01), PointLine("lever foot", -90.0, 10.0)
    alone = tune(design, [choice, short], Wish("near"), display=METRIC)
    assert alone.design.springs == drawer[2:3]
    assert alone.design.points == design.points
    moved = tune(design, [choice, long], Wish("near"), display=METRIC)
    assert moved.design.springs == design.springs
    assert moved.holds


def test_numbers_that_do_nothing_for_another_wish_stay_as_they_are() -> None:
    """Fixing holes move no reading, so nobody is told to drill them elsewhere."""
    design = without_rod()
    movables: list[Movable] = [
        *(PointBox(f"fixing {at}", 10.0, 10.0) for at in (1, 2, 3)),
        PointBox("lever foot", 4.0, 4.0),
        PointBox("flap edge", 4.0, 4.0),
    ]
    for wish in (Wish("robust"), Wish("most", "holding_force"), Wish("least", "peak_effort")):
        found = tune(design, movables, wish, budget=2000, display=METRIC)
        assert found.holds
        moved = changed(design, found.design, movables)
        assert moved
        assert not [path for path in moved if "fixing" in path]


@pytest.mark.parametrize("share", [None, 0.99])
def test_where_nothing_holds_all_what_does_not_help_stays_as_it_is(share: float | None) -> None:
    design = replace(without_rod(), limits=(Limit("holding_force", at_least=500.0),))
    movables: list[Movable] = [PointBox("fixing 1", 10.0, 10.0), PointBox("lever foot", 4.0, 4.0)]
    found = tune(design, movables, Wish("near", share=share), budget=2000, display=METRIC)
    assert not found.holds
    assert set(changed(design, found.design, movables)) <= {
        "points.lever foot.x",
        "points.lever foot.y",
    }
    before, after = (analyse(each).readings["holding_force"] for each in (design, found.design))
    assert after.value > before.value


def test_what_is_put_back_is_not_seen_in_the_wish() -> None:
    design = without_rod()
    movables = may_move(design)
    wish = Wish("most", "holding_force")
    found = tune(design, movables, wish, budget=3000, display=METRIC)
    shown = round(analyse(found.design).readings["holding_force"].value, 2)
    for path in changed(design, found.design, movables):
        back = with_number(found.design, path, value_of(design, path))
        made = analyse(back)
        assert not made.good or round(made.readings["holding_force"].value, 2) < shown, path


def test_a_design_of_which_enough_copies_hold_is_left_alone() -> None:
    limits = (Limit("holding_force", at_least=0.5), Limit("hang_zone", at_most=60.0))
    design = replace(LAYOUT["compression"](), limits=limits)
    assert holds(design, 0.9)
    found = tune(design, may_move(design), Wish("near", share=0.9), display=METRIC)
    assert found.design == design
    assert found.value == 0.0


def test_the_same_answer_twice() -> None:
    design, movables = tight()
    wish = Wish("near", share=0.9)
    first, second = (tune(design, movables, wish, display=METRIC, budget=3000) for _ in range(2))
    assert first == second


def test_it_can_be_stopped_at_any_time_and_is_no_worse_than_before() -> None:
    design, movables = tight()
    design = asking(LAYOUT["compression"](), holding_force=1.4)
    whole: list[Progress] = []
    asked = {"movables": movables, "wish": Wish("near"), "display": METRIC, "budget": 4000}
    tune(design, progress=whole.append, **asked)  # type: ignore[arg-type]
    for part in (0.02, 0.6, 0.85, 0.95, 0.99):
        seen: list[Progress] = []
        last = int(part * len(whole))

        def stop(seen: list[Progress] = seen, last: int = last) -> bool:
            return len(seen) >= last

        found = tune(design, progress=seen.append, cancelled=stop, **asked)  # type: ignore[arg-type]
        assert found.cancelled
        assert found.holds or not any(each.holds for each in whole[: last - 1])


def test_held_says_what_spread_says() -> None:
    bare = LAYOUT["compression"]()
    for design in (without_rod(), replace(bare, limits=())):
        found = spread(design, 500)
        share = found.all_limits if found.limits else found.good
        assert held(design, 500) == share.share
