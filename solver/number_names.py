"""What each number of a design is called, what it measures, and how to set it.

A number's path is its name in the parameter vector (`solver.parameters`); values here are in
the document's units (degrees, N·mm per degree), which are the base units of `solver.units`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from operator import attrgetter

from solver.edit import replace_part
from solver.errors import DesignProblem
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Gravity,
    GuideRod,
    Pivot,
    Point,
    Screw,
    Slider,
    Stops,
    Torque,
    TorsionSpring,
    Weight,
)
from solver.near_names import look_up
from solver.units import Quantity

_DEGREE = math.pi / 180.0

_COIL: Mapping[str, tuple[str, Quantity]] = {
    "rate": ("rate", "rate"),
    "free_length": ("free length", "length"),
    "fittings": ("end fittings", "length"),
    "end_pin_diameter": ("end pin diameter", "length"),
    "end_friction": ("end friction", "ratio"),
}

FIELD_NAMES: Mapping[type, Mapping[str, tuple[str, Quantity]]] = {
    Point: {"x": ("x", "length"), "y": ("y", "length")},
    Stops: {"rest_a": ("rest A", "direction"), "rest_b": ("rest B", "direction")},
    Gravity: {
        "strength": ("gravity", "acceleration"),
        "direction": ("direction of gravity", "direction"),
    },
    Pivot: {
        "pin_diameter": ("pin diameter", "length"),
        "friction": ("friction", "ratio"),
        "drag": ("drag", "torque"),
    },
    Slider: {"friction": ("friction", "ratio"), "drag": ("drag", "force")},
    CompressionSpring: {
        **_COIL,
        "solid_length": ("solid length", "length"),
        "least_gaps": ("least gaps", "length"),
    },
    GuideRod: {"closed": ("closed rod", "length"), "reach": ("reach of the rod", "length")},
    ExtensionSpring: {
        **_COIL,
        "initial_tension": ("initial tension", "force"),
        "longest": ("longest length", "length"),
    },
    TorsionSpring: {
        "rate": ("rate", "angular_rate"),
        "free_angle": ("free angle", "angle"),
        "turns": ("further turns", "count"),
        "most_twist": ("most twist", "angle"),
    },
    Weight: {"mass": ("mass", "mass")},
    Force: {"x": ("push to the right", "force"), "y": ("push upwards", "force")},
    Torque: {"torque": ("torque", "torque")},
}
"""Class -> field -> its name in a sentence, and what it measures."""

_BOUGHT: Mapping[str, tuple[str, Quantity]] = {
    "wire": ("wire diameter", "diameter"),
    "outside_diameter": ("outside diameter", "diameter"),
    "coils": ("coils", "coils"),
}

PLAIN_NAMES: Mapping[type, Mapping[str, tuple[str, Quantity]]] = {
    CompressionSpring: _BOUGHT,
    ExtensionSpring: _BOUGHT,
    TorsionSpring: {**_BOUGHT, "leg_length": ("length of its legs", "length")},
    Screw: {"length": ("length of the screw", "length")},
}
"""The same for numbers that describe a part and move no reading: no study works on them."""


@dataclass(frozen=True, slots=True)
class NamedNumber:
    """One number of a design: path, words for it, value (None: the design leaves it out).

    A value times `per_unit` is what the parameter vector holds.
    """

    path: str
    label: str
    quantity: Quantity
    value: float | None

    @property
    def per_unit(self) -> float:
        """Size, in the parameter vector's unit, of one of the document's."""
        return per_unit(self.quantity)


def per_unit(quantity: Quantity) -> float:
    """Size, in the parameter vector's unit, of one of the document's."""
    if quantity in ("angle", "direction"):
        return _DEGREE
    if quantity == "count":  # further turns of a torsion spring are the one whole number there is
        return 2.0 * math.pi
    return 1.0 / _DEGREE if quantity == "angular_rate" else 1.0


def named_numbers(design: Design) -> tuple[NamedNumber, ...]:
    """Every number of a design, in the order of the parameter vector.

    Not among them is what plates weigh, which follows from their shape.
    """
    return tuple(_numbers(design))


def find_number(design: Design, path: str) -> NamedNumber:
    """The number of that path; DesignProblem where the design has none."""
    for number in _numbers(design):
        if number.path == path:
            return number
    raise DesignProblem(f"This design has no number “{path}”.", path)


def number_called(design: Design, words: str) -> NamedNumber:
    """The number of that path or, in any case, label; DesignProblem, naming near ones, if none."""
    numbers = named_numbers(design)
    found, hint = look_up(words, numbers, attrgetter("path", "label"))
    if found is not None:
        return found
    hint = hint or f"they are called such as “{numbers[0].label}”"
    raise DesignProblem(f"This design has no number “{words}”; {hint}.", words)


def _numbers(design: Design) -> Iterator[NamedNumber]:
    for point in design.points:
        yield from _of(point, f"points.{point.name}.", "{} of " + point.name)
    yield from _of(design.stops, "stops.", "{}")
    yield from _of(design.gravity, "gravity.", "{}")
    sliding = {slider.point for slider in design.sliders}
    for point in design.points:
        if len(design.links_at(point.name)) > 1 or point.name in sliding:
            pivot = design.pivot_at(point.name)
            yield from _of(pivot, f"pivots.{point.name}.", "{} at " + point.name)
    for slider in design.sliders:
        yield from _of(slider, f"sliders.{slider.name}.", "{} of " + slider.name)
    for spring in design.springs:
        words = "{} of " + spring.name
        yield from _of(spring, f"springs.{spring.name}.", words)
        if isinstance(spring, CompressionSpring) and spring.rod:
            yield from _of(spring.rod, f"springs.{spring.name}.rod.", words)
    for weight in design.weights:
        yield from _of(weight, f"weights.{weight.name}.", "{} of " + weight.name)
    for load in design.loads:
        yield from _of(load, f"loads.{load.name}.", "{} of " + load.name)


def _of(part: object, prefix: str, words: str) -> Iterator[NamedNumber]:
    for field, (name, quantity) in FIELD_NAMES[type(part)].items():
        value: float | None = getattr(part, field)
        yield NamedNumber(prefix + field, words.replace("{}", name), quantity, value)


def with_number(design: Design, path: str, value: float) -> Design:
    """The design with one number, in the document's unit, given a new value.

    Pins follow slots that move, and stay on their own. DesignProblem where there is no such
    number or the value cannot be.
    """
    find_number(design, path)
    kind, _, rest = path.partition(".")
    if kind in ("stops", "gravity"):
        return replace(design, **{kind: replace(getattr(design, kind), **{rest: value})})
    name, _, field = rest.rpartition(".")
    if kind == "points":
        return replace_part(design, replace(design.point(name), **{field: value}))  # type: ignore[arg-type]
    if kind == "pivots":
        return replace_part(design, replace(design.pivot_at(name), **{field: value}))  # type: ignore[arg-type]
    named = {part.name: part for part in getattr(design, kind)}
    if name in named:
        return replace_part(design, replace(named[name], **{field: value}))
    spring = named[name.removesuffix(".rod")]
    return replace_part(design, replace(spring, rod=replace(spring.rod, **{field: value})))
