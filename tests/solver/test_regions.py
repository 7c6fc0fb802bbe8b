"""Regions and their edges on fields of which the answer is known."""

from __future__ import annotations

import math

import numpy as np
import pytest

from solver.regions import Edge, Grid, edges, region
from solver.spans import spans

GRID = Grid.over((-10.0, -10.0, 10.0, 10.0), 65)
PLACES = GRID.places


def disc(x: float, y: float, radius: float) -> np.ndarray:
    """Positive inside a circle."""
    return radius - np.abs(PLACES - complex(x, y))


def fields(*each: np.ndarray) -> np.ndarray:
    return np.stack(each, axis=-1)


def test_a_ring_has_its_hole() -> None:
    found = region(GRID, fields(disc(0.0, 0.0, 8.0), -disc(0.0, 0.0, 3.0)))
    assert len(found.geoms) == 1
    assert len(found.geoms[0].interiors) == 1
    # Chords of a circle: short of its area by a share of (step/radius)²/6 or so.
    assert found.area == pytest.approx(math.pi * (64.0 - 9.0), rel=2e-3)


def test_where_two_edges_meet_the_corner_is_sharp() -> None:
    found = region(GRID, fields(PLACES.real - 1.03, PLACES.imag + 2.07))
    corner = min(abs(complex(x, y) - (1.03 - 2.07j)) for x, y in found.geoms[0].exterior.coords)
    assert corner < 1e-9
    assert found.area == pytest.approx((10.0 - 1.03) * (10.0 + 2.07), rel=1e-12)


def test_the_whole_window_and_nothing() -> None:
    everywhere = fields(np.ones_like(PLACES.real))
    assert region(GRID, everywhere).area == pytest.approx(400.0)
    assert [edge.key for edge in edges(GRID, everywhere, region(GRID, everywhere))] == [-1]
    assert region(GRID, -everywhere).is_empty
    assert edges(GRID, -everywhere, region(GRID, -everywhere)) == ()


def test_two_pieces_and_no_specks() -> None:
    found = region(GRID, fields(np.maximum(disc(-5.0, 0.0, 3.0), disc(5.0, 0.0, 0.1))))
    assert len(found.geoms) == 1
    assert found.centroid.x == pytest.approx(-5.0, abs=0.01)
    two = region(GRID, fields(np.maximum(disc(-5.0, 0.0, 3.0), disc(5.0, 0.0, 2.0))))
    assert len(two.geoms) == 2


def lens() -> tuple[Edge, ...]:
    both = fields(disc(-3.0, 0.0, 6.0), disc(3.0, 0.0, 6.0))
    return edges(GRID, both, region(GRID, both))


def test_each_side_of_a_lens_is_named_by_its_circle() -> None:
    found = lens()
    assert sorted(edge.key for edge in found) == [0, 1]
    for edge in found:
        middle = {0: -3.0, 1: 3.0}[edge.key]
        for x, y in edge.line:
            assert math.hypot(x - middle, y) == pytest.approx(6.0, abs=0.02)
        assert edge.label_at is not None
        # Half way along the arc, which bulges across the middle.
        assert edge.label_at == pytest.approx((math.copysign(3.0, -middle), 0.0), abs=0.2)


def test_stretches_join_end_to_end() -> None:
    first, second = lens()
    ends = {tuple(np.round(p, 9)) for p in (first.line[0], first.line[-1])}
    assert ends == {tuple(np.round(p, 9)) for p in (second.line[0], second.line[-1])}


def test_what_the_window_cuts_has_no_name() -> None:
    half = fields(PLACES.real + 0.3 * PLACES.imag)
    found = {edge.key: edge for edge in edges(GRID, half, region(GRID, half))}
    assert set(found) == {0, -1}
    assert found[-1].label_at is None
    assert found[0].label_at == pytest.approx((0.0, 0.0), abs=1e-6)


def test_spans_end_where_the_first_number_does() -> None:
    places = np.linspace(0.0, 10.0, 41).astype(np.complex128)
    x = places.real
    both = np.stack([x - 2.1, 7.3 - x], axis=-1)
    (found,) = spans(places, both, ("low", "high"))
    assert found.start == pytest.approx((2.1, 0.0))
    assert found.end == pytest.approx((7.3, 0.0))
    assert (found.start_label, found.end_label) == ("low", "high")
    (left,) = spans(places, both[:, 1:], ("high",))
    assert (left.start, left.start_label) == ((0.0, 0.0), "")
    assert spans(places, -both - 20.0, ("low", "high")) == []
