"""Sweeps: readings as one number of a design, or two, go through a range."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver import units
from solver.batch import read_batch
from solver.checks import check
from solver.errors import DesignProblem
from solver.model import Design
from solver.moves import following, settle
from solver.number_names import NamedNumber, find_number, with_number
from solver.plan import Plan, compile_design
from solver.plate_model import PlateModel
from solver.project import Display
from solver.readings import ReadingKind, catalogue

Values = NDArray[np.float64]

MOST = 1_000_000
"""Designs that one sweep may try."""


@dataclass(frozen=True, slots=True)
class Sweep:
    """Readings over the values (K,) of one number, in the document's unit.

    readings[key]: (K,) in base units, NaN where a design locks or has no such reading. `copies`
    says of how many a share of copies is, where there is one (`solver.sweep_copies`).
    """

    number: NamedNumber
    values: Values
    kinds: tuple[ReadingKind, ...]
    readings: dict[str, Values]
    copies: int = 0


@dataclass(frozen=True, slots=True)
class SweepMap:
    """Readings over the values of two numbers: `across` (L,) and `up` (K,), document's units.

    readings[key]: (K, L) in base units, NaN where a design locks or has no such reading.
    """

    number_across: NamedNumber
    number_up: NamedNumber
    across: Values
    up: Values
    kinds: tuple[ReadingKind, ...]
    readings: dict[str, Values]


def sweep(
    design: Design,
    number: str,
    values: Sequence[float] | Values,
    keys: Sequence[str],
    positions: int = 181,
) -> Sweep:
    """Readings for each value of one number (`solver.number_names`), in the document's unit.

    Pins follow slots that move. Raises DesignProblem for a design that cannot be solved, also at
    an end of the range (`solver.checks`), and for a number or reading that it does not have.
    """
    wanted = np.asarray(values, dtype=np.float64)
    plan, kinds = compile_design(design), _kinds(design, keys)
    named = find_number(design, number)
    parameters = _varied(plan, design, [(named, wanted)])
    found = read_batch(plan, parameters, positions).values
    return Sweep(named, wanted, kinds, {kind.key: found[kind.key] for kind in kinds})


def sweep_map(
    design: Design,
    across: tuple[str, Sequence[float] | Values],
    up: tuple[str, Sequence[float] | Values],
    keys: Sequence[str],
    positions: int = 91,
) -> SweepMap:
    """Readings for each pair of values of two numbers; otherwise as `sweep`."""
    if across[0] == up[0]:
        raise DesignProblem("A map needs two different numbers.", up[0])
    xs, ys = (np.asarray(values, dtype=np.float64) for _, values in (across, up))
    if xs.size * ys.size > MOST:
        raise DesignProblem(f"A map of {xs.size} by {ys.size} designs is too large: use fewer.")
    plan, kinds = compile_design(design), _kinds(design, keys)
    named_x, named_y = find_number(design, across[0]), find_number(design, up[0])
    shape = (ys.size, xs.size)
    pairs = [
        (named_x, np.broadcast_to(xs[None, :], shape).ravel()),
        (named_y, np.broadcast_to(ys[:, None], shape).ravel()),
    ]
    found = read_batch(plan, _varied(plan, design, pairs), positions).values
    readings = {kind.key: found[kind.key].reshape(shape) for kind in kinds}
    return SweepMap(named_x, named_y, xs, ys, kinds, readings)


def crossings(swept: Sweep, key: str, bound: float) -> Values:
    """The values (C,) of the number at which a reading is just at a bound, in the document's unit.

    bound: in base units. Found on straight lines between the values swept; a value at which the
    reading is the bound itself counts once. Directions, which turn around, have none.
    """
    kind = next(kind for kind in swept.kinds if kind.key == key)
    if kind.quantity == "direction":
        return np.array([])
    return crossed(swept.values, swept.readings[key], bound)


def crossed(values: Values, readings: Values, bound: float) -> Values:
    """The values (C,) at which readings (K,) over values (K,) are at a bound, on straight lines."""
    away = readings - bound
    before, after = away[:-1], away[1:]
    with np.errstate(invalid="ignore"):
        at = np.flatnonzero((before == 0.0) | (before * after < 0.0))
    level = before[at] == 0.0  # there it is at the value itself, and may stay
    share = np.where(level, 0.0, before[at] / np.where(level, 1.0, before[at] - after[at]))
    found = values[at] + share * (values[at + 1] - values[at])
    return np.append(found, values[-1:]) if away.size and away[-1] == 0.0 else found


def sweep_csv(swept: Sweep, display: Display) -> str:
    """One row a value, one column a reading, in the display's units."""
    head = [_title(swept.number.label, swept.number.quantity, display)]
    head += [_title(kind.label, kind.quantity, display) for kind in swept.kinds]
    columns = [_shown(swept.values, swept.number.quantity, display)]
    columns += [_shown(swept.readings[kind.key], kind.quantity, display) for kind in swept.kinds]
    return _csv([head, *zip(*columns, strict=True)])


def map_csv(swept: SweepMap, display: Display) -> str:
    """One row a pair of values, one column a reading, in the display's units."""
    numbers = (swept.number_across, swept.number_up)
    head = [_title(number.label, number.quantity, display) for number in numbers]
    head += [_title(kind.label, kind.quantity, display) for kind in swept.kinds]
    pairs = np.meshgrid(swept.across, swept.up)
    columns = [
        _shown(values.ravel(), number.quantity, display)
        for number, values in zip(numbers, pairs, strict=True)
    ]
    columns += [
        _shown(swept.readings[kind.key].ravel(), kind.quantity, display) for kind in swept.kinds
    ]
    return _csv([head, *zip(*columns, strict=True)])


def _kinds(design: Design, keys: Sequence[str]) -> tuple[ReadingKind, ...]:
    known = {kind.key: kind for kind in catalogue(design)}
    for key in keys:
        if key not in known:
            raise DesignProblem(f"This design has no reading “{key}”: choose another.", key)
    return tuple(known[key] for key in keys)


def _varied(plan: Plan, design: Design, pairs: list[tuple[NamedNumber, Values]]) -> Values:
    """Parameters (B, P) with numbers set to their values (B,), pins and plates following."""
    for number, values in pairs:
        if not np.isfinite(values).all() or not values.size:
            raise DesignProblem(f"The values for the {number.label} must be finite.", number.path)
        for end in (float(values.min()), float(values.max())):
            check(with_number(design, number.path, end))
    found = np.repeat(plan.parameters(design)[None, :], len(pairs[0][1]), axis=0)
    moved: dict[str, float] = {}
    for number, values in pairs:
        column = plan.column(number.path)
        if number.path.startswith("points."):
            point = number.path.removeprefix("points.")[:-2]
            moved[point] = max(
                moved.get(point, 0.0), float(np.abs(values - found[0, column]).max())
            )
        found[:, column] = values * number.per_unit
    settle(plan, found, moved)
    far = max(moved.values(), default=0.0)
    PlateModel.of(plan, design, dict.fromkeys(following(design, moved), far)).carry(found)
    return found


def _title(label: str, quantity: units.Quantity, display: Display) -> str:
    unit = units.unit_of(quantity, display)
    return f"{label} ({unit})" if unit else label


def _shown(values: Values, quantity: units.Quantity, display: Display) -> list[str]:
    shown = (units.displayed(float(value), quantity, display) for value in values)
    return ["" if np.isnan(value) else f"{value:.10g}" for value in shown]


def _csv(rows: Sequence[Sequence[str]]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()
