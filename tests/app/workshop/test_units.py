"""One unit on each paper: an inch project's papers are in inches, a metric one's in mm."""

import re
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from app.workshop.gap_words import heading
from app.workshop.papers import PAPERS, Key, Papers
from solver import files
from solver.model import CompressionSpring, TorsionSpring
from solver.project import Project
from tests.app.drawing.faults import texts
from tests.example_files import EXAMPLES, named

TODAY = date(2026, 11, 25)
METRIC = re.compile(r"(?<![\w·])(mm|N|mJ|kg|N/mm|N·mm|N·mm/°|m/s²)(?![\w·/])")
WORDS = re.compile(r"(?<=\d )in\b|(?<=\()in(?=\))|, in$|\binch(es)?\b|lbf?\b|ft/s²|in·lbf")
"""Inches, not the word «in»: after a number, in brackets as a head, at the end of an axis."""
RULER = {"100 mm", "4 in"}
GIVEN = tuple(f"General tolerances in mm: ISO 2768-1, class{end}" for end in ("", " medium"))
"""The standard's table of general tolerances is one of millimetres; its head may be two lines."""


def in_units(path: Path, units: str) -> Project:
    made = files.load(path)
    if units == "both":
        return replace(made, sheet=replace(made.sheet, units="both"))
    return made.in_units("inch" if units == "inch" else "metric")


@cache
def papers(path: Path, units: str) -> Papers:
    return Papers(in_units(path, units), today=TODAY)


def said(made: Papers, key: Key) -> list[str]:
    """Every text of a paper but the ruler and what the builder wrote himself."""
    notes = made.project.design.notes
    found = [text.text for page in made.pages(key) for text in texts(page)]
    return [text for text in found if text not in {*RULER, *GIVEN} and text not in notes]


@pytest.mark.parametrize("key", PAPERS)
@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_no_paper_mixes_units(path: Path, key: Key) -> None:
    metric, inch = papers(path, "mm"), papers(path, "inch")
    assert [text for text in said(inch, key) if METRIC.search(text)] == []
    assert [text for text in said(metric, key) if WORDS.search(text)] == []


def test_what_is_written_as_text_does_not_either(tmp_path: Path) -> None:
    for path in EXAMPLES[:4]:
        for units, wrong in (("inch", METRIC), ("mm", WORDS)):
            made = papers(path, units)
            (table,) = made.write("parts", "csv", tmp_path / "parts.csv")
            assert not wrong.search(table.read_text(encoding="utf-8"))
            (page,) = made.write("report", "html", tmp_path / "report.html")
            markup = page.read_text(encoding="utf-8")
            body = re.sub(r"<style>.*?</style>|<svg[^>]*>|<[^>]*>", "\n", markup, flags=re.S)
            notes = made.project.design.notes
            lines = [line for line in body.splitlines() if line.strip() not in notes]
            assert [line for line in lines if wrong.search(line)] == []


def test_both_are_said_where_both_are_asked_for(tmp_path: Path) -> None:
    made = papers(EXAMPLES[0], "both")
    for key in ("sheet", "template", "parts", "report"):
        words = "\n".join(said(made, key))
        assert METRIC.search(words)
        assert re.search(r"\[[\d.]+( in| lbf)?\]|\[inches\]", words)
    (table,) = made.write("parts", "csv", tmp_path / "parts.csv")
    heads = table.read_text(encoding="utf-8").splitlines()[0]
    assert "Length (mm),Length (in)" in heads


ALONE = re.compile(r"[\d.]+ (mm|N|mJ|N/mm|N·mm/°)(?![\w·/])(?!,? \[)")
"""A metric number that is not followed by its inches; in columns of figures these have no unit."""


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_sentences_tell_both_where_both_are_asked_for(path: Path) -> None:
    made = papers(path, "both")
    told = [made.analysis.verdict, *made.analysis.notes]
    told += [limit.sentence for limit in made.analysis.limits]
    told += [remark.sentence for remark in made.remarks]
    told += [
        *made.clearance.notes,
        heading(made.clearance, made.remarks, made.project.paper_wording),
    ]
    assert [text for text in told if ALONE.search(text)] == []
    assert [text for text in told if WORDS.search(text)]
    report = "".join(said(made, "report")).replace(" ", "")
    for text in told:
        assert text.replace(" ", "") in report


def test_a_spring_that_does_not_fit_its_wire_is_told_in_both() -> None:
    made = in_units(EXAMPLES[0], "both")
    spring = made.design.springs[0]
    assert isinstance(spring, CompressionSpring)
    thick = replace(spring, wire=3.0, outside_diameter=18.0, coils=9.0, rate=50.0)
    changed = made.with_design(replace(made.design, springs=(thick,)))
    notes = Papers(changed, today=TODAY).analysis.notes
    told = " ".join(notes)
    assert "3 mm [0.1181 in] wire" in told
    assert not ALONE.search(told)


def test_a_springs_note_in_the_parts_list_is_in_the_sheets_units() -> None:
    checked = 0
    for path in EXAMPLES:
        made = papers(path, "inch")
        for spring in made.project.design.springs:
            unit = "in·lbf/°" if isinstance(spring, TorsionSpring) else "lbf/in"
            assert any(unit in text for text in said(made, "parts"))
            checked += 1
    assert checked


def test_the_sheet_goes_along_when_the_window_changes_its_units() -> None:
    made = files.load(EXAMPLES[0])
    assert made.in_units("inch").sheet.units == "inch"
    assert made.in_units("inch").in_units("metric") == made
    both = replace(made, sheet=replace(made.sheet, units="both"))
    assert both.in_units("inch").sheet.units == "both"


def test_a_file_that_says_nothing_of_the_sheet_has_one_unit() -> None:
    import json

    record = json.loads(EXAMPLES[0].read_text(encoding="utf-8"))
    record["display"]["units"] = "inch"
    del record["sheet"]["units"]
    assert files.loads(json.dumps(record)).sheet.units == "inch"
    record["sheet"]["units"] = "mm"
    assert files.loads(json.dumps(record)).sheet.units == "mm"
