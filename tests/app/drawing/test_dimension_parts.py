import io
import math
from dataclasses import replace
from typing import TypeVar

import ezdxf
import pytest

from app.drawing.dimension_parts import ARROW, leader_of, parts_of, polar, readable
from app.drawing.dxf import as_dxf
from app.drawing.model import (
    AngularDimension,
    Arc,
    Dimension,
    Drawing,
    Line,
    LinearDimension,
    Polyline,
    RadialDimension,
    Text,
)

Kind = TypeVar("Kind")


def parts(dimension: Dimension, kind: type[Kind]) -> list[Kind]:
    return [part for part in parts_of(dimension) if isinstance(part, kind)]


def linear(
    end: tuple[float, float], angle: float | None, through: tuple[float, float]
) -> Dimension:
    return LinearDimension("key", (0.0, 0.0), end, through, 1.0, "40", angle)


def test_arrow_tips_stand_where_the_measure_ends() -> None:
    tips = [p.points[0] for p in parts(linear((40.0, 25.0), 0.0, (0.0, -10.0)), Polyline)]
    assert tips == [pytest.approx((0.0, -10.0)), pytest.approx((40.0, -10.0))]


def test_an_aligned_dimension_measures_the_distance() -> None:
    tips = [p.points[0] for p in parts(linear((30.0, 40.0), None, (-8.0, 6.0)), Polyline)]
    assert math.dist(*tips) == pytest.approx(50.0)


def test_arrows_of_a_long_dimension_lie_between_its_ends() -> None:
    for head in parts(linear((40.0, 0.0), 0.0, (0.0, 10.0)), Polyline):
        assert all(-1e-9 <= x <= 40.0 + 1e-9 for x, _ in head.points)


def test_arrows_of_a_short_dimension_point_in_from_outside() -> None:
    for head in parts(linear((3.0, 0.0), 0.0, (0.0, 10.0)), Polyline):
        assert all(x <= 1e-9 or x >= 3.0 - 1e-9 for x, _ in head.points)


def test_the_text_stands_over_the_line() -> None:
    (text,) = parts(linear((40.0, 0.0), 0.0, (0.0, 10.0)), Text)
    assert text.at[0] == pytest.approx(20.0)
    assert text.at[1] - text.height / 2.0 > 10.0


@pytest.mark.parametrize(
    ("direction", "reads"),
    [
        (0.0, 0.0),
        (90.0, 90.0),
        (-90.0, 90.0),
        (180.0, 0.0),
        (135.0, -45.0),
        (260.0, 80.0),
        (-89.5, 90.5),
    ],
)
def test_texts_read_from_below_or_from_the_right(direction: float, reads: float) -> None:
    assert readable(direction) == pytest.approx(reads)


def test_an_angle_is_told_by_an_arc_of_its_size() -> None:
    dimension = AngularDimension("key", (0.0, 0.0), 66.0, 114.0, 60.0, "48°")
    (arc,) = parts(dimension, Arc)
    assert (arc.start, arc.end, arc.radius) == (66.0, 114.0, 60.0)
    tips = [head.points[0] for head in parts(dimension, Polyline)]
    assert [math.hypot(*tip) for tip in tips] == [pytest.approx(60.0)] * 2


def test_a_small_angle_has_its_arrows_outside() -> None:
    (arc,) = parts(AngularDimension("key", (0.0, 0.0), 0.0, 2.0, 40.0, "2°"), Arc)
    assert arc.start < 0.0
    assert arc.end > 2.0


def test_extension_lines_begin_where_the_feature_ends() -> None:
    dimension = AngularDimension("key", (0.0, 0.0), 0.0, 90.0, 60.0, "90°", (50.0, 58.9))
    first, *_ = parts(dimension, Line)
    assert first.start == pytest.approx((51.0, 0.0))


def test_a_leader_ends_on_the_circle() -> None:
    dimension = RadialDimension("k", "diameter", (10.0, 10.0), 5.0, 0.0, 10.0, "⌀10", (30.0, 20.0))
    (head,) = parts(dimension, Polyline)
    assert head.points[0] == pytest.approx((15.0, 10.0))
    assert math.dist(head.points[0], head.points[1]) == pytest.approx(math.hypot(ARROW, ARROW / 6))


def test_an_angles_text_off_its_arc_has_a_leader_and_one_at_it_none() -> None:
    at_it = AngularDimension("key", (0.0, 0.0), 60.0, 120.0, 60.0, "60°")
    assert leader_of(at_it) == ()
    off = replace(at_it, text_at=(20.0, 80.0))
    tip, under = leader_of(off)
    assert math.hypot(*tip.start) == pytest.approx(60.0)
    assert tip.end == under.start
    assert under.start[1] == under.end[1] < 80.0 - off.height / 2.0
    beyond = replace(at_it, text_at=(60.0, 0.0))
    assert leader_of(beyond)[0].start == pytest.approx(polar((0.0, 0.0), 60.0, 60.0))
    assert set(leader_of(off)) <= set(parts(off, Line))


def test_an_exchange_file_has_the_leader_too() -> None:
    off = AngularDimension("key", (0.0, 0.0), 60.0, 120.0, 60.0, "60°", text_at=(20.0, 80.0))
    page = Drawing((210.0, 297.0), (off,), scale=0.5, origin=(10.0, 20.0))
    document = ezdxf.read(io.StringIO(as_dxf(page).decode()))  # type: ignore[attr-defined]
    [dimension] = document.modelspace().query("DIMENSION")
    lines = document.blocks.get(dimension.dxf.geometry).query("LINE")
    drawn = {(10.0 + 0.5 * line.dxf.start.x, 20.0 + 0.5 * line.dxf.start.y) for line in lines}
    tip, _ = leader_of(off)
    assert any(start == pytest.approx(tip.start) for start in drawn)
