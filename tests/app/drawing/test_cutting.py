import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.drawing.boxes import Box
from app.drawing.cutting import Stroke, cut
from app.drawing.ink import segments
from app.drawing.meeting import frames, overlap
from app.drawing.model import Arc, Circle, Layer, Line, Place, Polyline
from tests.app.drawing.faults import ink_in

GAP = Box((0.0, 0.0), 4.0, 1.5, 30.0)
PLACE = st.tuples(st.floats(-20.0, 20.0), st.floats(-20.0, 20.0))


def long(stroke: Stroke) -> float:
    if isinstance(stroke, Arc):
        return math.radians(stroke.end - stroke.start) * stroke.radius
    if isinstance(stroke, Circle):
        return math.tau * stroke.radius
    lines = segments([stroke])
    return float(sum(math.dist(one[:2], one[2:]) for one in lines))


@given(PLACE, PLACE)
def test_of_a_line_only_what_lies_in_the_gap_goes(
    a: tuple[float, float], b: tuple[float, float]
) -> None:
    assume(math.dist(a, b) > 1.0)
    whole = Line(Layer.PHANTOM, a, b)
    left = list(cut(whole, [GAP.corners()]))
    within = ink_in(GAP, segments([whole]))
    # Ends shorter than 0.05 mm are dropped, one at either side of the gap at the most.
    assert sum(map(long, left)) == pytest.approx(long(whole) - within, abs=0.11)
    assert ink_in(GAP.grown(-1e-6), segments(left)) == pytest.approx(0.0, abs=1e-6)


@given(st.floats(0.5, 30.0), PLACE, st.floats(0.0, 360.0), st.floats(5.0, 355.0))
def test_arcs_stay_out_of_the_gap(radius: float, centre: Place, start: float, turn: float) -> None:
    whole = Arc(Layer.DIMENSIONS, centre, radius, start, start + turn)
    left = [one for one in cut(whole, [GAP.corners()]) if isinstance(one, Arc)]
    for one in left:
        assert whole.start - 1e-9 <= one.start < one.end <= whole.end + 1e-9
        for share in (0.01, 0.5, 0.99):
            way = math.radians(one.start + share * (one.end - one.start))
            on = (centre[0] + radius * math.cos(way), centre[1] + radius * math.sin(way))
            dot, gap = frames([Box(on, 1e-9, 1e-9)]), frames([GAP.grown(-1e-3)])
            assert not overlap(dot, gap)


def test_a_circle_becomes_one_arc_across_its_start() -> None:
    [arc] = cut(Circle(Layer.HOLES, (0.0, 0.0), 10.0), [Box((-10.0, 0.0), 1.0, 1.0).corners()])
    assert isinstance(arc, Arc)
    assert arc.end - arc.start == pytest.approx(360.0 - 2.0 * math.degrees(math.asin(0.1)), abs=0.2)


def test_a_closed_line_becomes_one_open_one() -> None:
    square = Polyline(
        Layer.OUTLINE, ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)), closed=True
    )
    [open_one] = cut(square, [Box((10.0, 20.0), 2.0, 1.0).corners()])
    assert isinstance(open_one, Polyline)
    assert not open_one.closed
    assert long(open_one) == pytest.approx(76.0)


def test_what_no_gap_meets_stays_the_same() -> None:
    far = [Box((100.0, 100.0), 1.0, 1.0).corners()]
    square = Polyline(Layer.OUTLINE, ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)), closed=True)
    for stroke in (
        *(square, Line(Layer.THIN, (0.0, 0.0), (5.0, 0.0))),
        *(Circle(Layer.HOLES, (0.0, 0.0), 3.0), Arc(Layer.THIN, (0.0, 0.0), 3.0, 10.0, 400.0)),
    ):
        assert list(cut(stroke, far)) == [stroke]


def test_solid_shapes_stay_whole() -> None:
    dot = Circle(Layer.DIMENSIONS, (0.0, 0.0), 0.5, filled=True)
    assert list(cut(dot, [GAP.corners()])) == [dot]
