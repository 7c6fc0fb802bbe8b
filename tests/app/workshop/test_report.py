"""The report: short, in columns of one width, and the same on paper as on the web page."""

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from app.drawing.blocks import table_block
from app.drawing.boxes import overlaps, texts
from app.drawing.columns import ASIDE, column_width
from app.drawing.model import Drawing
from app.drawing.paper import Area, SizeName, drawing_area
from app.workshop.papers import Papers
from app.workshop.report_pages import _laid
from solver import files
from tests.example_files import EXAMPLES, named

FOOT = 7.0
SIZES: tuple[SizeName, ...] = ("A4", "Letter")


@cache
def pages_of(path: Path, size: SizeName) -> tuple[Drawing, ...]:
    made = files.load(path)
    sized = replace(made, sheet=replace(made.sheet, size=size))
    return Papers(sized, today=date(2026, 11, 25)).pages("report")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_every_example_has_a_report_of_two_pages(path: Path, size: SizeName) -> None:
    pages = pages_of(path, size)
    crowded = (path.stem, size) == ("05-twin-flaps", "Letter")
    assert len(pages) == (3 if crowded else 2)
    for page in pages:
        assert overlaps(page) == []
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
    _, *later = pages_of(EXAMPLES[4], "Letter")
    assert len(later) == 2
    lowest = [
        min(text.at[1] for text in texts(page) if text.at[1] > drawing_area(page.size).bottom)
        for page in later
    ]
    assert abs(lowest[0] - lowest[1]) < 60.0


def test_a_table_begins_on_no_page_that_has_no_room_for_it_whole() -> None:
    rows = tuple((f"row {number}", "1") for number in range(20))
    blocks = [table_block(heading, rows, 80.0) for heading in ("one", "two")]
    low, page = Area(20.0, 10.0, 200.0, 50.0), Area(20.0, 10.0, 200.0, 280.0)
    first, second = _laid(blocks, low, page)
    assert first == []
    said = [text.text for text in texts(Drawing((210.0, 297.0), tuple(second)))]
    assert [said.count(heading) for heading in ("one", "two")] == [1, 1]
    assert said.count("row 19") == 2


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
