"""What may be off in a copy of a design, as independent items with the numbers that they move."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from solver.hole_tolerances import hole_tolerances
from solver.model import Design, ExtensionSpring, Force, TorsionSpring
from solver.number_names import NamedNumber, find_number, named_numbers
from solver.plan import Plan
from solver.units import Quantity


@dataclass(frozen=True, slots=True)
class Spreadable:
    """One thing that may be off, independent of all others.

    A copy's parameter `columns[i]` is nominal + middle[i] + u · reach[i], with u = ±1 at the ends
    of the tolerance; units are those of the parameter vector. `plus_minus` is the tolerance in
    the document's unit. The x and the y of a hole are two items with one label.
    """

    number: str
    label: str
    quantity: Quantity
    plus_minus: float
    columns: tuple[int, ...]
    reach: tuple[float, ...]
    middle: tuple[float, ...]


def spreadables(design: Design, plan: Plan) -> tuple[Spreadable, ...]:
    """Everything that the design's tolerances let be off, in the order of the parts.

    `plan` is that of the design, compiled with holes. The grip is where the hand is, not a hole;
    nor is any point that nothing sits at. What has no tolerance is left out.
    """
    own = {each.number: each.plus_minus for each in design.tolerances.own}
    gather = _Gather(design, plan, plan.parameters(design), own)
    return tuple(item for item in gather.all() if any(item.reach) or any(item.middle))


def own_choices(design: Design) -> Iterator[NamedNumber]:
    """Everything that may have an own tolerance, in words, with its present value.

    `points.<point>` are the holes of all links there, `holes.<link>.<point>` that of one (value:
    None). The quantity is that of the tolerance: a stop's is an angle, not a direction.
    """
    for point in design.points:
        yield NamedNumber(f"points.{point.name}", f"holes at {point.name}", "length", None)
    for link in design.links:
        for name in link.points:
            path = f"holes.{link.name}.{name}"
            yield NamedNumber(path, hole_label(link.name, name), "length", None)
    for number in named_numbers(design):
        chosen = number.value is not None and number.quantity != "count"
        if chosen and not number.path.startswith("points."):
            yield _as_tolerance(number)


def hole_label(link: str, point: str) -> str:
    """What one link's own hole is called."""
    return f"hole of the {link} at {point}"


def _as_tolerance(number: NamedNumber) -> NamedNumber:
    """A number as something that may be off; what it scales by stays the same."""
    quantity: Quantity = "angle" if number.quantity == "direction" else number.quantity
    return replace(number, label=_STOPS.get(number.path, number.label), quantity=quantity)


_STOPS = {f"stops.rest_{rest}": f"stop at rest {rest.upper()}" for rest in "ab"}
_FRICTIONS = (".friction", ".end_friction")


@dataclass(frozen=True, slots=True)
class _Gather:
    design: Design
    plan: Plan
    values: NDArray[np.float64]
    own: Mapping[str, float]

    def all(self) -> Iterator[Spreadable]:
        yield from self._holes()
        yield from self._springs()
        yield from self._friction()
        yield from self._stops()
        yield from self._loads()
        yield from self._own()

    def _item(
        self,
        number: str,
        label: str,
        quantity: Quantity,
        plus_minus: float,
        moves: Iterable[tuple[str, float, float]],
    ) -> Iterator[Spreadable]:
        """`moves`: path, reach and middle of numbers; those with an own tolerance are left out."""
        moved = [move for move in moves if move[0] not in self.own]
        if moved:
            paths, reach, middle = zip(*moved, strict=True)
            columns = tuple(self.plan.column(path) for path in paths)
            yield Spreadable(number, label, quantity, plus_minus, columns, reach, middle)

    def _value(self, path: str) -> float:
        return float(self.values[self.plan.column(path)])

    def _holes(self) -> Iterator[Spreadable]:
        for link, point, off in hole_tolerances(self.design):
            for axis in "xy":
                path = f"holes.{link}.{point}.{axis}"
                label = hole_label(link, point)
                yield from self._item(path, label, "length", off, [(path, off, 0.0)])

    def _springs(self) -> Iterator[Spreadable]:
        given = self.design.tolerances
        for spring in self.design.springs:
            path = f"springs.{spring.name}"
            shares = {"rate": given.rate}
            if isinstance(spring, ExtensionSpring):
                shares["initial_tension"] = given.initial_tension
            for key, percent in shares.items():
                yield from self._percent(f"{path}.{key}", percent)
            if isinstance(spring, TorsionSpring):
                yield from self._single(f"{path}.free_angle", given.free_angle)
            else:
                yield from self._single(f"{path}.free_length", given.free_length)

    def _percent(self, path: str, percent: float) -> Iterator[Spreadable]:
        number = find_number(self.design, path)
        if number.value is not None:
            yield from self._single(path, abs(number.value) * percent / 100.0)

    def _single(self, path: str, off: float) -> Iterator[Spreadable]:
        """One number with a tolerance in the document's unit."""
        number = _as_tolerance(find_number(self.design, path))
        move = (path, off * number.per_unit, 0.0)
        yield from self._item(path, number.label, number.quantity, off, [move])

    def _friction(self) -> Iterator[Spreadable]:
        """All coefficients together: one factor for a dry day or a wet one."""
        given = self.design.tolerances
        half = 0.5 * (given.friction_most - given.friction_least)
        above = 0.5 * (given.friction_most + given.friction_least) - 1.0
        present = {p: self._value(p) for p in self.plan.columns if p.endswith(_FRICTIONS)}
        moves = [(path, half * value, above * value) for path, value in present.items()]
        yield from self._item("friction", "friction", "ratio", half, moves)

    def _stops(self) -> Iterator[Spreadable]:
        off = self.design.tolerances.stop
        for rest in "ab":
            yield from self._single(f"stops.rest_{rest}", off)

    def _loads(self) -> Iterator[Spreadable]:
        percent = self.design.tolerances.load
        for weight in self.design.weights:
            yield from self._percent(f"weights.{weight.name}.mass", percent)
        for load in self.design.loads:
            kind = "force" if isinstance(load, Force) else "torque"
            keys = ("x", "y") if isinstance(load, Force) else ("torque",)
            paths = [f"loads.{load.name}.{key}" for key in keys]
            share = percent / 100.0
            moves = [(path, self._value(path) * share, 0.0) for path in paths]
            number, label = f"loads.{load.name}", f"{kind} of {load.name}"
            yield from self._item(number, label, "ratio", share, moves)

    def _own(self) -> Iterator[Spreadable]:
        """Own tolerances of numbers other than holes; a number left out has nothing to be off."""
        for path, off in self.own.items():
            if path in self.plan.columns and not math.isnan(self._value(path)):
                number = _as_tolerance(find_number(self.design, path))
                column, reach = self.plan.column(path), off * number.per_unit
                yield Spreadable(
                    path, number.label, number.quantity, off, (column,), (reach,), (0.0,)
                )
