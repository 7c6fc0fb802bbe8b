"""Tables: cells of several lines, and rules between rows alone."""

from pathlib import Path

import pytest

from app.drawing.blocks import ROW, wrapping_table
from app.drawing.metrics import text_width
from app.drawing.model import LEAST_TEXT, Drawing, Line, Table
from app.drawing.table_parts import LINE, PADDING, parts_of_table, table_size
from solver.parts_list import parts_list
from tests.app.drawing.faults import overlaps, texts
from tests.app.drawing.sheets import sheet_of, solved
from tests.example_files import EXAMPLES

ROWS = (("Name", "Remark"), ("pin", "first\nsecond\nthird"), ("washer", ""))
TABLE = Table((0.0, 100.0), (20.0, 30.0), ROWS, ROW)
REMARK = "compression spring 2 × 18 mm × 11.5 coils, 4.19 N/mm, free length 82.0 mm"


def levels(table: Table) -> list[float]:
    """Where the rules across a table are, from the top."""
    lines = [part for part in parts_of_table(table) if isinstance(part, Line)]
    return [one.start[1] for one in lines if one.start[1] == one.end[1]]


def test_rules_stand_between_rows_and_not_between_the_lines_of_one() -> None:
    tall = ROW + 2.0 * LINE
    assert levels(TABLE) == pytest.approx(
        [100.0, 100.0 - ROW, 100.0 - ROW - tall, 100.0 - 2.0 * ROW - tall]
    )
    assert table_size(TABLE) == pytest.approx((50.0, 3.0 * ROW + 2.0 * LINE))


def test_the_lines_of_a_cell_stand_under_each_other() -> None:
    page = Drawing((200.0, 200.0), (TABLE,))
    found = {text.text: text.at[1] for text in texts(page)}
    assert found["first"] == found["pin"]
    assert found["first"] - found["second"] == pytest.approx(LINE)
    assert found["second"] - found["third"] == pytest.approx(LINE)
    assert overlaps(page) == []


def test_a_wrapping_column_takes_the_width_that_there_is() -> None:
    block = wrapping_table("Parts", [("Name", "Remark"), ("spring", REMARK)], 300.0, (), 30.0)
    narrow, wide = (block.stretched(width) for width in (60.0, 150.0))
    (few,) = [one for one in wide.elements((0.0, 0.0)) if isinstance(one, Table)]
    assert few.rows[1] == ("spring", REMARK)
    (many,) = [one for one in narrow.elements((0.0, 0.0)) if isinstance(one, Table)]
    lines = many.rows[1][1].split("\n")
    assert " ".join(lines) == REMARK
    room = many.widths[1] - 2.0 * PADDING
    assert all(text_width(line, LEAST_TEXT) <= room + 0.02 for line in lines)
    assert text_width(f"{lines[0]} {lines[1].split()[0]}", LEAST_TEXT) > room
    assert narrow.height == pytest.approx(wide.height + LINE * (len(lines) - 1))


def test_a_wrapped_table_goes_on_overleaf_between_two_rows() -> None:
    rows = [("Name", "Remark"), *((f"spring {index}", REMARK) for index in range(9))]
    block = wrapping_table("Parts", rows, 300.0, (), 30.0).stretched(60.0)
    parted = block.split(80.0)
    assert parted is not None
    first, rest = parted
    assert first.height <= 80.0
    assert [*first.rows[1:], *rest.rows[1:]] == rows[1:]


@pytest.mark.parametrize("path", EXAMPLES[:5:2])
def test_every_row_of_a_parts_list_on_a_sheet_is_a_part(path: Path) -> None:
    pages = sheet_of(path, size="Letter", units="inch")
    tables = [one for page in pages for one in page.elements if isinstance(one, Table)]
    listed = [row[0] for one in tables if one.rows[0][0] == "Item" for row in one.rows[1:]]
    project, _ = solved(path)
    assert listed == [str(row.item) for row in parts_list(project.design, project.sheet)]
