"""The edge of the go zone against bisection on single designs, and against closed forms.

The closed forms are those of the over-centre lever (`test_over_centre`), with the anchor at a
distance a from the pivot, φ off the line straight down: the arm's angle from dead centre is then
60° - φ at one rest and 60° + φ at the other.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq
from shapely import LineString

from solver.analysis import analyse
from solver.edit import move_point
from solver.errors import DesignProblem
from solver.go_zone import GoZone, go_zone
from solver.layouts import LAYOUTS
from solver.model import Design, Limit
from tests.outside.test_over_centre import ARM, FREE, RATE, over_centre

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}
HALF_THROW = math.radians(60.0)
WINDOW = (-60.0, -140.0, 60.0, -35.0)
CELLS = 64
STEP = 120.0 / (CELLS - 1)


def edge_along(zone: GoZone, start: complex, way: complex, far: float) -> float:
    """Where a ray first leaves or enters the zone, mm from its start."""
    end = start + far * way
    cut = zone.zone.boundary.intersection(LineString([(p.real, p.imag) for p in (start, end)]))
    return min(abs(complex(*part.coords[0]) - start) for part in getattr(cut, "geoms", [cut]))


# ---- closed forms ----------------------------------------------------------------------


def torque(a: float, angle: float) -> float:
    """T = k(L - L0)·a·r·sin θ/L, the spring slack below L0."""
    length = math.sqrt(a**2 + ARM**2 + 2.0 * a * ARM * math.cos(angle))
    return RATE * max(length - FREE, 0.0) * a * ARM * math.sin(angle) / length


@pytest.mark.parametrize("holding", [12.0, 25.0, 40.0])
def test_where_the_holding_force_meets_its_limit(holding: float) -> None:
    design = replace(over_centre(60.0), limits=(Limit("holding_force", at_least=holding),))
    found = go_zone(design, "anchor", WINDOW, cells=CELLS)
    assert found.inside
    assert "Holding force, weaker rest" in {edge.label for edge in found.edges}

    def room(a: float, off: float) -> float:
        weaker = min(torque(a, HALF_THROW - off), torque(a, HALF_THROW + off))
        return weaker / ARM - holding

    for degrees in (-12.0, -7.0, -1.0, 0.0, 4.0, 9.0, 14.0):
        off = math.radians(degrees)
        expected = brentq(room, 50.0, 130.0, args=(off,))
        way = complex(math.sin(off), -math.cos(off))
        # Straight lines within cells of 1.9 mm: h²/8 over a radius of curvature of 20 mm; where
        # the weaker rest changes, the edge has a corner in the middle of a cell.
        tolerance = 0.02 if abs(degrees) > 2.0 else 0.5
        assert edge_along(found, 40.0 * way, way, 100.0) + 40.0 == pytest.approx(
            expected, abs=tolerance
        )


@pytest.mark.parametrize("width", [2.4, 2.5, 2.6])
def test_where_the_hang_zone_meets_its_limit(width: float) -> None:
    # Derived: sin θ = μ(r_p + r_e)L/(ar) at its edge; the zone is 2θ wide, 2θr at the grip. It
    # depends on a alone, so the edge is a circle about the pivot.
    design = replace(over_centre(60.0, friction=0.15), limits=(Limit("hang_zone_mm", None, width),))
    found = go_zone(design, "anchor", WINDOW, cells=CELLS)

    def room(a: float) -> float:
        theta = width / (2.0 * ARM)
        length = math.sqrt(a**2 + ARM**2 + 2.0 * a * ARM * math.cos(theta))
        return math.sin(theta) - 0.15 * 6.0 * length / (a * ARM)

    radius = brentq(room, 30.0, 200.0)
    lines = [edge.line[1:-1] for edge in found.edges if edge.label == "Hang zone at the grip"]
    places = np.concatenate([np.array(line) for line in lines])
    # The ends of a stretch belong to what it meets there, too.
    away = np.abs(np.hypot(*places.T) - radius)
    assert len(places) > 20
    assert np.quantile(away, 0.9) < 0.01
    assert away.max() < 0.05


# ---- bisection -------------------------------------------------------------------------


def bisected(good: Callable[[float], bool], low: float, high: float) -> float:
    """Where a design stops being good on the way from low (good) to high (not)."""
    assert good(low)
    assert not good(high)
    for _ in range(22):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if good(middle) else (low, middle)
    return 0.5 * (low + high)


@pytest.mark.parametrize(
    ("key", "point"),
    [
        ("compression", "spring anchor"),
        ("compression", "lever foot"),
        ("extension", "spring anchor"),
        ("rocker", "spring anchor"),
        ("rocker", "rod end"),
        ("knee", "knee"),
    ],
)
def test_the_edge_is_where_single_designs_stop_being_good(key: str, point: str) -> None:
    design: Design = LAYOUT[key]()
    found = go_zone(design, point, cells=CELLS)
    step = max(found.window[2] - found.window[0], found.window[3] - found.window[1]) / 63
    here = complex(design.point(point).x, design.point(point).y)
    far = abs(complex(*found.window[2:]) - complex(*found.window[:2]))
    offs, cut = [], 0
    for degrees in range(5, 360, 24):
        way = complex(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))

        def good(distance: float, way: complex = way) -> bool:
            place = here + distance * way
            try:
                return analyse(move_point(design, point, place.real, place.imag), 181).good
            except DesignProblem:
                return False

        edge = edge_along(found, here, way, far)
        on = here + edge * way
        x0, y0, x1, y1 = found.window
        if min(on.real - x0, x1 - on.real, on.imag - y0, y1 - on.imag) < step / 2.0:
            cut += 1
            continue  # the window ends it here
        single = bisected(good, max(edge - step, 0.0), edge + step)
        offs.append(abs(single - edge) / step)
    assert len(offs) >= 8, cut
    # Straight lines within a cell: a small part of it, and more only at corners.
    assert np.median(offs) < 0.02
    assert max(offs) < 0.5
