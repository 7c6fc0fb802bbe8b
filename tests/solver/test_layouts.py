from __future__ import annotations

import pytest

from solver.analysis import analyse
from solver.checks import problems
from solver.files import dumps, loads
from solver.layouts import LAYOUTS, Layout
from solver.project import Project, Variant
from solver.readings import catalogue

BLANK = "blank"
READY = [layout for layout in LAYOUTS if layout.key != BLANK]


def test_keys_and_titles_are_unique() -> None:
    assert len({layout.key for layout in LAYOUTS}) == len(LAYOUTS)
    assert len({layout.title for layout in LAYOUTS}) == len(LAYOUTS)
    assert [layout.key for layout in LAYOUTS][-1] == BLANK


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.key)
def test_a_layout_says_what_it_is_and_is_sound(layout: Layout) -> None:
    assert layout.sentence.endswith(".")
    design = layout.build()
    assert problems(design) == ()
    assert layout.build() == design
    keys = {kind.key for kind in catalogue(design)}
    assert {limit.reading for limit in design.limits} <= keys
    project = Project("A start", (Variant("First", design),))
    assert loads(dumps(project)) == project


@pytest.mark.parametrize("layout", READY, ids=lambda layout: layout.key)
def test_a_ready_layout_is_a_good_lever(layout: Layout) -> None:
    result = analyse(layout.build())
    assert result.good, result.verdict
    assert result.limits
    assert result.notes == ()
    assert result.dead_centre is not None
    for rest in "ab":
        assert result.readings[f"seating_force_{rest}"].value > 0.0


def test_a_blank_sheet_is_a_lever_that_only_its_weight_moves() -> None:
    blank = next(layout for layout in LAYOUTS if layout.key == BLANK).build()
    assert (blank.springs, blank.limits) == ((), ())
    result = analyse(blank)
    # A few grams of plate fall to either side.
    assert 0.0 <= result.readings["holding_force"].value < 2.0
