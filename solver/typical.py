"""The change of a number that is typical: what makes unlike numbers comparable."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from solver.hole_tolerances import hole_tolerances
from solver.model import Design, Tolerances
from solver.number_names import NamedNumber


@dataclass(frozen=True, slots=True)
class Typical:
    """By how much the numbers of a design are typically off.

    `own` are the own tolerances by path, `holes` the greatest tolerance of the holes at a point.
    """

    given: Tolerances
    own: Mapping[str, float]
    holes: Mapping[str, float]

    @classmethod
    def of(cls, design: Design) -> Typical:
        """For a design with its tolerances."""
        holes: dict[str, float] = {}
        for _, point, off in hole_tolerances(design):
            holes[point] = max(off, holes.get(point, 0.0))
        own = {each.number: each.plus_minus for each in design.tolerances.own}
        return cls(design.tolerances, own, holes)

    def change(self, number: NamedNumber) -> float:
        """A number's tolerance; where that is zero, what is usual for its kind."""
        given, defaults = self.given, Tolerances()
        kind, _, rest = number.path.partition(".")
        name, _, key = rest.rpartition(".")
        size = 0.0 if number.value is None else abs(number.value)
        if own := self.own.get(number.path):
            return own
        if kind == "points":
            return self.holes.get(name) or given.hole or defaults.hole
        if key in ("free_length", "free_angle"):
            off: float = getattr(given, key) or getattr(defaults, key)
            return off
        if key == "initial_tension":
            return size * (given.initial_tension or defaults.initial_tension) / 100.0
        match number.quantity:
            case "length":
                return given.hole or defaults.hole
            case "angle" | "direction":
                return given.stop or defaults.stop
            case "ratio":
                half = 0.5 * (given.friction_most - given.friction_least)
                return max(size, 0.1) * (half or 0.5)
            case "rate" | "angular_rate":
                return size * (given.rate or defaults.rate) / 100.0
            case _:
                return size * (given.load or defaults.load) / 100.0
