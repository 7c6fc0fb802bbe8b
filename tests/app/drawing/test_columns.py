from app.drawing.blocks import Block, notes_block, table_block
from app.drawing.columns import ASIDE, LEAST, column_count, column_width, fill
from app.drawing.model import Drawing, Table
from app.drawing.paper import Area
from tests.app.drawing.faults import overlaps

PAGE = Area(0.0, 0.0, 2.0 * LEAST + ASIDE, 100.0)


def table(name: str, rows: int) -> Block:
    return table_block(name, [("Name", "Value"), *((name, "1") for _ in range(rows))], 200.0)


def tables(blocks: list[Block], area: Area = PAGE) -> tuple[list[Table], list[Block]]:
    elements, left = fill(blocks, area)
    assert overlaps(Drawing((200.0, 200.0), tuple(elements))) == []
    return [one for one in elements if isinstance(one, Table)], left


def test_all_tables_are_as_wide_as_their_columns() -> None:
    found, _ = tables([table("a", 3), table("b", 9), table("c", 2)])
    assert {round(sum(one.widths), 6) for one in found} == {LEAST}


def test_a_block_goes_where_it_stands_highest() -> None:
    found, left = tables([table("long", 12), table("short", 2), table("next", 2)])
    assert [one.at[0] for one in found] == [0.0, LEAST + ASIDE, LEAST + ASIDE]
    assert found[2].at[1] < found[1].at[1]
    assert left == []


def test_a_wide_table_takes_two_columns() -> None:
    [found], _ = tables([table("a name that is so long that it goes over one column by far", 2)])
    assert sum(found.widths) == PAGE.width


def test_what_is_too_long_for_the_rest_waits_while_shorter_ones_fill_the_page() -> None:
    found, left = tables([table("a", 15), table("b", 15), table("waits", 9), table("c", 1)])
    assert [one.rows[1][0] for one in found] == ["a", "b", "c"]
    assert [one.heading for one in left] == ["waits"]


def test_what_no_page_holds_goes_on_overleaf() -> None:
    [first], [rest] = tables([table("a", 30)])
    assert rest.heading == "a (continued)"
    [second], nothing = tables([rest])
    assert nothing == []
    assert len(first.rows) - 1 + len(second.rows) - 1 == 30


def test_notes_are_broken_anew_for_their_column() -> None:
    words = "eye protection when fitting springs " * 6
    elements, _ = fill([notes_block("Notes", [words], 170.0)], PAGE)
    assert overlaps(Drawing((LEAST + 1.0, 120.0), tuple(elements))) == []


def test_narrow_rooms_have_one_column_and_none_is_too_wide() -> None:
    assert column_count(60.0) == 1
    assert column_width(60.0) == 60.0
    assert column_count(3.0 * LEAST + 2.0 * ASIDE) == 3
    assert max(column_width(float(width)) for width in range(60, 500)) <= 110.0
