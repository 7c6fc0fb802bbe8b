"""Why copies of variants fail: every number is that of the spread of each variant."""

import csv
import io
from dataclasses import replace

import pytest

from app.studies.reports import spread_text
from app.study_words import percent
from app.variants import records, tables
from app.variants.comparison import Comparison, with_copies
from app.variants.reasons import answer, source_names, sources, spread_keys, tightest
from solver import units
from solver.model import Limit
from solver.project import Display, Project
from solver.spread import spread
from tests.app.variants.showing import comparison, example, four

KEY = "holding_force"


@pytest.fixture(scope="module")
def shown() -> Comparison:
    return with_copies(comparison(0, 1, project=example()))


def text_of_spread(project: Project, index: int) -> str:
    """What `throwover spread` prints of a variant."""
    at = replace(project, current=index)
    return spread_text(at, spread(at.design), KEY)


def test_the_answer_says_what_spread_prints(shown: Comparison) -> None:
    for index, entry in enumerate(shown.entries):
        assert entry.copies is not None
        printed, told = text_of_spread(example(), index), answer(entry, shown)
        readings = entry.copies.readings[KEY]
        low, high = (units.show(each, "force", Display()) for each in (readings.low, readings.high))
        assert f"{low} to {high}" in printed
        assert f"{low.removesuffix(' N')}–{high} in 90 of 100 copies" in told
        found = tightest(entry)
        assert found is not None
        worst = units.show(found.worst, "force", Display())
        assert f"all at worst: {worst}" in printed
        assert f"{worst} with all tolerances at their worst" in told
        share = percent(entry.copies.all_limits.share)
        assert f"{share} of 2 000 copies" in printed
        assert f"{share} of 2 000 copies" in told
        for each in sources(entry, KEY)[:3]:
            assert f"{percent(each.share):>8}  {each.label}" in printed
            assert f"{each.label} {percent(each.share)}" in told
    first, second = (answer(entry, shown) for entry in shown.entries)
    assert "“Holding force, weaker rest”, at least 5.00 N, is tightest: " in first
    assert "“Holding force, weaker rest”, at least 5.00 N, fails most: " in second
    assert "spread comes from" not in answer(shown.entries[1], shown, why=False)


def test_the_table_has_ranges_and_causes(shown: Comparison) -> None:
    by_key = {line.key: line for line in tables.lines(shown)}
    assert spread_keys(shown) == (KEY,)
    names = source_names(shown, KEY)
    assert {f"source {KEY} {name}" for name in names} <= set(by_key)
    for index, entry in enumerate(shown.entries):
        assert entry.copies is not None
        for limit in entry.copies.limits:
            readings = entry.copies.readings[limit.limit.reading]
            cell = by_key[f"band {limit.limit.reading}"].cells[index]
            for each in (readings.low, readings.high):
                kind = by_key[f"limit {limit.limit.reading}"].unit
                assert units.number(each, "force" if kind == "N" else "length", Display()) in (
                    cell.value.split("–")
                )
        shares = {each.label: each.share for each in entry.copies.contributions(KEY)}
        for name in names:
            told = by_key[f"source {KEY} {name}"].cells[index].value
            assert told == (percent(shares[name]) if name in shares else "–")


def test_the_tightest_limit_is_the_one_that_fails_most_or_is_nearest_to_it() -> None:
    project = example()
    first = project.variants[1]
    limits = (Limit("throw", at_most=90.0), Limit(KEY, at_least=3.0), Limit(KEY + "_b", at_most=99))
    easy = replace(first, design=replace(first.design, limits=limits))
    strict = (*limits, Limit("output_travel:flap edge", at_least=87.0))
    hard = replace(first, name="hard", design=replace(first.design, limits=strict))
    shown = with_copies(comparison(0, 1, project=replace(project, variants=(easy, hard))))
    found = [tightest(entry) for entry in shown.entries]
    assert [each.limit.reading for each in found if each] == [KEY, "output_travel:flap edge"]
    assert spread_keys(shown) == ("output_travel:flap edge",)


def test_what_has_no_limits_or_cannot_be_solved_has_an_answer_too() -> None:
    shown = with_copies(comparison(1, 3))
    direct, stuck = shown.entries
    assert answer(stuck, shown) == stuck.outcome.sentence
    bare = replace(direct.outcome.design, limits=())
    project = four()
    variants = (replace(project.variants[1], design=bare), project.variants[2])
    shown = with_copies(comparison(0, 1, project=replace(project, variants=variants)))
    told = answer(shown.entries[0], shown)
    assert "2 000 copies work as a throw-over lever (95 % sure: " in told
    assert tightest(shown.entries[0]) is None
    waiting = comparison(0, 1)
    assert answer(waiting.entries[0], waiting) == f"{waiting.entries[0].outcome.words}."


def test_the_csv_has_tolerances_copies_ranges_and_causes(shown: Comparison) -> None:
    rows = list(csv.DictReader(io.StringIO(records.as_csv(shown))))
    by_name = {(row["group"], row["what"]): row["2 B on the shaft"] for row in rows}
    copies = shown.entries[1].copies
    assert copies is not None
    given = shown.entries[1].outcome.design.tolerances
    assert by_name["Copies", "copies made"] == "2000"
    assert float(by_name["Tolerances of copies", "holes in x and in y, ±"]) == given.hole
    assert float(by_name["Tolerances of copies", "friction to ×"]) == given.friction_most
    assert ("Tolerances of copies", "initial tension, ±") not in by_name
    low = by_name["Readings of copies", "Holding force, weaker rest, 5th percentile"]
    assert float(low) == pytest.approx(copies.readings[KEY].low)
    cause = copies.contributions(KEY)[0]
    share = by_name["Share of the spread of: Holding force, weaker rest", cause.label]
    assert float(share) == pytest.approx(cause.share)
    words = [row["what"] for row in rows if row["group"] == "In words: 2 B on the shaft"]
    assert words == [answer(shown.entries[1], shown)]
