"""Sweeps against one analysis at a time, and their exports."""

from __future__ import annotations

import csv
import io
import math

import numpy as np
import pytest

from solver.analysis import analyse
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.number_names import with_number
from solver.project import Display
from solver.sweep import crossed, crossings, map_csv, sweep, sweep_csv, sweep_map

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}
KEYS = ("holding_force", "peak_effort", "hang_zone_mm", "bottoming_margin")


@pytest.mark.parametrize(
    ("key", "number", "values"),
    [
        ("compression", "points.spring anchor.y", np.linspace(-100.0, -85.0, 7)),
        ("compression", "springs.main spring.rate", np.linspace(1.0, 4.0, 5)),
        ("compression", "stops.rest_a", np.linspace(105.0, 120.0, 5)),
        ("compression", "points.lever foot.x", np.linspace(-4.0, 4.0, 5)),
        ("knee", "points.slot end.y", np.linspace(-6.0, 6.0, 5)),
        ("rocker", "pivots.rod end.friction", np.linspace(0.0, 0.4, 3)),
    ],
)
def test_every_value_reads_as_its_own_analysis(key: str, number: str, values: np.ndarray) -> None:
    design = LAYOUT[key]()
    found = sweep(design, number, values, KEYS)
    for at, value in enumerate(values):
        alone = analyse(with_number(design, number, float(value)), 181).readings
        for reading in KEYS:
            # Plates that change shape with a point are followed by a parabola.
            assert found.readings[reading][at] == pytest.approx(alone[reading].value, rel=1e-4)


def test_a_torsion_rate_is_swept_in_the_units_of_the_document() -> None:
    found = sweep(LAYOUT["compression"](), "stops.rest_b", [60.0, 70.0], ["throw"])
    np.testing.assert_allclose(found.readings["throw"], [54.0, 44.0])
    assert found.number.label == "rest B"


def test_where_it_locks_there_is_no_reading() -> None:
    values = np.linspace(-20.0, 30.0, 11)
    found = sweep(LAYOUT["rocker"](), "points.rocker pivot.y", values, ["holding_force"])
    missing = np.isnan(found.readings["holding_force"])
    assert not missing[0]
    assert missing[-1]


def test_a_map_is_a_sweep_for_every_row() -> None:
    design = LAYOUT["compression"]()
    xs, ys = np.linspace(-5.0, 5.0, 4), np.linspace(2.0, 3.0, 3)
    names = ("points.spring anchor.x", "springs.main spring.rate")
    found = sweep_map(design, (names[0], xs), (names[1], ys), KEYS, positions=181)
    for row, rate in enumerate(ys):
        alone = sweep(with_number(design, names[1], float(rate)), names[0], xs, KEYS)
        for key in KEYS:
            np.testing.assert_allclose(found.readings[key][row], alone.readings[key], rtol=1e-12)


def test_csv_has_titles_with_units_and_every_value() -> None:
    found = sweep(LAYOUT["compression"](), "points.spring anchor.y", [-92.0, -90.0], KEYS[:2])
    rows = list(csv.reader(io.StringIO(sweep_csv(found, Display("inch")))))
    assert rows[0] == [
        "y of spring anchor (in)",
        "Holding force, weaker rest (lbf)",
        "Peak effort, harder way (lbf)",
    ]
    assert len(rows) == 3
    assert float(rows[1][0]) == pytest.approx(-92.0 / 25.4)
    assert float(rows[2][1]) == pytest.approx(
        found.readings["holding_force"][1] / 4.4482216152605, rel=1e-8
    )


def test_csv_leaves_out_what_is_not_there_and_shows_directions_as_the_display_does() -> None:
    design = LAYOUT["rocker"]()
    locked = sweep(design, "points.rocker pivot.y", [-20.0, 30.0], ["holding_force"])
    assert sweep_csv(locked, Display()).splitlines()[2] == "30,"
    turned = sweep(design, "stops.rest_a", [115.0, 120.0], ["throw"])
    assert sweep_csv(turned, Display()).splitlines()[1].startswith("25,")


def test_map_csv_has_a_row_for_every_pair() -> None:
    found = sweep_map(
        LAYOUT["compression"](),
        ("points.spring anchor.x", [-2.0, 2.0]),
        ("springs.main spring.rate", [2.0, 2.5, 3.0]),
        ["throw"],
    )
    rows = list(csv.reader(io.StringIO(map_csv(found, Display()))))
    assert rows[0] == ["x of spring anchor (mm)", "rate of main spring (N/mm)", "Throw (°)"]
    assert [row[:2] for row in rows[1:4]] == [["-2", "2"], ["2", "2"], ["-2", "2.5"]]
    assert len(rows) == 7


@pytest.mark.parametrize(
    ("number", "values", "keys", "sentence"),
    [
        ("points.nothing.x", [1.0], ["throw"], "no number"),
        ("points.grip.x", [1.0], ["nothing"], "no reading"),
        ("points.grip.x", [math.nan], ["throw"], "finite"),
        ("points.grip.x", [], ["throw"], "finite"),
        ("springs.main spring.rate", [-1.0, 2.0], ["throw"], "rate must be above 0"),
    ],
)
def test_what_cannot_be_swept_is_refused(
    number: str, values: list[float], keys: list[str], sentence: str
) -> None:
    with pytest.raises(DesignProblem, match=sentence):
        sweep(LAYOUT["compression"](), number, values, keys)


def test_a_map_needs_two_numbers_and_an_end() -> None:
    design = LAYOUT["compression"]()
    same = ("points.grip.x", [0.0, 1.0])
    with pytest.raises(DesignProblem, match="two different"):
        sweep_map(design, same, same, ["throw"])
    many = np.linspace(0.0, 1.0, 2000)
    with pytest.raises(DesignProblem, match="too large"):
        sweep_map(design, ("points.grip.x", many), ("points.grip.y", many), ["throw"])


def test_crossings_of_a_limit_are_found_between_the_values() -> None:
    design = LAYOUT["compression"]()
    rates = np.linspace(1.0, 4.0, 31)
    found = sweep(design, "springs.main spring.rate", rates, ["holding_force", "throw"])
    bound = float(found.readings["holding_force"][:2].mean())
    (at,) = crossings(found, "holding_force", bound)
    assert rates[0] < at < rates[1]
    there = sweep(design, "springs.main spring.rate", [at], ["holding_force"])
    assert there.readings["holding_force"][0] == pytest.approx(bound, rel=1e-3)
    for end in (0, -1):
        (at,) = crossings(found, "holding_force", float(found.readings["holding_force"][end]))
        assert at == rates[end]
    assert not crossings(found, "holding_force", 1e6).size
    assert not crossings(found, "throw", 1.0).size


def test_a_reading_that_stays_at_its_bound_is_no_division_by_nothing() -> None:
    values = np.linspace(0.0, 4.0, 5)
    found = crossed(values, np.array([1.0, 2.0, 2.0, 2.0, 3.0]), 2.0)
    assert found.tolist() == [1.0, 2.0, 3.0]
