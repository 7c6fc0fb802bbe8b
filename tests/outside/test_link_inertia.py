"""Inertia of plates against the handbook's slender bar and flat plate, by parallel axes.

A flat plate of mass m, sides a and b turns about its centroid with m (a² + b²) / 12, a slender
bar about its end with m l² / 3 (any dynamics handbook, tables of mass moments of inertia).
"""

from dataclasses import replace

import pytest

from solver.materials import materials
from solver.model import FRAME, Design, Link, Plate, Point, Stops
from solver.outlines import plate_weight

BAR = Design(
    (Point("p", 0.0, 0.0), Point("g", 200.0, 0.0)),
    (Link(FRAME, ("p",)), Link("lever", ("p", "g"))),
    *("lever", "g", Stops(0.0, 60.0)),
)


def test_a_rectangular_plate() -> None:
    corners = ((-15.0, -12.0), (215.0, -12.0), (215.0, 12.0), (-15.0, 12.0))
    plate = Plate("lever", thickness=4.0, material="brass", outline=corners)
    weight = plate_weight(replace(BAR, plates=(plate,)), plate)
    mass = 230.0 * 24.0 * 4.0 * materials()["brass"].density * 1e-9
    assert weight.mass == pytest.approx(mass, rel=1e-12)
    assert weight.inertia == pytest.approx(mass * (230.0**2 + 24.0**2) / 12.0, rel=1e-12)
    # About the pivot, the parallel axis through p: the centroid is 100 mm off.
    about_pivot = weight.inertia + weight.mass * (weight.x**2 + weight.y**2)
    assert about_pivot == pytest.approx(mass * ((230.0**2 + 24.0**2) / 12.0 + 100.0**2))


def test_a_narrow_bar_is_a_slender_one() -> None:
    plate = Plate("lever", width=0.2, thickness=3.0)
    weight = plate_weight(replace(BAR, plates=(plate,)), plate)
    about_pivot = weight.inertia + weight.mass * (weight.x**2 + weight.y**2)
    # The round ends add 0.2 mm to 200 mm.
    assert about_pivot == pytest.approx(weight.mass * 200.0**2 / 3.0, rel=2e-3)


def test_two_halves_make_the_whole() -> None:
    """A plate cut in two and put together again by parallel axes."""
    half_a = Plate("lever", outline=((0.0, 0.0), (80.0, 0.0), (80.0, 30.0), (0.0, 30.0)))
    half_b = Plate("lever", outline=((80.0, 0.0), (200.0, 0.0), (200.0, 30.0), (80.0, 30.0)))
    whole = Plate("lever", outline=((0.0, 0.0), (200.0, 0.0), (200.0, 30.0), (0.0, 30.0)))
    one, other, both = (plate_weight(BAR, plate) for plate in (half_a, half_b, whole))
    assert one.mass + other.mass == pytest.approx(both.mass)
    joined = sum(
        part.inertia + part.mass * ((part.x - both.x) ** 2 + (part.y - both.y) ** 2)
        for part in (one, other)
    )
    assert joined == pytest.approx(both.inertia)
