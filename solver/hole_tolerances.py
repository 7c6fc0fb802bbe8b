"""Which points holes are drilled at, and what each link's own hole may be off by."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from solver.general_tolerance import plus_minus as general
from solver.model import Design, Force, Tolerances, TorsionSpring

_OF_HOLES = ("points.", "holes.")
"""What the numbers of holes' own tolerances begin with."""


def occupied(design: Design) -> frozenset[str]:
    """The points that a hole is drilled for: a pin, a slot's end, a spring, a weight or a load."""
    points = {point.name for point in design.points if len(design.links_at(point.name)) > 1}
    for slider in design.sliders:
        points |= {slider.point, *slider.along}
    for spring in design.springs:
        points |= {spring.pivot} if isinstance(spring, TorsionSpring) else {spring.a, spring.b}
    points |= {weight.point for weight in design.weights}
    points |= {load.point for load in design.loads if isinstance(load, Force)}
    return frozenset(points)


def hole_tolerances(design: Design) -> Iterator[tuple[str, str, float]]:
    """(link, point, ± mm) of every hole; ± in x as in y.

    By a class of ISO 2768-1, a hole is off by what the class allows for its distance from the
    link's first hole, which is the datum and is not off.
    """
    own = {each.number: each.plus_minus for each in design.tolerances.own}
    at = {point.name: (point.x, point.y) for point in design.points}
    drilled = occupied(design)
    for link in design.links:
        holes = [name for name in link.points if name in drilled]
        for name in holes:
            usual = _usual(design.tolerances, math.dist(at[holes[0]], at[name]))
            usual = own.get(f"points.{name}", usual)
            yield link.name, name, own.get(f"holes.{link.name}.{name}", usual)


def holes_only(given: Tolerances) -> Tolerances:
    """The same tolerances of holes, own ones included; everything else is exact."""
    return replace(
        given,
        rate=0.0,
        free_length=0.0,
        free_angle=0.0,
        initial_tension=0.0,
        friction_least=1.0,
        friction_most=1.0,
        stop=0.0,
        load=0.0,
        own=tuple(each for each in given.own if each.number.startswith(_OF_HOLES)),
    )


def _usual(given: Tolerances, distance: float) -> float:
    if given.hole_class == "none":
        return given.hole
    return general(given.hole_class, distance) if distance > 0.0 else 0.0
