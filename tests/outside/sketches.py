"""Small designs for the outside checks, and a look at one lever position of them."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from solver.model import FRAME, Design, Link, Pivot, Point, Slider, Stops
from solver.motion import Motion, evaluate
from solver.plan import compile_design

Place = tuple[float, float]


def polar(size: float, degrees: float, start: Place = (0.0, 0.0)) -> Place:
    """The place at a distance and direction from another."""
    angle = math.radians(degrees)
    return start[0] + size * math.cos(angle), start[1] + size * math.sin(angle)


def frictionless(*points: str) -> tuple[Pivot, ...]:
    """Pins without friction."""
    return tuple(Pivot(point, friction=0.0) for point in points)


def lever(
    pins: dict[str, Place], fixed: dict[str, Place], grip: str, rest_a: float, rest_b: float
) -> Design:
    """A lever about the origin with its own points `pins`, and points on the frame."""
    points = [Point("pivot", 0.0, 0.0)]
    points += [Point(name, *place) for name, place in (pins | fixed).items()]
    return Design(
        points=tuple(points),
        links=(Link(FRAME, ("pivot", *fixed)), Link("lever", ("pivot", *pins))),
        lever="lever",
        grip=grip,
        stops=Stops(rest_a, rest_b),
        pivots=frictionless("pivot"),
    )


def four_bar(
    places: dict[str, Place],
    rest_a: float,
    rest_b: float,
    outputs: tuple[str, ...] = ("coupler", "rocker"),
) -> Design:
    """Crank O2-A, coupler A-B, rocker O4-B from the places of one assembled pose."""
    return Design(
        points=tuple(Point(name, *place) for name, place in places.items()),
        links=(
            Link(FRAME, ("O2", "O4")),
            Link("crank", ("O2", "A")),
            Link("coupler", ("A", "B")),
            Link("rocker", ("O4", "B")),
        ),
        lever="crank",
        grip="A",
        stops=Stops(rest_a, rest_b),
        pivots=frictionless("O2", "O4", "A", "B"),
        outputs=outputs,
    )


def slider_crank(
    crank: float, rod: float, offset: float, degrees: float, rest_a: float, rest_b: float
) -> Design:
    """Crank about the origin, rod, and a pin on a slot along x at y = -offset.

    A point halfway along the rod is marked.
    """
    a = polar(crank, degrees)
    b = (a[0] + math.sqrt(rod**2 - (a[1] + offset) ** 2), -offset)
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    places = {"O": (0.0, 0.0), "A": a, "middle": middle, "B": b}
    places |= {"slot start": (crank, -offset), "slot end": (crank + rod, -offset)}
    return Design(
        points=tuple(Point(name, *place) for name, place in places.items()),
        links=(
            Link(FRAME, ("O", "slot start", "slot end")),
            Link("crank", ("O", "A")),
            Link("rod", ("A", "middle", "B")),
        ),
        lever="crank",
        grip="A",
        stops=Stops(rest_a, rest_b),
        pivots=frictionless("O", "A", "B"),
        sliders=(Slider("slide", "B", FRAME, ("slot start", "slot end"), friction=0.0),),
        outputs=("middle", "B", "rod"),
    )


def moving(design: Design, directions: float | Iterable[float]) -> Motion:
    """The solver's answer with the lever in certain directions (degrees), one column each."""
    wanted = np.atleast_1d(np.asarray(directions, dtype=np.float64))
    rest_a, rest_b = design.stops.rest_a, design.stops.rest_b
    plan = compile_design(design)
    fractions = (wanted - rest_a) / (rest_b - rest_a)
    return evaluate(plan, plan.parameters(design), list(fractions))


def heading(start: Place, end: Place) -> float:
    """Direction from one place to another, degrees."""
    return math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))


def apart(a: float, b: float) -> float:
    """Smallest difference of two directions, degrees."""
    return abs((a - b + 180.0) % 360.0 - 180.0)
