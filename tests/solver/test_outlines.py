"""Plates: their shape, what is wrong with them, and how edits carry them along."""

import math
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from unittest.mock import ANY

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from solver import edit
from solver.bars import plate_outline
from solver.checks import problems
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Plate, Point
from solver.outlines import (
    blank,
    half_widths,
    inner_radius,
    layer_of,
    plate_weight,
    polygon,
    section_of,
)
from solver.rebase import rebase

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}
SQUARE = ((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0))


def rocker(*plates: Plate) -> Design:
    return replace(LAYOUT["rocker"](), plates=plates)


def test_inner_corners_have_the_radius_that_is_told() -> None:
    """The curve of a bent plate's edge on its inner side, through three of its places."""
    bent = rocker(Plate("rod", width=20.0))
    design = replace(
        bent,
        points=(*bent.points, Point("knee", *beside(bent, "rod", 60.0))),
        links=tuple(
            replace(one, points=(*one.points, "knee")) if one.name == "rod" else one
            for one in bent.links
        ),
    )
    radius = inner_radius(design, "rod")
    assert radius == pytest.approx(15.0)
    places = polygon(design, "rod").exterior.coords[:-1]
    curved = [
        curve
        for a, b, c in zip(
            places, (*places[1:], places[0]), (*places[2:], *places[:2]), strict=True
        )
        if (curve := bend(a, b, c)) is not None
    ]
    often = Counter(round(abs(one), 1) for one in curved).most_common(2)
    assert sorted(often) == [(10.0, ANY), (15.0, ANY)]  # round ends, inner corners
    assert inner_radius(rocker(Plate("rod", width=20.0)), "rod") is None
    assert inner_radius(rocker(Plate("rod", outline=SQUARE)), "rod") is None


def beside(design: Design, link: str, off: float) -> tuple[float, float]:
    """A place beside the middle of a link's first two points."""
    a, b = (design.point(name) for name in design.link(link).points[:2])
    long = math.hypot(b.x - a.x, b.y - a.y)
    return (
        (a.x + b.x) / 2.0 - off * (b.y - a.y) / long,
        (a.y + b.y) / 2.0 + off * (b.x - a.x) / long,
    )


def bend(a: tuple[float, ...], b: tuple[float, ...], c: tuple[float, ...]) -> float | None:
    """The radius of the circle through three near places; None along a straight edge."""
    sides = (math.dist(a, b), math.dist(b, c), math.dist(c, a))
    area = ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2.0
    if max(sides) > 3.0 or abs(area) < 1e-9:
        return None
    return math.prod(sides) / (4.0 * area)


def test_a_plate_is_as_wide_as_it_is_settled_and_goes_round_its_points() -> None:
    shape = polygon(rocker(Plate("rod", width=18.0)), "rod")
    x = (0.0, 150.0)
    assert shape.bounds == pytest.approx((x[0] - 9.0, 31.0, x[1] + 9.0, 54.0), abs=0.2)
    across = shape.intersection(shapely.LineString([(75.0, 0.0), (75.0, 100.0)])).length
    slope = math.hypot(150.0, 5.0) / 150.0
    assert across == pytest.approx(18.0 * slope, rel=1e-9)


def test_without_a_plate_the_sketchs_own_width_holds() -> None:
    design = rocker()
    assert half_widths(design)["lever"] == 7.2
    assert half_widths(design)["rod"] == pytest.approx(0.84 * 7.2)
    assert half_widths(rocker(Plate("rod", width=31.0)))["rod"] == 15.5


def test_an_own_outline_is_the_shape() -> None:
    design = rocker(Plate("rod", outline=SQUARE))
    assert blank(design, "rod") == list(SQUARE)
    weight = plate_weight(design, design.plates[0])
    assert weight.mass == pytest.approx(600.0 * 5.0 * 7850e-9)
    assert (weight.x, weight.y) == pytest.approx((15.0, 10.0))


def test_the_frame_is_in_layer_0_whatever_its_plate_says() -> None:
    design = rocker(Plate(FRAME, layer=4), Plate("rod", layer=3))
    layers = [layer_of(design, link) for link in (FRAME, "lever", "rod")]
    assert layers == [0, 1, 3]


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4), st.floats(-180.0, 180.0))
def test_a_section_moves_and_turns_with_its_shape(x: float, y: float, turn: float) -> None:
    shape = shapely.Polygon(SQUARE, [[(5.0, 5.0), (12.0, 5.0), (12.0, 9.0)]])
    moved = shapely.affinity.translate(shapely.affinity.rotate(shape, turn, (0.0, 0.0)), x, y)
    one, other = section_of(shape), section_of(moved)
    assert other.area == pytest.approx(one.area, rel=1e-9)
    assert other.polar == pytest.approx(one.polar, rel=1e-6)
    assert (other.x, other.y) == pytest.approx(moved.centroid.coords[0], abs=1e-6)


def test_a_shape_without_area_is_refused() -> None:
    with pytest.raises(ValueError, match="no area"):
        section_of(shapely.Polygon([(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]))


def test_a_disc_is_whole() -> None:
    outline = plate_outline([(3.0, 4.0)], 5.0, 32)
    assert shapely.Polygon(outline).area == pytest.approx(math.pi * 25.0, rel=1e-3)
    assert len(set(outline)) == len(outline) == 128


FAULTS = [
    (Plate("rod", width=0.0), "width must be above 0"),
    (Plate("rod", width=math.nan), "width must be a finite number"),
    (Plate("rod", thickness=-1.0), "thickness must be above 0"),
    (Plate("rod", layer=51), "layer must be at most 50"),
    (Plate("rod", material="cheese"), "is of “cheese”, which is not in the table"),
    (Plate("rod", outline=SQUARE[:2]), "less than three corners"),
    (Plate("rod", outline=(SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3])), "crosses"),
    (Plate("rod", outline=((0.0, 0.0), (1.0, 0.0), (math.inf, 1.0))), "not a place"),
    (Plate("rod", outline=((0.0, 0.0), (1.0, 0.0), (2.0, 0.0))), "outline"),
    (Plate("rod", outline=SQUARE * 501), "simplify"),
    (Plate("gone"), "needs a link “gone”"),
]


@pytest.mark.parametrize(("plate", "sentence"), FAULTS)
def test_what_is_wrong_with_a_plate_is_told(plate: Plate, sentence: str) -> None:
    (problem,) = problems(rocker(plate))
    assert sentence in str(problem)
    assert problem.part == plate.link


def test_one_plate_for_each_link() -> None:
    (problem,) = problems(rocker(Plate("rod"), Plate("rod")))
    assert str(problem) == "Link “rod” has two plates: keep one."


def test_plates_are_set_replaced_and_dropped() -> None:
    design = edit.set_plate(rocker(), Plate("rod", 18.0))
    design = edit.set_plate(design, Plate("rocker", 20.0))
    design = edit.set_plate(design, Plate("rod", 22.0))
    assert design.plates == (Plate("rod", 22.0), Plate("rocker", 20.0))
    assert edit.drop_plate(design, "rod").plates == (Plate("rocker", 20.0),)


@pytest.mark.parametrize(
    "change",
    [
        lambda design: edit.set_plate(design, Plate("gone")),
        lambda design: edit.set_plate(design, Plate("rod", material="cheese")),
        lambda design: edit.drop_plate(design, "rocker"),
        lambda design: edit.rename(design, "plate", "rod", "other"),
    ],
)
def test_what_cannot_be_done_is_refused(change: Callable[[Design], Design]) -> None:
    with pytest.raises(DesignProblem):
        change(rocker(Plate("rod")))


def test_a_plate_follows_its_link() -> None:
    design = rocker(Plate("rod"), Plate("rocker"))
    assert [p.link for p in edit.rename(design, "link", "rod", "bar").plates] == ["bar", "rocker"]
    free = replace(design, limits=(), outputs=())
    assert [p.link for p in edit.remove(free, "link", "rocker").plates] == ["rod"]


def test_an_own_outline_turns_with_its_link() -> None:
    corners = ((-10.0, -40.0), (10.0, -40.0), (12.0, 160.0), (-12.0, 160.0))
    design = rocker(Plate("lever", outline=corners))
    turned = rebase(design, 70.0)
    (plate,) = turned.plates
    turn = math.radians(-20.0)
    for (x, y), (was_x, was_y) in zip(plate.outline, corners, strict=True):
        assert x == pytest.approx(was_x * math.cos(turn) - was_y * math.sin(turn), abs=1e-9)
        assert y == pytest.approx(was_x * math.sin(turn) + was_y * math.cos(turn), abs=1e-9)
    assert turned.point("grip") != Point("grip", 0.0, 150.0)
