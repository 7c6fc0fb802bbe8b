"""Variants in numbers: the table says what each analysis says, and which is best."""

import math
from dataclasses import replace

import pytest

from solver import compare, units
from solver.analysis import Analysis, analyse
from solver.layouts import LAYOUTS
from solver.model import Design, Limit
from solver.project import Display
from solver.readings import catalogue
from tests.example_files import EXAMPLES

METRIC = Display()
DESIGNS = [layout.build() for layout in LAYOUTS if layout.key != "blank"]


def solved(designs: list[Design]) -> list[Analysis | None]:
    return [analyse(design) for design in designs]


def whole() -> compare.Table:
    return compare.table(DESIGNS, solved(DESIGNS), METRIC)


def test_every_number_is_that_of_its_own_analysis() -> None:
    table = whole()
    for index, analysis in enumerate(solved(DESIGNS)):
        assert analysis is not None
        rows = {row.key: row.values[index] for row in table.readings}
        for key, reading in analysis.readings.items():
            assert rows.pop(key) == reading.value or math.isnan(reading.value)
        assert all(math.isnan(value) for value in rows.values())
        limits = {row.key: row.results[index] for row in table.limits}
        for result in analysis.limits:
            assert limits.pop(result.limit.reading) == result
        assert all(result is None for result in limits.values())


def test_differences_are_to_the_first() -> None:
    for row in whole().readings:
        assert row.differences[0] == ""
        for value, told in zip(row.values[1:], row.differences[1:], strict=True):
            assert told == compare.difference(value, row.values[0], row.quantity, METRIC)
    twice = [DESIGNS[0], DESIGNS[0]]
    for row in compare.table(twice, solved(twice), METRIC).readings:
        assert row.differences[1] == ("" if math.isnan(row.values[0]) else compare.SAME)


@pytest.mark.parametrize(
    ("value", "base", "told"),
    [
        (5.396, 6.652, "−1.25"),  # 5.40 and 6.65 are printed
        (10.31, 7.79, "+2.5"),  # 10.3 is the coarser
        (1.188, 1.1923, "same"),
        (1.1949, 1.1951, "−0.01"),  # 1.19 and 1.20
        (10.0, 9.96, "+0.04"),  # nothing is left of it with the coarser's digits
        (math.nan, 1.0, ""),
        (1.0, math.nan, ""),
        (math.inf, 1.0, ""),
    ],
)
def test_a_difference_is_that_of_the_printed_numbers(value: float, base: float, told: str) -> None:
    assert compare.difference(value, base, "force", METRIC) == told


def test_a_pin_may_do_another_job_so_that_its_load_makes_none_the_best() -> None:
    rows = [row for row in whole().readings if row.key.startswith("pin_load:")]
    assert rows
    assert all(row.best == () for row in rows)


def test_groups_stay_together_in_their_order() -> None:
    groups = [row.group for row in whole().readings]
    assert groups == sorted(groups, key=list(dict.fromkeys(groups)).index)
    assert groups[0] == catalogue(DESIGNS[0])[0].group


def test_best_is_the_greatest_or_the_least_by_what_the_reading_is() -> None:
    rows = {row.key: row for row in whole().readings}
    hold, effort = rows["holding_force"], rows["peak_effort"]
    assert hold.best == (hold.values.index(max(hold.values)),)
    assert effort.best == (effort.values.index(min(effort.values)),)
    assert rows["throw"].best == ()
    assert not compare.HIGHER & compare.LOWER


def test_what_is_shown_alike_is_equally_good() -> None:
    for row in whole().readings:
        shown = [units.number(value, row.quantity, METRIC) for value in row.values]
        best = {shown[index] for index in row.best}
        assert len(best) <= 1
        for index, text in enumerate(shown):
            assert (index in row.best) == (text in best)
    twice = [DESIGNS[0], DESIGNS[0]]
    assert all(row.best == () for row in compare.table(twice, solved(twice), METRIC).readings)


def test_a_variant_that_cannot_be_solved_has_counts_only() -> None:
    table = compare.table(DESIGNS[:2], [None, analyse(DESIGNS[1])], METRIC)
    assert all(math.isnan(row.values[0]) for row in table.readings)
    assert all(row.best == () for row in table.readings)
    assert all(row.results[0] is None for row in table.limits)
    assert table.counts[0].counts[0] > 0
    nothing = compare.table(DESIGNS[:2], [None, None], METRIC)
    assert nothing.readings == ()
    assert nothing.limits == ()


def test_part_counts_by_hand() -> None:
    direct, rocker = DESIGNS[0], DESIGNS[2]
    assert compare.part_count(direct) == compare.PartCount(2, 1, 0, 1, 0)
    assert compare.part_count(rocker) == compare.PartCount(4, 4, 0, 1, 0)
    (total, links, pins, *_) = compare.table([direct, rocker], [None, None], METRIC).counts
    assert total.counts == (4, 9)
    assert total.best == (0,)
    assert (links.counts, pins.counts) == ((2, 4), (1, 4))


def test_limits_of_all_variants_are_listed_once() -> None:
    strict = replace(DESIGNS[0], limits=(Limit("throw", at_most=1.0), *DESIGNS[0].limits))
    designs = [DESIGNS[0], strict]
    rows = compare.table(designs, solved(designs), METRIC).limits
    assert [row.key for row in rows] == [*(limit.reading for limit in DESIGNS[0].limits), "throw"]
    assert rows[-1].results[0] is None
    assert rows[-1].results[1] is not None
    assert not rows[-1].results[1].holds


def test_the_example_for_comparing_has_eleven_parts_against_six() -> None:
    from solver import files

    project = files.load(next(path for path in EXAMPLES if path.stem == "09-with-or-without-rod"))
    assert [compare.part_count(variant.design).total for variant in project.variants] == [11, 6]
