"""Extension lines do not read as if they were drawn from a hole that they only pass."""

from __future__ import annotations

import math

import pytest

from app.drawing.dimension_parts import parts_of, text_middle
from app.drawing.model import (
    AngularDimension,
    Circle,
    Drawing,
    Element,
    Layer,
    Line,
    LinearDimension,
    Place,
)
from app.drawing.passing import past_holes
from tests.app.drawing.sheets import sheet_of
from tests.example_files import EXAMPLES

LATCH = next(path for path in EXAMPLES if path.stem.startswith("06"))


def lines_past(hole: Place) -> list[Line]:
    """The upright lines of a row below, from a place over the hole, 1 mm wide in radius."""
    row = LinearDimension("k", (0.0, 30.0), (40.0, 30.0), (0.0, -20.0), 40.0, "40", 0.0)
    held: list[Element] = [Circle(Layer.HOLES, hole, 1.0), row]
    (passed,) = [e for e in past_holes(held) if isinstance(e, LinearDimension)]
    parts = [part for part in parts_of(passed) if isinstance(part, Line)]
    return [part for part in parts if part.start[0] == part.end[0] == 40.0]


@pytest.mark.parametrize("off", [0.2, -0.6, 0.95])
def test_a_line_beside_a_holes_centre_is_interrupted_around_it(off: float) -> None:
    over, under = lines_past((40.0 + off, 0.0))
    assert (over.start[1], over.end[1]) == pytest.approx((29.0, 3.3))
    assert (under.start[1], under.end[1]) == pytest.approx((-3.3, -21.5))


@pytest.mark.parametrize("hole", [(40.0, 0.0), (40.05, 0.0), (41.1, 0.0), (40.2, 31.0)])
def test_a_line_through_the_centre_or_clear_of_the_hole_stays_whole(hole: Place) -> None:
    assert len(lines_past(hole)) == 1


def straight(page: Drawing) -> list[LinearDimension]:
    return [element for element in page.elements if isinstance(element, LinearDimension)]


def gaps_of(*dimensions: LinearDimension) -> list[Place]:
    """The middles of their gaps."""
    return [
        (sum(x for x, _ in gap) / 4.0, sum(y for _, y in gap) / 4.0)
        for one in dimensions
        for gap in one.gaps
    ]


def test_the_row_of_the_latchs_fixing_hole_passes_the_rod_pin() -> None:
    page = sheet_of(LATCH)[0]
    (row,) = [one for one in straight(page) if one.key == "across:fixing 2"]
    (rod,) = [one for one in straight(page) if one.key == "link:rod:rod pin:latch arm"]
    assert gaps_of(row) == [pytest.approx(rod.start)]


def test_the_angle_of_the_latch_springs_legs_interrupts_no_dimension() -> None:
    page = sheet_of(LATCH, size="A3")[0]
    angles = [e for e in page.elements if isinstance(e, AngularDimension)]
    (legs,) = [e for e in angles if e.text.startswith("axis to pins")]
    # A gap lies about the middle of its text's box, a quarter of a mm off that of its letters.
    assert all(math.dist(gap, text_middle(legs)) > 1.0 for gap in gaps_of(*straight(page)))
