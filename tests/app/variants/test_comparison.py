"""Levers going together, curves on one axis, numbers as the check prints them."""

import csv
import io
import json
import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from app import report
from app.study_words import percent
from app.variants import records, tables
from app.variants.comparison import (
    Comparison,
    place_on_axis,
    plots,
    share_at,
    travel_of,
    with_copies,
)
from app.variants.lines import BEST
from app.variants.outcomes import Outcomes, outcome_of
from solver import units
from solver.analysis import Analysis, analyse
from solver.project import Display
from tests.app.variants.showing import comparison, example, four


def analyses(shown: Comparison) -> Iterator[Analysis]:
    for entry in shown.entries:
        assert entry.analysis is not None
        yield entry.analysis


@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
def test_levers_go_by_the_same_share_of_their_travel(share: float) -> None:
    shown = comparison(0, 1, 2)
    for entry, analysis in zip(shown.entries, analyses(shown), strict=True):
        travel = travel_of(entry, shown, share, "share")
        assert travel == pytest.approx(share * analysis.throw)
        assert share_at(entry, shown, travel, "share") == pytest.approx(share)


def test_levers_go_by_the_same_direction_and_wait_on_their_stops() -> None:
    shown = comparison(0, 1, 2)
    first = next(analyses(shown))
    for share in (0.0, 0.2, 0.5, 0.9, 1.0):
        direction = first.direction[0] + first.sense * share * first.throw
        for entry, analysis in zip(shown.entries, analyses(shown), strict=True):
            travel = travel_of(entry, shown, share, "direction")
            there = analysis.direction[0] + analysis.sense * travel
            low, high = sorted((analysis.direction[0], analysis.direction[-1]))
            assert there == pytest.approx(min(max(direction, low), high))


def test_curves_are_those_of_the_analyses_in_display_units() -> None:
    display = Display("inch")
    shown = comparison(0, 1, project=four(display))
    energy, to_b, to_a = plots(shown, "share")
    assert (energy.unit, to_b.unit) == ("in·lbf", "lbf")
    for index, analysis in enumerate(analyses(shown)):
        factor = units.factor("force", display)
        np.testing.assert_allclose(to_b.curves[index][1], analysis.effort_to_b * factor)
        np.testing.assert_allclose(to_a.curves[index][1], analysis.effort_to_a * factor)
        xs = energy.curves[index][0]
        assert (xs[0], xs[-1]) == (0.0, pytest.approx(100.0))
        assert analysis.dead_centre is not None
        assert energy.centres[index] == pytest.approx(100.0 * analysis.dead_centre / analysis.throw)


def test_by_direction_the_curves_lie_where_the_levers_point() -> None:
    shown = comparison(0, 1)
    first, second = analyses(shown)
    energy, *_ = plots(shown, "direction")
    offset = (second.direction[0] - first.direction[0]) * first.sense
    assert energy.curves[1][0][0] == pytest.approx(offset)
    assert place_on_axis(shown, 1.0, "direction") == pytest.approx(first.throw)


def test_a_variant_that_cannot_be_solved_is_listed_but_not_plotted() -> None:
    shown = comparison(0, 3)
    assert [entry.outcome.state for entry in shown.entries] == ["good", "unknown"]
    assert [entry.name for entry in plots(shown, "share")[0].entries] == ["with rod"]
    assert travel_of(shown.entries[1], shown, 0.5, "share") == 0.0


def test_outcomes_are_found_once_and_told_apart_by_display() -> None:
    known, design = Outcomes(), four().design
    metric, inch = Display(), Display("inch")
    assert known.known(design, metric) is None
    found = known.of(design, metric)
    assert known.of(design, metric) is found
    assert known.known(design, inch) is None
    assert "lbf" in known.of(design, inch).sentence or "in" in known.of(design, inch).sentence
    stuck = outcome_of(four().variants[3].design, metric)
    assert stuck.words == "Cannot be solved"
    assert stuck.sentence.endswith(".")


@pytest.mark.parametrize("display", [Display(), Display("inch")], ids=["metric", "inch"])
def test_every_number_is_the_one_that_check_prints(display: Display) -> None:
    project = four(display)
    shown = comparison(0, 1, 2, project=project)
    by_key = {line.key: line for line in tables.lines(shown) if line.cells}
    for index, variant in enumerate(project.variants[:3]):
        checked = analyse(variant.design, display=display)
        printed = report.as_text(project, checked)
        for key, reading in checked.readings.items():
            cell, unit = by_key[key].cells[index], by_key[key].unit
            text = units.show(reading.value, reading.quantity, display)
            assert text in printed
            assert text == f"{cell.value}{unit if unit == '°' else f' {unit}' if unit else ''}"


def test_best_is_marked_by_more_than_bold_and_differences_have_signs() -> None:
    shown = comparison(0, 1)
    by_key = {line.key: line for line in tables.lines(shown)}
    hold = by_key["holding_force"]
    values = [analysis.readings["holding_force"].value for analysis in analyses(shown)]
    best = values.index(max(values))
    assert hold.cells[best].best
    assert hold.cells[best].text().startswith(BEST)
    assert not hold.cells[1 - best].best
    assert hold.cells[0].difference == ""
    first, second = (round(value, 2) for value in values)
    assert hold.cells[1].difference == f"{second - first:+.2f}".replace("-", "−")
    assert by_key["count Parts of the linkage, all together"].cells[1].text() == "◆ 4 (−5)"


def test_limits_say_the_room_that_is_left() -> None:
    project = example()
    shown = comparison(0, 1, project=project)
    by_key = {line.key: line for line in tables.lines(shown)}
    line = by_key["limit holding_force"]
    assert line.label == "Holding force, weaker rest: ≥ 5.00 N"
    assert [cell.state for cell in line.cells] == ["good", "good"]
    for cell, analysis in zip(line.cells, analyses(shown), strict=True):
        left = analysis.readings["holding_force"].value - 5.0
        assert cell.value == f"✓ +{left:.2f}"
    other = {line.key: line for line in tables.lines(comparison(0, 1))}
    assert "each its own limit" in other["limit hang_zone_mm"].label
    assert other["limit slack_margin"].cells[0].value == "no limit"


def test_text_has_the_verdicts_the_table_and_the_changes() -> None:
    text = tables.as_text(comparison(0, 1, project=example()))
    assert text.startswith("Diverter with or without rod\n")
    assert "1  A with rod\n   Works. The lever carries itself home" in text
    assert "Limits: room left" in text
    assert "What is different in 2, B on the shaft, from 1:\n  No link “rod” any more." in text
    assert max(map(len, text.splitlines())) < 200


def test_json_is_what_check_prints_and_more() -> None:
    project = four(Display("inch"))
    record = json.loads(records.as_json(comparison(0, 1, 3, project=project)))
    for index in (0, 1):
        single = project.variants[index]
        checked = json.loads(
            report.as_json(project, analyse(single.design, display=project.display))
        )
        for key in ("verdict", "good", "limits", "limits_hold", "readings", "hang_zones"):
            assert record["variants"][index][key] == checked[key]
    assert record["variants"][1]["parts"]["total"] == 4
    assert record["variants"][0]["different"] == []
    assert record["variants"][1]["different"]
    assert "problem" in record["variants"][2]
    assert record["best"]["throw"] == []


def test_csv_is_in_base_units_whatever_is_shown() -> None:
    metric, inch = (
        list(csv.reader(io.StringIO(records.as_csv(comparison(0, 1, 3, project=four(display))))))
        for display in (Display(), Display("inch"))
    )
    head, *rows = metric
    assert head == [
        *("group", "what", "unit", "1 with rod", "2 direct", "3 stuck"),
        *("2 minus 1", "3 minus 1", "best", "holds in"),
    ]
    assert {len(row) for row in rows} == {len(head)}
    changes = [row for row in rows if row[0].startswith("Different from 1")]
    numbers = [row for row in rows if not row[0].startswith("Different from 1")]
    assert changes
    assert [row[:8] for row in numbers] == [
        row[:8] for row in inch[1:] if not row[0].startswith("Different from 1")
    ]
    analysis = analyse(four().design)
    by_name = {row[1]: row for row in rows if row[0] not in ("Limits, room left",)}
    for reading in analysis.readings.values():
        cell = by_name[reading.label][3]
        if math.isfinite(reading.value):
            assert float(cell) == pytest.approx(reading.value, rel=1e-8)
        assert by_name[reading.label][5] == ""


def test_both_variants_of_the_example_do_their_job_with_something_to_spare() -> None:
    project = example()
    for variant in project.variants:
        analysis = analyse(variant.design)
        assert analysis.good, variant.name
        for result in analysis.limits:
            least, most, value = result.limit.at_least, result.limit.at_most, result.reading.value
            assert least is None or value >= 1.05 * least, result.sentence
            assert most is None or value <= 0.9 * most, result.sentence
        assert variant.note
        assert "Try this:" in variant.design.notes


def test_it_says_what_copies_are_off_by_how_sure_shares_are_and_what_the_worst_does() -> None:
    shown = with_copies(comparison(0, 1, project=example()))
    text = tables.as_text(shown)
    assert "copies; holes ±0.3 mm, rests ±0.5°, rate ±10 %" in text
    assert text.count("friction × 0.6 … 1.6") == 1
    by_key = {line.key: line for line in tables.lines(shown)}
    for index, entry in enumerate(shown.entries):
        assert entry.copies is not None
        low = 100.0 * entry.copies.all_limits.low
        told = by_key["range"].cells[index].value.removesuffix(" %")
        assert float(told.partition("–")[0]) == pytest.approx(low, abs=0.06)
        cell = by_key["copies all"].cells[index]
        assert cell.value == percent(entry.copies.all_limits.share)
        assert f"{cell.value}: {told}" in text  # brackets are for differences
        assert told in cell.tip
        for limit in entry.copies.limits:
            cell = by_key[f"worst {limit.limit.reading}"].cells[index]
            assert cell.value.endswith((" holds",) if limit.worst_holds else (" short", " over"))


def test_variants_with_other_tolerances_are_told_apart() -> None:
    project = example()
    first, second = project.variants
    loose = replace(second.design.tolerances, hole=0.8)
    second = replace(second, design=replace(second.design, tolerances=loose))
    project = replace(project, variants=(first, second))
    text = tables.as_text(with_copies(comparison(0, 1, project=project)))
    assert "  1: holes ±0.3 mm" in text
    assert "  2: holes ±0.8 mm" in text


def test_differences_are_of_the_printed_numbers() -> None:
    for display in (Display(), Display("inch")):
        shown = comparison(0, 1, 2, project=four(display))
        for line in tables.lines(shown):
            base = line.cells[0].value if line.cells else ""
            for cell in line.cells[1:]:
                if not cell.difference:
                    continue
                assert (cell.difference == "same") == (cell.value == base)
                if cell.difference != "same":
                    values = [float(text.replace("−", "-")) for text in (cell.value, base)]
                    more = float(cell.difference.replace("−", "-"))
                    decimals = len(cell.difference.partition(".")[2])
                    assert more == pytest.approx(round(values[0] - values[1], decimals), abs=1e-9)


def test_what_every_lever_must_do_is_among_the_shares() -> None:
    shown = with_copies(comparison(0, 1, project=example()))
    by_label = {line.label: line for line in tables.lines(shown) if line.key.startswith("copies ")}
    for index, entry in enumerate(shown.entries):
        assert entry.copies is not None
        assert entry.copies.conditions
        for each in entry.copies.conditions:
            told = by_label[each.label].cells[index].value
            assert told.startswith(percent(each.holds.share))


def test_csv_has_no_noise_ranges_and_who_holds() -> None:
    shown = with_copies(comparison(0, 1, project=example()))
    rows = list(csv.DictReader(io.StringIO(records.as_csv(shown))))
    travel = next(row for row in rows if row["what"] == "Travel of flap edge")
    assert travel["2 minus 1"] == "0"
    assert travel["holds in"] == "A with rod; B on the shaft"
    assert {row["unit"] for row in rows if row["group"] == "Parts"} == {""}
    ends = {row["what"]: row for row in rows if row["group"] == "Share of copies that hold"}
    copies = shown.entries[1].copies
    assert copies is not None
    low = float(ends["All limits hold, 95 % range from"]["2 B on the shaft"])
    assert low == pytest.approx(copies.all_limits.low)
    worst = [row for row in rows if row["group"] == "All tolerances at worst"]
    assert float(worst[0]["2 B on the shaft"]) == pytest.approx(copies.limits[0].worst)
    assert not worst[0]["holds in"]
