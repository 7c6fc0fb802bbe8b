"""Inertia of plates against the handbook's slender bar and flat plate, by parallel axes.

A flat plate of mass m, sides a and b turns about its centroid with m (a² + b²) / 12, a slender
bar about its end with m l² / 3, a disc of radius r with m r² / 2 (any dynamics handbook, tables
of mass moments of inertia). Plates with a corner against shapely's buffers of the same lines.
"""

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from solver.materials import materials
from solver.model import FRAME, Design, Link, Plate, Point, Stops
from solver.outlines import plate_weight, section_of

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


def test_a_bar_with_round_ends_is_a_plate_and_two_half_discs() -> None:
    plate = Plate("lever", width=24.0, thickness=4.0)
    weight = plate_weight(replace(BAR, plates=(plate,)), plate)
    density = weight.mass / (200.0 * 24.0 + math.pi * 12.0**2)
    assert density == pytest.approx(materials()[plate.material].density * 4.0 * 1e-9, rel=1e-12)
    flat = density * 200.0 * 24.0
    disc = density * math.pi * 12.0**2
    # A half disc's centroid lies 4 r / 3 π off its middle; parallel axes there and back.
    off = 4.0 * 12.0 / (3.0 * math.pi)
    ends = disc * (12.0**2 / 2.0 - off**2 + (100.0 + off) ** 2)
    assert weight.inertia == pytest.approx(flat * (200.0**2 + 24.0**2) / 12.0 + ends, rel=1e-12)
    assert (weight.x, weight.y) == pytest.approx((100.0, 0.0), abs=1e-9)


places = st.tuples(st.floats(-200.0, 200.0), st.floats(-200.0, 200.0))


@given(places, places, places, st.floats(2.0, 15.0))
def test_a_plate_with_a_corner_is_the_buffer_of_its_line(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], half: float
) -> None:
    """Rounded outwards by r and, in the inner corner, by 1.5 r: buffer out and in again."""
    legs = sorted((math.dist(one, other), one, other) for one, other in ((a, b), (b, c), (a, c)))
    assume(legs[0][0] > 60.0)
    (middle,) = {*legs[0][1:]} & {*legs[1][1:]}
    ends = [place for place in (a, b, c) if place != middle]
    line = shapely.LineString([ends[0], middle, ends[1]])
    assume(legs[2][0] > 0.5 * (legs[0][0] + legs[1][0]))  # no fold too sharp for the fillet
    shape = shapely.buffer(line, 2.5 * half, quad_segs=256).buffer(-1.5 * half, quad_segs=256)
    points = (Point("a", *a), Point("b", *b), Point("c", *c))
    plate = Plate("lever", width=2.0 * half, thickness=1.0)
    design = replace(
        BAR,
        points=points,
        links=(Link(FRAME, ("a",)), Link("lever", ("a", "b", "c"))),
        grip="c",
        plates=(plate,),
    )
    weight, section = plate_weight(design, plate), section_of(shape)
    per_area = materials()[plate.material].density * 1e-9
    assert weight.mass == pytest.approx(per_area * section.area, rel=3e-5)
    assert (weight.x, weight.y) == pytest.approx((section.x, section.y), abs=0.01)
    assert weight.inertia == pytest.approx(per_area * section.polar, rel=1e-4)
