"""Where the stop pins stand that hold the lever at its rests.

A design gives the rests as directions. The pins are our own choice of how to make them: round
pins in the frame, as thick as the lever's pivot, beside the lever on the way from pivot to grip,
one for each rest. A builder who stops the lever otherwise leaves them out.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Literal

from solver.bars import SKETCH_STEPS
from solver.model import Design
from solver.outlines import polygon

SHARES = (0.45, 0.6, 0.75, 0.9, 0.3)
"""How far along the lever, from pivot to grip, it may meet its stops; the first that the rest
of the lever never sweeps over is taken. No source."""

LEAST_PIN = 4.0
"""mm; a stop pin is no thinner."""

_LOOKS = 24
"""Places of the throw in which a pin must be clear of the lever."""

_SCAN = 1.0
"""Degrees from one trial place of a pin to the next."""


@dataclass(frozen=True, slots=True)
class StopPin:
    """A stop pin in the frame: the rest that it holds, its centre and diameter (mm)."""

    rest: Literal["A", "B"]
    x: float
    y: float
    diameter: float

    @property
    def name(self) -> str:
        """What it is called in sentences and lists."""
        return f"stop {self.rest}"


@lru_cache(maxsize=8)  # a sheet asks a dozen times for the pins of each of its poses
def stop_pins(design: Design) -> tuple[StopPin, ...]:
    """The pins of rest A and rest B, touching the lever's edge where it comes to rest.

    The frame stands as drawn, so the places hold in every pose. None for a lever whose shape
    leaves no place within a right angle of itself.
    """
    import shapely
    from shapely import affinity

    pivot, grip = design.point(design.lever_pivot()), design.point(design.grip)
    drawn = math.atan2(grip.y - pivot.y, grip.x - pivot.x)
    stops = design.stops
    sense = 1.0 if stops.rest_b > stops.rest_a else -1.0
    throw = abs(math.radians(stops.rest_b - stops.rest_a))
    radius = max(design.pivot_at(pivot.name).pin_diameter, LEAST_PIN) / 2.0
    arm = math.hypot(grip.x - pivot.x, grip.y - pivot.y)
    shape = affinity.translate(polygon(design, design.lever, SKETCH_STEPS), -pivot.x, -pivot.y)
    shape = affinity.rotate(shape, -drawn, origin=(0.0, 0.0), use_radians=True)
    shapely.prepare(shape)

    def room(reach: float, angle: float) -> float:
        """Gap between the lever lying along +x and a pin at that angle from it."""
        centre = shapely.Point(reach * math.cos(angle), reach * math.sin(angle))
        return float(shapely.distance(shape, centre)) - radius

    found: list[StopPin] = []
    rests: tuple[tuple[Literal["A", "B"], float, float], ...] = (
        ("A", stops.rest_a, -sense),
        ("B", stops.rest_b, sense),
    )
    for rest, direction, side in rests:
        place = _place(room, arm, side, throw)
        if place is not None:
            reach, angle = place[0], math.radians(direction) + place[1]
            x, y = pivot.x + reach * math.cos(angle), pivot.y + reach * math.sin(angle)
            found.append(StopPin(rest, x, y, 2.0 * radius))
    return tuple(found)


def _place(
    room: Callable[[float, float], float], arm: float, side: float, throw: float
) -> tuple[float, float] | None:
    """Distance from the pivot and angle from the lever of a pin on one side of it.

    The lever touches it there and goes clear of it on the whole throw; None where that cannot be.
    """
    for share in SHARES:
        reach = share * arm
        angle = _first_free(partial(room, reach), side)
        if angle is not None and all(
            room(reach, angle + side * throw * step / _LOOKS) >= -1e-6
            for step in range(1, _LOOKS + 1)
        ):
            return reach, angle
    return None


def _first_free(room: Callable[[float], float], side: float) -> float | None:
    """The angle nearest to the lever at which there is room, on one side; within 90°."""
    inner = 0.0
    for step in range(1, round(90.0 / _SCAN) + 1):
        outer = side * math.radians(step * _SCAN)
        if room(outer) >= 0.0:
            for _ in range(30):
                middle = (inner + outer) / 2.0
                inner, outer = (inner, middle) if room(middle) >= 0.0 else (middle, outer)
            return outer
        inner = outer
    return None
