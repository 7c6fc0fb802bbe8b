"""Pins beside pins: rings, washers and posts of two points that pass each other."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.clearance import clearance, gap_remark
from solver.gaps import Gap
from solver.layouts import LAYOUTS
from solver.model import Design
from solver.project import Display
from tests.solver.test_clearance import in_layers, moved
from tests.solver.test_clearance_bounds import looked_at

ROCKER = next(layout for layout in LAYOUTS if layout.key == "rocker").build()
PULLED = next(layout for layout in LAYOUTS if layout.key == "extension").build()


def apart(off: float, **layers: int) -> Design:
    """The rod's end on the lever that far beside the rocker's pivot in the frame, pins of 8 mm."""
    design = in_layers(replace(ROCKER, springs=(), limits=()), **layers)
    pivot = design.point("rocker pivot")
    return moved(design, "rod end", pivot.x, pivot.y + off)


def between(design: Design, *points: str) -> list[Gap]:
    found = looked_at(design).gaps()
    return [gap for gap in found if gap.kind == "pins" and {gap.a, gap.b} == set(points)]


def test_rings_and_washers_of_two_pins_in_one_height_are_compared() -> None:
    """Ring and washer are 16 mm wide; the washer on the lever lies beside the pivot's ring."""
    (gap,) = between(apart(16.5), "rod end", "rocker pivot")
    assert gap.least == pytest.approx(0.5, abs=0.04)  # 0.2 % of both radii inside true circles
    assert set(gap.called) == {"the pin “rod end”", "the pin “rocker pivot”"}
    close = gap_remark(gap, Display())
    assert close is not None
    assert not close.serious
    (touching,) = between(apart(15.5), "rod end", "rocker pivot")
    remark = gap_remark(touching, Display())
    assert remark is not None
    assert (remark.kind, remark.serious, remark.gap) == ("pin", True, 0.0)
    assert remark.sentence.endswith(
        "touch, 0.00° from rest A: pull their points apart, or put a link on one of them into "
        "another layer."
    )


def test_pins_in_other_heights_pass_each_other() -> None:
    """The pivot's ring ends 9.5 mm up; two layers higher the lever's pin begins at 13 mm."""
    assert between(apart(13.0, lever=3, rod=4), "rod end", "rocker pivot") == []
    (gap,) = between(apart(13.0, lever=1, rod=3), "rod end", "rocker pivot")
    assert gap.least == 0.0


def test_pins_on_one_link_are_not_compared_for_they_keep_their_distance() -> None:
    assert between(apart(16.5), "lever pivot", "rocker pivot") == []
    assert between(apart(16.5), "lever pivot", "rod end") == []
    assert between(apart(16.5), "lever pivot", "rocker end") != []


def test_a_pin_that_comes_over_the_post_of_a_spring_is_told_of_that_post() -> None:
    """The lever's spring end comes within 6 mm of the anchor half way; spacers are 8 mm wide."""
    design = moved(PULLED, "lever foot", 0.0, 59.0)
    told = [r for r in clearance(design).remarks if set(r.parts) == {"lever foot", "spring anchor"}]
    (remark,) = told
    assert not remark.serious
    assert remark.sentence.startswith("The pin “")
    assert "a post for “main spring” cannot stand there" in remark.sentence
    assert not any(
        set(r.parts) == {"lever foot", "spring anchor"} for r in clearance(PULLED).remarks
    )
