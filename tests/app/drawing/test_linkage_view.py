"""Rest A, rest B and dead centre are told apart by how they are drawn, on every example."""

import math
from collections.abc import Sequence
from pathlib import Path

import pytest
import shapely

from app.drawing.linkage_view import draw_linkage
from app.drawing.model import Circle, Element, Layer, Polyline
from app.drawing.poses import Posed, View, posed
from tests.app.drawing.sheets import solved
from tests.example_files import EXAMPLES, named

VIEW = View(0.5)


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
