"""Numbers that can be marked out: the places in the tuner's space that lie on a drawing's steps.

A search ends at numbers such as 150.0637 mm. Nobody drills to that, so its answer is rounded to
what the sheet prints, each number to one side or the other, whichever still holds what was asked.
"""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.typing import NDArray

from solver import units
from solver.movables import PointBox, PointLine, SpringNumber, StopRange, path_of
from solver.number_names import find_number
from solver.project import Display
from solver.tuning_space import Space
from solver.units import Quantity

Values = NDArray[np.float64]

GRAINS = (1.0, 0.5, 0.1, 0.01)
"""Steps as multiples of the drawing's, the coarsest first."""
_INCH_STEP = 0.005
_DECIMALS: dict[Quantity, int] = {"length": 1, "rate": 2, "angular_rate": 2}
_USUAL_DECIMALS = 1
_MOST = 10
"""Numbers rounded to either side; of more, those after the tenth to the nearer one."""


def step_of(quantity: Quantity, display: Display) -> float:
    """The step in base units to which a number of a drawing is rounded."""
    if quantity == "length" and display.units == "inch":
        return _INCH_STEP / units.factor(quantity, display)
    return 10.0 ** -_DECIMALS.get(quantity, _USUAL_DECIMALS) / units.factor(quantity, display)


def rounded(space: Space, place: Values, display: Display, grain: float) -> Values:
    """Places (S, D) around a place (D,) whose numbers are whole steps; the nearest is the first.

    A number that is less than half a step off what the design has now stays as it is or goes to
    the next whole step. None lies outside the ranges.
    """
    steps, zeros = _steps(space, display)
    steps = grain * steps
    sides: list[tuple[float, ...]] = []
    for at, value in enumerate(place):
        step, present = steps[at], space.present[at]
        if not step > 0.0 or value == present:
            sides.append((value,))
            continue
        count = (zeros[at] + value) / step
        whole = (np.floor(count), np.ceil(count))
        near = sorted(whole, key=lambda each, count=count: abs(each - count))  # type: ignore[misc]
        found = [each * step - zeros[at] for each in dict.fromkeys(near)]
        low, high = space.lows[at] - 1e-9, space.highs[at] + 1e-9
        inside = tuple(each for each in found if low <= each <= high) or (value,)
        if abs(value - present) < 0.5 * step:
            beyond = (each for each in inside if (each - value) * (value - present) > 0.0)
            inside = (present, *beyond)
        sides.append(inside if sum(len(side) > 1 for side in sides) < _MOST else inside[:1])
    return np.array(list(product(*sides)))


def nearer(space: Space, place: Values, at: int, display: Display, grain: float) -> float:
    """The number (of dimension `at`) of a place (D,) a whole step nearer to what the design has.

    What the design has where that is less than a step away, or the number is whole anyway.
    """
    steps, zeros = _steps(space, display)
    step, value, present = grain * steps[at], place[at], space.present[at]
    if not step > 0.0:
        return float(present)
    way = 1.0 if present > value else -1.0
    count = (zeros[at] + value) / step
    count = np.floor(count + 1e-6) + 1.0 if way > 0.0 else np.ceil(count - 1e-6) - 1.0
    found = float(count * step - zeros[at])
    return float(present) if (present - found) * way <= 1e-9 else found


def _steps(space: Space, display: Display) -> tuple[Values, Values]:
    """Step of each dimension (D,), 0 for one that is whole anyway, and what its zero stands for.

    Points move by offsets, but it is their coordinates that are rounded.
    """
    steps: list[float] = []
    zeros: list[float] = []
    length = step_of("length", display)
    for movable in space.movables:
        match movable:
            case PointBox():
                point = space.design.point(movable.point)
                steps += [length, length]
                zeros += [point.x, point.y]
            case PointLine():
                steps.append(length)
                zeros.append(0.0)
            case SpringNumber() | StopRange():
                quantity = find_number(space.design, path_of(movable)).quantity
                kind: Quantity = "angle" if quantity == "direction" else quantity
                steps.append(step_of(kind, display))
                zeros.append(0.0)
            case _:
                steps.append(0.0)
                zeros.append(0.0)
    return np.array(steps), np.array(zeros)
