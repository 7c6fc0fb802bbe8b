"""How a reading changes with every number of a design, and which way each point should go.

One batch holds the design with every number a little less and a little more: central
differences. With a step h their error is h²/6 times the reading's third derivative (h²/3, and
differences to one side, for a number that is at zero and cannot be less). Lengths are stepped by
1/5000 of the lever's arm, angles by 0.02°, frictions by 0.001, all else by 1/1000 of its value; a
reading that bends over a length l is thus off by a share of about (h/l)²/6, 1e-7 for a bend over
the arm's fifth part.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.batch import read_batch
from solver.edit import distance, move_point
from solver.errors import DesignProblem
from solver.model import Design
from solver.number_names import NamedNumber, named_numbers
from solver.plan import Plan, compile_design
from solver.readings import ReadingKind, catalogue
from solver.sampling import may_be_negative
from solver.typical import Typical
from solver.units import Quantity

Array = NDArray[np.float64]

_ARM_SHARE = 2e-4
_DEGREES = 0.02
_FRICTION = 1e-3
_VALUE_SHARE = 1e-3
_LEAST_VALUE: dict[Quantity, float] = {"force": 1.0, "torque": 100.0, "mass": 0.1}
"""What a number near zero is stepped as if it were."""

_MORE = ("holding", "seating", "barrier", "slack_margin", "bottoming_margin", "rod_margin")
_LESS = ("peak_effort", "hang_zone", "pin_load", "spring_force")


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What one number does to the reading.

    per_unit: change of the reading (its base unit) per unit of the number (document's unit);
    typical: the number's tolerance, or what is usual for its kind where it has none; rise, fall:
    change of the reading where the number is `typical` more, less, by the slope to that side.
    They differ in size where the reading has a corner, as the weaker of two equal rests has.
    """

    number: NamedNumber
    per_unit: float
    typical: float
    rise: float
    fall: float

    @property
    def effect(self) -> float:
        """Size of the greater change by `typical`, base unit of the reading; 0 for NaN."""
        return max(_size(self.rise), _size(self.fall))


@dataclass(frozen=True, slots=True)
class Arrow:
    """The direction (x, y), of length 1, in which a point should go, and the gain per mm, ≥ 0.

    The gain is what the reading rises by, or falls by where less of it is better; (0, 0) where
    moving the point does nothing.
    """

    point: str
    x: float
    y: float
    per_mm: float


@dataclass(frozen=True, slots=True)
class Sensitivities:
    """What one reading depends on.

    better: +1 where more of the reading is better (by the design's limit on it, or by its kind),
    -1 where less, 0 where neither; arrows then point to more. ranked: greatest effect first.
    """

    reading: ReadingKind
    value: float
    better: int
    ranked: tuple[Sensitivity, ...]
    arrows: tuple[Arrow, ...]


def sensitivities(design: Design, reading: str, positions: int = 181) -> Sensitivities:
    """What a reading depends on, by every number but gravity.

    Points move as a builder's edit moves them: with all links that share them, pins along their
    slots. Raises DesignProblem for a design that cannot be compiled or does not have the reading.
    """
    plan = compile_design(design)
    kind = next((kind for kind in catalogue(design) if kind.key == reading), None)
    if kind is None:
        raise DesignProblem(f"This design has no reading “{reading}”: choose another.", reading)
    chosen = [number for number in named_numbers(design) if _counts(number)]
    arm = distance(design, design.lever_pivot(), design.grip)
    steps = [_step(number, arm) for number in chosen]
    nominal = plan.parameters(design)
    rows = [nominal]
    for number, step in zip(chosen, steps, strict=True):
        rows += [_stepped(design, plan, nominal, number, off) for off in _offsets(number, step)]
    values = read_batch(plan, np.array(rows), positions).values[reading]
    around = values[1:].reshape(-1, 2)
    typical = Typical.of(design)
    found = [
        _sensitivity(number, step, float(values[0]), pair, typical.change(number))
        for number, step, pair in zip(chosen, steps, around, strict=True)
    ]
    better = which_is_better(design, reading)
    return Sensitivities(
        reading=kind,
        value=float(values[0]),
        better=better,
        ranked=tuple(sorted(found, key=lambda each: -each.effect)),
        arrows=_arrows(design, found, -1.0 if better < 0 else 1.0),
    )


def which_is_better(design: Design, reading: str) -> int:
    """+1 where more of a reading is better, -1 where less, 0 where that cannot be said.

    The design's own limit on it decides; without one, or with both bounds, the kind does.
    """
    for limit in design.limits:
        if limit.reading == reading and (limit.at_least is None) != (limit.at_most is None):
            return -1 if limit.at_least is None else 1
    return int(reading.startswith(_MORE)) - int(reading.startswith(_LESS))


def _counts(number: NamedNumber) -> bool:
    """Whether a number is one that a builder chooses step by step."""
    known = number.value is not None and number.quantity != "count"
    return known and not number.path.startswith("gravity.")


def _value(number: NamedNumber) -> float:
    return math.nan if number.value is None else number.value


def _step(number: NamedNumber, arm: float) -> float:
    """Half the width of a number's difference, document's unit."""
    match number.quantity:
        case "length":
            return _ARM_SHARE * arm
        case "angle" | "direction":
            return _DEGREES
        case "ratio":
            return _FRICTION
        case other:
            return _VALUE_SHARE * max(abs(_value(number)), _LEAST_VALUE.get(other, 0.0))


def _offsets(number: NamedNumber, step: float) -> tuple[float, float]:
    if may_be_negative(number.path) or _value(number) >= step:
        return -step, step
    return step, 2.0 * step


def _stepped(design: Design, plan: Plan, nominal: Array, number: NamedNumber, off: float) -> Array:
    """The parameters of the design with one number off."""
    kind, _, rest = number.path.partition(".")
    if kind == "points":
        point = design.point(rest[:-2])
        x, y = (point.x + off, point.y) if rest.endswith(".x") else (point.x, point.y + off)
        return plan.parameters(move_point(design, point.name, x, y))
    changed = nominal.copy()
    changed[plan.column(number.path)] += off * number.per_unit
    return changed


def _sensitivity(
    number: NamedNumber, step: float, middle: float, pair: Array, typical: float
) -> Sensitivity:
    first, second = float(pair[0]), float(pair[1])
    if _offsets(number, step)[0] < 0.0:
        up, down = (second - middle) / step, (middle - first) / step
        slope = 0.5 * (up + down)
        if math.isnan(slope):  # it locks to one side
            slope = down if math.isnan(up) else up
    else:
        slope = up = down = (4.0 * first - 3.0 * middle - second) / (2.0 * step)
    return Sensitivity(number, slope, typical, up * typical, -down * typical)


def _arrows(design: Design, found: list[Sensitivity], way: float) -> tuple[Arrow, ...]:
    slopes = {each.number.path: each.per_unit for each in found}
    arrows = []
    for point in design.points:
        x, y = (way * slopes[f"points.{point.name}.{axis}"] for axis in "xy")
        steep = math.hypot(x, y)
        unit = (x / steep, y / steep) if steep > 0.0 else (0.0, 0.0)
        arrows.append(Arrow(point.name, *unit, steep))
    return tuple(arrows)


def _size(value: float) -> float:
    return 0.0 if math.isnan(value) else abs(value)
