"""The numbers of a design as one vector, so that many designs can be solved at once.

A parameter's name is its path in the design: `points.grip.x`, `springs.main spring.rate`.
In the vector, angles are in radians and torsion rates in N·mm/rad; all else keeps the
document's unit. A number that the design leaves out (no guide rod, no longest length) is NaN.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Load,
    Plate,
    Spring,
    TorsionSpring,
)
from solver.outlines import middle_of, plate_weight

_DEGREE = math.pi / 180.0


def numbers(
    design: Design, joints: tuple[str, ...], holes: bool = False
) -> Iterator[tuple[str, float]]:
    """Name and value of every number of a design, in a fixed order.

    `joints` are the points that need a pin's numbers. With `holes`, each link's own hole at a
    point has an offset (`holes.rod.knee.x`, mm, drawn pose) from the point that links share.
    A plate has its mass, and where its centroid lies from the middle (the mean) of its link's
    points: a batch that moves a point then takes a bar's centroid along, as it should, and
    leaves the mass as it was.
    """
    if holes:
        for link in design.links:
            for name in link.points:
                yield f"holes.{link.name}.{name}.x", 0.0
                yield f"holes.{link.name}.{name}.y", 0.0
    for point in design.points:
        yield f"points.{point.name}.x", point.x
        yield f"points.{point.name}.y", point.y
    yield "stops.rest_a", design.stops.rest_a * _DEGREE
    yield "stops.rest_b", design.stops.rest_b * _DEGREE
    yield "gravity.strength", design.gravity.strength
    yield "gravity.direction", design.gravity.direction * _DEGREE
    for name in joints:
        pivot = design.pivot_at(name)
        yield f"pivots.{name}.pin_diameter", pivot.pin_diameter
        yield f"pivots.{name}.friction", pivot.friction
        yield f"pivots.{name}.drag", pivot.drag
    for slider in design.sliders:
        yield f"sliders.{slider.name}.friction", slider.friction
        yield f"sliders.{slider.name}.drag", slider.drag
    for spring in design.springs:
        for key, value in _spring_numbers(spring):
            yield f"springs.{spring.name}.{key}", math.nan if value is None else value
    for weight in design.weights:
        yield f"weights.{weight.name}.mass", weight.mass
    for plate in design.plates:
        if plate.link != FRAME:
            yield from _plate_numbers(design, plate)
    for load in design.loads:
        for key, value in _load_numbers(load):
            yield f"loads.{load.name}.{key}", value


def _spring_numbers(spring: Spring) -> Iterator[tuple[str, float | None]]:
    if isinstance(spring, TorsionSpring):
        yield "rate", spring.rate / _DEGREE
        yield "free_angle", spring.free_angle * _DEGREE
        yield "turns", spring.turns * 2.0 * math.pi
        yield "most_twist", None if spring.most_twist is None else spring.most_twist * _DEGREE
        return
    yield "rate", spring.rate
    yield "free_length", spring.free_length
    yield "fittings", spring.fittings
    yield "end_pin_diameter", spring.end_pin_diameter
    yield "end_friction", spring.end_friction
    if isinstance(spring, CompressionSpring):
        yield "solid_length", spring.solid_length
        yield "least_gaps", spring.least_gaps
        yield "rod.closed", spring.rod.closed if spring.rod else None
        yield "rod.reach", spring.rod.reach if spring.rod else None
    elif isinstance(spring, ExtensionSpring):
        yield "initial_tension", spring.initial_tension
        yield "longest", spring.longest


def _plate_numbers(design: Design, plate: Plate) -> Iterator[tuple[str, float]]:
    weight = plate_weight(design, plate)
    middle = middle_of(design, plate.link)
    yield f"plates.{plate.link}.mass", weight.mass
    yield f"plates.{plate.link}.x", weight.x - middle[0]
    yield f"plates.{plate.link}.y", weight.y - middle[1]


def _load_numbers(load: Load) -> Iterator[tuple[str, float]]:
    if isinstance(load, Force):
        yield "x", load.x
        yield "y", load.y
    else:
        yield "torque", load.torque
