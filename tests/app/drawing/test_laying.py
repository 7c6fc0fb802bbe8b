"""Blocks on pages: as few as can be, and no leftover alone where blocks could be shared."""

from collections.abc import Sequence
from pathlib import Path

import pytest

from app.drawing.blocks import Block, table_block
from app.drawing.columns import ASIDE, LEAST
from app.drawing.laying import laid
from app.drawing.model import Drawing, Element, Table, Text
from app.drawing.paper import Area
from tests.app.drawing.sheets import sheet_of
from tests.example_files import EXAMPLES, named

PAGE = Area(0.0, 0.0, 2.0 * LEAST + ASIDE, 100.0)


def table(name: str, rows: int) -> Block:
    return table_block(name, [("Name", "Value"), *((name, "1") for _ in range(rows))], 200.0)


def named_on(pages: Sequence[list[Element]]) -> list[list[str]]:
    return [[one.rows[1][0] for one in page if isinstance(one, Table)] for page in pages]


def test_the_first_page_is_filled_first_and_may_have_no_room() -> None:
    blocks = [table("a", 3), table("b", 3)]
    assert named_on(laid(blocks, [PAGE], PAGE).pages) == [["a", "b"]]
    assert named_on(laid(blocks, [], PAGE).pages) == [[], ["a", "b"]]


def test_no_page_holds_a_leftover_alone_where_blocks_can_be_shared() -> None:
    blocks = [table(name, 8) for name in "abcde"]
    assert [len(page) for page in named_on(laid(blocks, [], PAGE).pages)] == [0, 3, 2]


def test_another_order_is_taken_only_where_it_saves_a_page() -> None:
    found = laid([table("a", 5), table("b", 5)], [PAGE], PAGE)
    assert not found.reordered
    short_first = [table("a", 7), table("b", 7), table("c", 12), table("d", 12)]
    assert len(laid(short_first, [PAGE], PAGE).pages) == 2
    blocks = [table("a", 5), table("b", 9), table("c", 13), table("d", 3)]
    (page,) = named_on(laid(blocks, [PAGE], PAGE).pages)
    assert sorted(page) == ["a", "b", "c", "d"]
    assert laid(blocks, [PAGE], PAGE).reordered
    kept = [table(name, 4) for name in "abc"]
    assert named_on(laid(kept, [PAGE], PAGE).pages) == [["a", "b", "c"]]


def test_leading_blocks_come_first_whatever_order_saves_a_page() -> None:
    blocks = [table("a", 5), table("b", 9), table("c", 13), table("d", 3)]
    first, second = laid(blocks, [], PAGE).pages
    assert (first, named_on([second])[0][0]) == ([], "c")
    led = laid(blocks, [], PAGE, leading=1)
    assert named_on(led.pages)[1][0] == "a"
    assert sorted(name for page in named_on(led.pages) for name in page) == ["a", "b", "c", "d"]


def test_a_table_begins_on_no_first_page_that_has_no_room_for_it_whole() -> None:
    low = Area(PAGE.left, 70.0, PAGE.right, PAGE.top)
    first, second = laid([table("long", 8), table("longer", 9)], [low], PAGE).pages
    assert named_on([first, second]) == [[], ["long", "longer"]]
    assert not any("continued" in one.text for one in second if isinstance(one, Text))


def test_no_table_is_parted_to_share_pages_evenly() -> None:
    blocks = [table("a", 19), table("b", 3), table("c", 9), table("d", 4)]
    pages = laid(blocks, [], PAGE).pages
    assert not any(
        isinstance(one, Text) and "continued" in one.text for page in pages for one in page
    )


def block_headings(page: Drawing) -> list[str]:
    """The headings on a page but the names over the joints in section."""
    return [one for one in headings(page) if not one[0].isdigit()]


def headings(page: Drawing) -> list[str]:
    return [
        one.text for one in page.elements if isinstance(one, Text) and one.bold and one.height < 3.0
    ]


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize(("size", "landscape"), [("A4", True), ("A4", False), ("Letter", True)])
def test_no_example_has_a_page_of_one_block(path: Path, size: str, landscape: bool) -> None:
    units = "inch" if size == "Letter" else "mm"
    pages = sheet_of(path, size=size, units=units, landscape=landscape)
    assert len(pages) <= 6
    every = " ".join(heading for page in pages for heading in headings(page))
    for heading in ("Holes at rest A", "Each link", "Joints", "Parts list", "Notes", "Cautions"):
        assert heading in every
    alone = [found for page in pages[1:] if len(found := block_headings(page)) == 1]
    # The joints in section are a view: it may have a page to itself.
    assert all(found[0].startswith("Joints in section") for found in alone)
