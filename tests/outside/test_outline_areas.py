"""Areas, centroids and second moments of plates against closed forms of the handbooks.

Stadium: a rectangle and two half circles. Area 2 r L + π r², polar second moment about the
centroid from the rectangle's b h (b² + h²)/12 and each half circle's own, by parallel axes: the
half circle's centroid lies 4 r / 3π from its flat side, its polar moment about the circle's
centre is π r⁴ / 4 (any machine handbook, section properties). No shapely on this side.

Tolerance: the plates' round ends are 32 chords a quarter turn, which lie inside the circle: 0.04 %
of the round parts' area, 0.08 % of their polar moment.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.sparse.csgraph import minimum_spanning_tree

from solver import files
from solver.bars import bones, plate_outline
from solver.holes import holes
from solver.layouts import LAYOUTS
from solver.materials import materials
from solver.model import FRAME, Design, Link, Plate, Point, Stops
from solver.outlines import Section, plate_weight, polygon, section_of
from tests.example_files import EXAMPLES, named
from tests.solver.cut_plates import cut_plate


def bar(x: float, y: float, turn: float, length: float, width: float) -> Design:
    a = math.radians(turn)
    end = (x + length * math.cos(a), y + length * math.sin(a))
    return Design(
        (Point("p", x, y), Point("g", *end)),
        (Link(FRAME, ("p",)), Link("lever", ("p", "g"))),
        *("lever", "g", Stops(0.0, 60.0)),
        plates=(Plate("lever", width),),
    )


def stadium(length: float, radius: float) -> tuple[float, float]:
    """Area and polar second moment about the centroid."""
    area = 2.0 * radius * length + math.pi * radius**2
    rectangle = length * 2.0 * radius * (length**2 + 4.0 * radius**2) / 12.0
    half = math.pi * radius**2 / 2.0
    off = 4.0 * radius / (3.0 * math.pi)
    about_own = math.pi * radius**4 / 4.0 - half * off**2
    return area, rectangle + 2.0 * (about_own + half * (length / 2.0 + off) ** 2)


@pytest.mark.parametrize(
    ("length", "width"), [(120.0, 20.0), (35.0, 30.0), (400.0, 12.0), (1.0, 60.0)]
)
@pytest.mark.parametrize(("x", "y", "turn"), [(0.0, 0.0, 0.0), (-300.0, 700.0, 37.0)])
def test_a_bar_is_a_stadium(length: float, width: float, x: float, y: float, turn: float) -> None:
    design = bar(x, y, turn, length, width)
    section = section_of(polygon(design, "lever"))
    area, polar = stadium(length, width / 2.0)
    assert section.area == pytest.approx(area, rel=5e-4)
    assert section.polar == pytest.approx(polar, rel=1e-3)
    along = math.radians(turn)
    assert section.x == pytest.approx(x + length / 2.0 * math.cos(along), abs=1e-6)
    assert section.y == pytest.approx(y + length / 2.0 * math.sin(along), abs=1e-6)


def test_three_points_in_line_are_one_bar() -> None:
    design = LAYOUTS[0].build()
    section = section_of(polygon(design, "lever"))
    assert section.area == pytest.approx(stadium(172.0, 10.0)[0], rel=5e-4)
    assert section.y == pytest.approx((140.0 - 32.0) / 2.0, abs=1e-6)


def test_a_rectangle_with_two_holes() -> None:
    """80 × 50 with holes of 6 and 10 mm radius: the formulas by hand, signs for what is cut."""
    rectangle = shapely.box(0.0, 0.0, 80.0, 50.0)
    first = shapely.Point(20.0, 15.0).buffer(6.0, quad_segs=256)
    second = shapely.Point(60.0, 30.0).buffer(10.0, quad_segs=256)
    found = section_of(rectangle.difference(first).difference(second))
    parts = [
        Section(80.0 * 50.0, 40.0, 25.0, 80.0 * 50.0 * (80.0**2 + 50.0**2) / 12.0),
        Section(-math.pi * 36.0, 20.0, 15.0, -math.pi * 6.0**4 / 2.0),
        Section(-math.pi * 100.0, 60.0, 30.0, -math.pi * 10.0**4 / 2.0),
    ]
    area = sum(part.area for part in parts)
    x = sum(part.area * part.x for part in parts) / area
    y = sum(part.area * part.y for part in parts) / area
    polar = sum(p.polar + p.area * ((p.x - x) ** 2 + (p.y - y) ** 2) for p in parts)
    assert found.area == pytest.approx(area, rel=1e-5)
    assert (found.x, found.y) == pytest.approx((x, y), abs=1e-3)
    assert found.polar == pytest.approx(polar, rel=1e-5)


def test_a_drilled_plate_lacks_its_holes() -> None:
    design = LAYOUTS[0].build()
    drilled = section_of(cut_plate(design, "lever")).area
    cut = sum(math.pi / 4.0 * hole.diameter**2 for hole in holes(design, "lever"))
    assert cut > 60.0
    assert drilled == pytest.approx(stadium(172.0, 10.0)[0] - cut, rel=5e-4)


def test_an_own_outline_is_a_triangle_by_its_formulas() -> None:
    """Right triangle b, h: area b h / 2, centroid at a third, polar b h (b² + h²) / 36."""
    corners = ((10.0, 10.0), (70.0, 10.0), (10.0, 50.0))
    design = replace(bar(0.0, 0.0, 0.0, 50.0, 10.0), plates=(Plate("lever", outline=corners),))
    section = section_of(polygon(design, "lever"))
    assert section.area == pytest.approx(60.0 * 40.0 / 2.0)
    assert (section.x, section.y) == pytest.approx((30.0, 10.0 + 40.0 / 3.0))
    assert section.polar == pytest.approx(60.0 * 40.0 * (60.0**2 + 40.0**2) / 36.0)


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_what_the_examples_plates_weigh(path: object) -> None:
    """Bars by scipy's spanning tree, inner corners rounded, moments by shapely."""
    design = files.load(path).design  # type: ignore[arg-type]  # a path
    assert design.plates
    for plate in design.plates:
        if plate.link == FRAME:
            continue
        points = [design.point(name) for name in design.link(plate.link).points]
        places = np.array([(point.x, point.y) for point in points])
        tree = minimum_spanning_tree(np.hypot(*(places[:, None] - places[None, :]).T)).tocoo()
        ends = zip(tree.row, tree.col, strict=True)
        bars = shapely.MultiLineString([(places[a], places[b]) for a, b in ends])
        half = plate.width / 2.0
        shape = bars.buffer(2.5 * half, quad_segs=128).buffer(-1.5 * half, quad_segs=128)
        mass = shape.area * plate.thickness * materials()[plate.material].density * 1e-9
        weight = plate_weight(design, plate)
        assert weight.mass == pytest.approx(mass, rel=3e-4)
        middle = (shape.centroid.x, shape.centroid.y)
        assert (weight.x, weight.y) == pytest.approx(middle, abs=0.005)


@given(
    st.lists(st.tuples(st.floats(-200.0, 200.0), st.floats(-200.0, 200.0)), min_size=3, max_size=3),
    st.floats(1.0, 30.0),
)
def test_a_plate_of_three_points_is_the_closing_of_its_bars(
    points: list[tuple[float, float]], half_width: float
) -> None:
    """Shapely grows the bars by half the width and the fillet and shrinks them by the fillet.

    Both put 64 chords in a quarter turn, 0.008 % of the radius off the arc.
    """
    bars = [bar for bar in bones(points) if math.dist(*bar) > 1e-3]
    assume(len(bars) == 2)
    grown = shapely.MultiLineString(bars).buffer(2.5 * half_width, quad_segs=64)
    expected = grown.buffer(-1.5 * half_width, quad_segs=64)
    found = shapely.Polygon(plate_outline(points, half_width, 64))
    assert found.is_valid
    assert found.symmetric_difference(expected).area < 3e-4 * expected.area
    assert found.hausdorff_distance(expected) < 2e-3 * half_width
