"""From the printed sheet alone: the linkage drawn anew is the same, and reads as it does."""

from dataclasses import replace
from pathlib import Path

import pytest

from solver.analysis import analyse
from solver.model import Design, Force
from tests.app.drawing.reading import design_of
from tests.app.drawing.sheets import sheet_of, solved
from tests.example_files import EXAMPLES, named

READINGS = (
    *("holding_force_a", "holding_force_b", "peak_effort_to_a", "peak_effort_to_b"),
    *("throw", "travel_at_grip", "dead_centre", "commit_from_a", "commit_from_b"),
)
PRINTED = 0.005
"""Forces and travels have three figures at least: half of the last of them."""


def joints(design: Design) -> dict[str, set[str]]:
    return {link.name: set(link.points) for link in design.links}


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_links_and_stops_are_all_on_the_sheet(path: Path) -> None:
    project, _ = solved(path)
    first, second = project.design, design_of(sheet_of(path))
    assert joints(second) == joints(first)
    assert (second.lever, second.grip) == (first.lever, first.grip)
    assert {spring.name for spring in second.springs} == {spring.name for spring in first.springs}
    assert {load.name for load in second.loads} == {load.name for load in first.loads}
    assert {weight.name for weight in second.weights} == {one.name for one in first.weights}
    turn = second.stops.rest_a - first.stops.rest_a
    assert turn == pytest.approx(360.0 * round(turn / 360.0), abs=0.006)
    throw = second.stops.rest_b - second.stops.rest_a
    assert throw == pytest.approx(first.stops.rest_b - first.stops.rest_a, abs=0.011)


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_linkage_redrawn_from_its_sheet_reads_the_same(path: Path) -> None:
    _, first = solved(path)
    second = analyse(design_of(sheet_of(path)))
    for key in READINGS:
        if key in first.readings:
            value = first.readings[key].value
            assert second.readings[key].value == pytest.approx(value, rel=PRINTED), key


def test_a_load_that_is_misprinted_is_noticed() -> None:
    """That the reading is of what is printed: another load on the sheet, another linkage."""
    path = next(path for path in EXAMPLES if "diverter" in path.name)
    design = design_of(sheet_of(path))
    [load] = design.loads
    assert isinstance(load, Force)
    wrong = replace(design, loads=(replace(load, x=9.0),))
    true, false = (analyse(one).readings["holding_force_a"].value for one in (design, wrong))
    assert abs(false - true) > PRINTED * true
