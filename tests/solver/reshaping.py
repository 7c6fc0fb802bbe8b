"""Designs turned, moved, mirrored and scaled: what changes with them is known beforehand."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace
from typing import Literal

from solver.model import (
    CompressionSpring,
    Design,
    Force,
    Load,
    Spring,
    Stops,
    TorsionSpring,
)
from solver.units import Quantity

_MIRROR: dict[str, Literal["both", "below", "above"]] = {
    "both": "both",
    "below": "above",
    "above": "below",
}


def moved(design: Design, degrees: float, shift: complex) -> Design:
    """Turned about the origin, then shifted; gravity and forces turn along."""
    turn = cmath.rect(1.0, math.radians(degrees))

    def place(x: float, y: float) -> tuple[float, float]:
        there = complex(x, y) * turn + shift
        return there.real, there.imag

    def load(one: Load) -> Load:
        if not isinstance(one, Force):
            return one
        force = complex(one.x, one.y) * turn
        return replace(one, x=force.real, y=force.imag)

    return replace(
        design,
        points=tuple(replace(p, x=place(p.x, p.y)[0], y=place(p.x, p.y)[1]) for p in design.points),
        stops=Stops(design.stops.rest_a + degrees, design.stops.rest_b + degrees),
        gravity=replace(design.gravity, direction=design.gravity.direction + degrees),
        loads=tuple(load(one) for one in design.loads),
    )


def mirrored(design: Design) -> Design:
    """Left and right exchanged."""

    def spring(one: Spring) -> Spring:
        if not isinstance(one, TorsionSpring):
            return one
        return replace(one, free_angle=-one.free_angle, acts=_MIRROR[one.acts])

    def load(one: Load) -> Load:
        return (
            replace(one, x=-one.x) if isinstance(one, Force) else replace(one, torque=-one.torque)
        )

    return replace(
        design,
        points=tuple(replace(point, x=-point.x) for point in design.points),
        stops=Stops(180.0 - design.stops.rest_a, 180.0 - design.stops.rest_b),
        gravity=replace(design.gravity, direction=180.0 - design.gravity.direction),
        springs=tuple(spring(one) for one in design.springs),
        loads=tuple(load(one) for one in design.loads),
    )


def scaled(design: Design, size: float, force: float) -> Design:
    """All lengths times `size`, all forces times `force`."""

    def spring(one: Spring) -> Spring:
        wire = None if one.wire is None else one.wire * size
        outside = None if one.outside_diameter is None else one.outside_diameter * size
        one = replace(one, wire=wire, outside_diameter=outside)
        if isinstance(one, TorsionSpring):
            return replace(one, rate=one.rate * size * force)
        same = replace(
            one,
            rate=one.rate * force / size,
            free_length=one.free_length * size,
            fittings=one.fittings * size,
            end_pin_diameter=one.end_pin_diameter * size,
        )
        if isinstance(same, CompressionSpring):
            rod = same.rod
            if rod:
                rod = replace(rod, closed=rod.closed * size, reach=rod.reach * size)
            solid, gaps = same.solid_length * size, same.least_gaps * size
            return replace(same, solid_length=solid, least_gaps=gaps, rod=rod)
        longest = None if same.longest is None else same.longest * size
        return replace(same, initial_tension=same.initial_tension * force, longest=longest)

    def load(one: Load) -> Load:
        if isinstance(one, Force):
            return replace(one, x=one.x * force, y=one.y * force)
        return replace(one, torque=one.torque * size * force)

    spots = dict.fromkeys(name for link in design.links for name in link.points)
    pivots = (design.pivot_at(name) for name in spots)
    return replace(
        design,
        points=tuple(replace(p, x=p.x * size, y=p.y * size) for p in design.points),
        pivots=tuple(
            replace(p, pin_diameter=p.pin_diameter * size, drag=p.drag * size * force)
            for p in pivots
        ),
        sliders=tuple(replace(one, drag=one.drag * force) for one in design.sliders),
        springs=tuple(spring(one) for one in design.springs),
        weights=tuple(replace(one, mass=one.mass * force) for one in design.weights),
        loads=tuple(load(one) for one in design.loads),
    )


def factor(quantity: Quantity, key: str, size: float, force: float) -> float:
    """What a reading is multiplied by when the design is `scaled`."""
    known = {
        "length": size,
        "angle": 1.0,
        "force": force,
        "torque": size * force,
        "energy": size * force,
        "ratio": 1.0,
    }
    assert quantity in known, key
    return known[quantity]
