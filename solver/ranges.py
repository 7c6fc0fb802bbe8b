"""The numbers that each part may have, as data. The units are those of the model."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from solver.model import (
    CompressionSpring,
    ExtensionSpring,
    Force,
    Gravity,
    GuideRod,
    Limit,
    OwnTolerance,
    Pivot,
    Plate,
    Point,
    Screw,
    Slider,
    Stops,
    Tolerances,
    Torque,
    TorsionSpring,
    Weight,
)


@dataclass(frozen=True, slots=True)
class Range:
    """From `least` to `most`; without `least` itself where `above`."""

    least: float
    most: float
    above: bool = False

    def holds(self, value: float) -> bool:
        """Whether a value is in the range; never for NaN."""
        return self.least <= value <= self.most and not (self.above and value == self.least)

    def words(self) -> str:
        """Such as "above 0", "from 0 to 2", "between -1e6 and 1e6"."""
        if self.least == 0.0:
            start = "above 0" if self.above else "0 or more"
            return start if self.most >= 1e4 else f"from 0 to {self.most:g}"
        return f"between {self.least:g} and {self.most:g}"


_PLACE = Range(-1e6, 1e6)
_LENGTH = Range(0.0, 1e6, above=True)
_LENGTH_OR_NONE = Range(0.0, 1e6)
_PIN = Range(0.0, 1e4)
_FRICTION = Range(0.0, 2.0)
_FORCE = Range(-1e7, 1e7)
_FORCE_SIZE = Range(0.0, 1e7)
_TORQUE = Range(-1e9, 1e9)
_ANGLE = Range(-3600.0, 3600.0)
_BOUND = Range(-1e12, 1e12)
_OFF = Range(0.0, 1e3)
_PERCENT = Range(0.0, 100.0)
_FACTOR = Range(0.0, 10.0)

_BOUGHT: Mapping[str, Range] = {
    "wire": Range(1e-3, 1e3),
    "outside_diameter": Range(1e-3, 1e4),
    "coils": Range(0.1, 1e4),
}

_COIL: Mapping[str, Range] = {
    **_BOUGHT,
    "rate": Range(0.0, 1e6, above=True),
    "free_length": _LENGTH,
    "fittings": _PLACE,
    "end_pin_diameter": _PIN,
    "end_friction": _FRICTION,
}

RANGES: Mapping[type, Mapping[str, Range]] = {
    Point: {"x": _PLACE, "y": _PLACE},
    Pivot: {"pin_diameter": _PIN, "friction": _FRICTION, "drag": Range(0.0, 1e9)},
    Slider: {"friction": _FRICTION, "drag": _FORCE_SIZE},
    GuideRod: {"closed": _LENGTH_OR_NONE, "reach": _LENGTH},
    CompressionSpring: {**_COIL, "solid_length": _LENGTH_OR_NONE, "least_gaps": _LENGTH_OR_NONE},
    ExtensionSpring: {**_COIL, "initial_tension": _FORCE_SIZE, "longest": _LENGTH},
    TorsionSpring: {
        **_BOUGHT,
        "rate": Range(0.0, 1e9, above=True),
        "free_angle": _ANGLE,
        "turns": Range(-100.0, 100.0),
        "most_twist": Range(0.0, 36000.0, above=True),
        "leg_length": _LENGTH,
    },
    Screw: {"thread": Range(0.0, 100.0, above=True), "length": Range(0.0, 1e3, above=True)},
    Weight: {"mass": Range(0.0, 1e6)},
    Force: {"x": _FORCE, "y": _FORCE},
    Torque: {"torque": _TORQUE},
    Stops: {"rest_a": _ANGLE, "rest_b": _ANGLE},
    Gravity: {"strength": Range(0.0, 1000.0), "direction": _ANGLE},
    Limit: {"at_least": _BOUND, "at_most": _BOUND},
    Plate: {"width": _LENGTH, "thickness": Range(0.0, 1e4, above=True), "layer": Range(-50, 50)},
    Tolerances: {
        "hole": _OFF,
        "rate": _PERCENT,
        "free_length": _OFF,
        "free_angle": Range(0.0, 90.0),
        "initial_tension": _PERCENT,
        "friction_least": _FACTOR,
        "friction_most": _FACTOR,
        "stop": Range(0.0, 45.0),
        "load": _PERCENT,
    },
    OwnTolerance: {"plus_minus": Range(0.0, 1e6)},
}
"""Class -> field -> what the number may be; a field that may be None then is not bound."""


def faults(part: object) -> Iterator[str]:
    """For each number out of range, a clause such as "rate must be above 0"."""
    for field, allowed in RANGES.get(type(part), {}).items():
        value: float | None = getattr(part, field)
        if value is not None and not allowed.holds(value):
            called = field.replace("_", " ")
            if not math.isfinite(value):
                yield f"{called} must be a finite number"
            elif value > allowed.most:
                yield f"{called} must be at most {allowed.most:g}"
            else:
                yield f"{called} must be {allowed.words()}"
