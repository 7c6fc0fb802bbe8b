"""Lines as straight pieces: arcs and circles as chords that stay close to them."""

import math

import pytest

from app.drawing.ink import chords
from app.drawing.model import Arc, Circle, Layer, Line, Polyline, Text


@pytest.mark.parametrize("radius", [0.02, 0.5, 3.0, 60.0])
def test_chords_stay_close_to_their_circle_and_close_it(radius: float) -> None:
    found = chords(Circle(Layer.HOLES, (5.0, 7.0), radius))
    assert found[0][:2] == pytest.approx(found[-1][2:])
    for (x1, y1, x2, y2), following in zip(found, [*found[1:], found[0]], strict=True):
        assert math.dist((x1, y1), (5.0, 7.0)) == pytest.approx(radius)
        assert (x2, y2) == pytest.approx(following[:2])
        sag = radius - math.dist(((x1 + x2) / 2.0, (y1 + y2) / 2.0), (5.0, 7.0))
        assert sag <= max(0.0201, radius * (1.0 - math.cos(math.radians(5.0))) + 1e-9)
    assert len(found) >= 4


def test_an_arc_begins_and_ends_where_it_does() -> None:
    found = chords(Arc(Layer.CENTRES, (0.0, 0.0), 10.0, 0.0, 90.0))
    assert found[0][:2] == pytest.approx((10.0, 0.0))
    assert found[-1][2:] == pytest.approx((0.0, 10.0))
    assert len(found) == 9


def test_straight_lines_are_their_own_pieces_and_texts_have_none() -> None:
    corners = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0))
    assert chords(Line(Layer.THIN, *corners[:2])) == [(0.0, 0.0, 4.0, 0.0)]
    assert len(chords(Polyline(Layer.THIN, corners))) == 2
    assert chords(Polyline(Layer.THIN, corners, closed=True))[-1] == (4.0, 3.0, 0.0, 0.0)
    assert chords(Text("150", (0.0, 0.0))) == []
