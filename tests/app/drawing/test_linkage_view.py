"""Rest A, rest B and dead centre are told apart by how they are drawn, on every example."""

import math
from collections.abc import Sequence
from pathlib import Path

import pytest
import shapely

from app.drawing.linkage_view import draw_linkage, spring_symbol
from app.drawing.model import Circle, Element, Layer, Line, Polyline
from app.drawing.poses import Posed, View, place_of, posed
from solver.model import CompressionSpring, Design, TorsionSpring
from tests.app.drawing.sheets import solved, with_spring
from tests.example_files import EXAMPLES, named

VIEW = View(0.5)
LATCH = next(path for path in EXAMPLES if "latch" in path.name)
FLAP = next(path for path in EXAMPLES if "sorting" in path.name)


def drawn(path: Path) -> tuple[Posed, list[Element]]:
    poses = posed(solved(path)[1])
    return poses, draw_linkage(poses, VIEW)


def on(elements: Sequence[Element], layer: Layer) -> list[Polyline]:
    return [one for one in elements if isinstance(one, Polyline) and one.layer is layer]


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_dead_centre_is_straight_axes_and_rest_b_outlines(path: Path) -> None:
    poses, elements = drawn(path)
    assert poses.at_centre is not None
    axes = on(elements, Layer.DEAD_CENTRE)
    assert axes
    assert all(len(axis.points) == 2 for axis in axes)
    # A round end of a plate has many chords.
    assert any(len(edge.points) > 12 for edge in on(elements, Layer.PHANTOM))


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_axes_of_dead_centre_run_from_circle_to_circle(path: Path) -> None:
    poses, elements = drawn(path)
    assert poses.at_centre is not None
    holes = [VIEW((point.x, point.y)) for point in poses.at_centre.points]
    circles = [one for one in elements if isinstance(one, Circle) and one.layer is Layer.THIN]
    small = [one for one in circles if one.radius < 1.0]
    assert all(any(math.dist(circle.centre, hole) < 1e-6 for hole in holes) for circle in small)
    for axis in on(elements, Layer.DEAD_CENTRE):
        for end in axis.points:
            assert min(math.dist(end, hole) for hole in holes) < 0.91


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_no_chain_line_lies_on_an_axis_of_dead_centre(path: Path) -> None:
    _, elements = drawn(path)
    axes = shapely.union_all(
        [shapely.LineString(axis.points) for axis in on(elements, Layer.DEAD_CENTRE)]
    ).buffer(0.04)
    for line in on(elements, Layer.CENTRES):
        assert shapely.LineString(line.points).intersection(axes).length < 1.0


def drawn_width(design: Design, scale: float) -> float:
    """How far apart, across the spring, its outermost coils are on paper (mm)."""
    (spring,) = design.springs
    assert isinstance(spring, CompressionSpring)
    view = View(scale)
    (ax, ay), (bx, by) = (
        view((point.x, point.y)) for point in (design.point(spring.a), design.point(spring.b))
    )
    long = math.hypot(bx - ax, by - ay)
    across = [
        ((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / long
        for element in spring_symbol(design, spring, view)
        if isinstance(element, Polyline)
        for x, y in element.points
    ]
    return max(across) - min(across)


def test_the_legs_of_a_torsion_spring_lie_against_their_pins() -> None:
    """Edge to edge with the pins' circles, tangent to the coils' ring, and past the pins."""
    design = posed(solved(LATCH)[1]).at_a
    (spring,) = design.springs
    assert isinstance(spring, TorsionSpring)
    view = View(1.0)
    elements = list(spring_symbol(design, spring, view))
    inner, outer = sorted(one.radius for one in elements if isinstance(one, Circle))
    assert (inner, outer) == pytest.approx((6.3, 8.55))
    sides = on(elements, Layer.SYMBOLS)
    axis, *pins = (
        shapely.Point(place_of(design, name)) for name in (spring.pivot, spring.leg_a, spring.leg_b)
    )
    for side, pin, radius in zip(sides, pins, (2.5, 3.0), strict=True):
        leg = shapely.Polygon(side.points)
        assert leg.distance(pin) == pytest.approx(radius)
        edges = sorted(axis.distance(shapely.LineString(side.points[at : at + 2])) for at in (0, 2))
        assert edges == pytest.approx([inner, outer])
        # Pressed together the spring spreads its legs: they lie between the two pins.
        assert axis.distance(pin) < shapely.hausdorff_distance(axis, leg)
    between = shapely.LineString([(pin.x, pin.y) for pin in pins])
    assert all(between.intersects(shapely.Polygon(side.points)) for side in sides)


def test_thin_wire_is_drawn_as_one_line() -> None:
    design = posed(solved(LATCH)[1]).at_a
    elements = list(spring_symbol(design, design.springs[0], View(0.2)))
    assert [type(one) for one in elements] == [Circle, Line, Line]


def test_coils_are_drawn_as_wide_as_they_are_where_that_is_known() -> None:
    project, _ = solved(FLAP)
    assert drawn_width(project.design, 1.0) == pytest.approx(15.6)
    assert drawn_width(project.design, 0.5) == pytest.approx(7.8)
    assert drawn_width(project.design, 0.1) == pytest.approx(2.0)  # to be seen at all
    bare = with_spring(project, outside_diameter=None).design
    assert drawn_width(bare, 1.0) < 10.1
