"""The report: short, in columns of one width, and the same on paper as on the web page."""

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Literal

import pytest

from app.drawing.columns import ASIDE, column_width
from app.drawing.model import Drawing, Table
from app.drawing.paper import SizeName, drawing_area
from app.workshop.papers import Papers
from solver import files
from tests.app.drawing.faults import overlaps, texts
from tests.example_files import EXAMPLES, named

FOOT = 7.0
SheetUnits = Literal["mm", "inch", "both"]
SIZES: tuple[SizeName, ...] = ("A4", "Letter")


@cache
def pages_of(path: Path, size: SizeName, units: SheetUnits = "mm") -> tuple[Drawing, ...]:
    made = files.load(path)
    sized = replace(made, sheet=replace(made.sheet, size=size, units=units))
    return Papers(sized, today=date(2026, 11, 25)).pages("report")


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_every_example_has_a_report_of_two_pages(
    path: Path, size: SizeName, units: SheetUnits
) -> None:
    pages = pages_of(path, size, units)
    assert len(pages) == 2
    for page in pages:
        assert overlaps(page) == []  # which holds the least height of texts too
        assert [text.text for text in texts(page) if "(continued)" in text.text] == []


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_later_pages_have_two_columns_of_one_width(path: Path, size: SizeName) -> None:
    for page in pages_of(path, size)[1:]:
        inside = drawing_area(page.size)
        second = inside.left + column_width(inside.width) + ASIDE
        starts = {round(text.at[0], 6) for text in texts(page) if text.bold}
        assert {round(inside.left, 6), round(second, 6)} <= starts
        bottom = inside.bottom + FOOT
        assert min(text.at[1] for text in texts(page) if text.at[1] > inside.bottom) > bottom


def test_pages_after_the_first_are_filled_alike() -> None:
    _, *later = pages_of(EXAMPLES[4], "Letter", "both")
    assert len(later) == 2
    lowest = [
        min(text.at[1] for text in texts(page) if text.at[1] > drawing_area(page.size).bottom)
        for page in later
    ]
    assert abs(lowest[0] - lowest[1]) < 60.0


@pytest.mark.parametrize("units", ["mm", "both"])
def test_a_table_takes_one_column_with_long_names_broken(units: SheetUnits) -> None:
    pages = pages_of(EXAMPLES[4], "Letter", units)
    tables = [one for page in pages for one in page.elements if isinstance(one, Table)]
    column = column_width(drawing_area(pages[0].size).width)
    assert {round(sum(table.widths), 6) for table in tables} == {round(column, 6)}
    names = [row[0] for table in tables for row in table.rows if "\n" in row[0]]
    assert "Mechanical advantage at right flap\nedge" in names
    shown = " ".join(text.text for page in pages for text in texts(page))
    assert "Mechanical advantage at right flap" in shown
    assert "…" not in shown


def test_the_pictures_are_made_lower_only_where_that_saves_a_page() -> None:
    def plots(path: Path) -> float:
        page = pages_of(path, "Letter", "inch")[0]
        ends = [text.at[1] for text in texts(page) if "travel from rest A" in text.text]
        [title] = [text.at[1] for text in texts(page) if text.text.startswith("Stored energy")]
        return title - ends[0]

    assert [round(plots(EXAMPLES[index])) for index in (0, 7)] == [47, 41]


def test_what_is_read_at_both_rests_stands_in_one_row(tmp_path: Path) -> None:
    made = Papers(files.load(EXAMPLES[3]))
    read = made.analysis.readings
    a, b = (f"{read[f'advantage_{rest}:jaw pin'].value:.3f}" for rest in "ab")
    assert a != b
    (page,) = made.write("report", "html", tmp_path / "report.html")
    web = page.read_text(encoding="utf-8")
    cells = f'<td class="right">{a}</td><td class="right">{b}</td>'
    assert f"Mechanical advantage at jaw pin</td>{cells}" in web
    on_paper = " ".join(text.text for one in made.pages("report") for text in texts(one))
    assert f"Rest A Rest B Mechanical advantage at jaw pin {a} {b}" in on_paper


def test_the_web_report_may_be_parted_where_it_is_printed(tmp_path: Path) -> None:
    made = Papers(files.load(EXAMPLES[4]))
    (page,) = made.write("report", "html", tmp_path / "report.html")
    web = page.read_text(encoding="utf-8")
    printed = web[web.index("@media print {") : web.index("</style>")]
    assert ".told { break-inside: auto; }" in printed
    # Lists may go on overleaf, tables stay whole.
    parted = [part for part in web.split("<section")[1:] if part.startswith(' class="told"')]
    assert parted
    assert not any("<table>" in part.split("</section>")[0] for part in parted)
    # The pictures are about as wide as in print, so that their letters are no smaller there.
    assert 'width="180mm"' in web
    assert 'width="88mm"' in web
