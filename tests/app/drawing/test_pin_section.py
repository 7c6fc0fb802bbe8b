"""Joints in section: true in height, every piece told, alike pins once, on every example."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.figures import length
from app.drawing.ink import bounds
from app.drawing.model import Layer, Line, Polyline, Text
from app.drawing.names import hole_numbers
from app.drawing.pin_section import LINE, drawn, hatching, section_of, shape_of, spread
from app.drawing.poses import posed
from app.drawing.section_block import SectionBlock, section_block
from solver.analysis import analyse
from solver.parts_list import parts_list
from solver.project import Sheet
from solver.stack import stack
from tests.app.drawing.faults import texts
from tests.app.drawing.sheets import sheet_of, solved
from tests.example_files import EXAMPLES, named

LATCH = next(path for path in EXAMPLES if "latch" in path.name)
TWIN = next(path for path in EXAMPLES if "twin" in path.name)
WIDE = 380.0


def block_of(path: Path, width: float = WIDE) -> SectionBlock:
    made = section_block(posed(solved(path)[1]), Sheet(), width)
    assert isinstance(made, SectionBlock)
    return made


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_pins_and_plates_are_as_high_as_they_are(path: Path, scale: float) -> None:
    for pin in stack(solved(path)[0].design).pins:
        section = section_of(pin.name, [pin], "mm", scale)
        elements = list(drawn(section, 10.0, lambda z: 100.0 + scale * z))
        first = elements[0]
        assert isinstance(first, Polyline)
        heights = [y for _, y in first.points]
        assert (min(heights), max(heights)) == pytest.approx(
            (100.0 + scale * pin.low, 100.0 + scale * pin.high)
        )
        edges = {
            round(one.start[1], 6)
            for one in elements
            if isinstance(one, Line) and one.layer is Layer.OUTLINE
        }
        faces = {z for piece in pin.of("plate") for z in (piece.low, piece.high)}
        assert edges == {round(100.0 + scale * z, 6) for z in faces}
        left, _, right, _ = bounds(elements)
        assert left >= 10.0
        assert right <= 10.0 + section.width


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_every_piece_of_every_pin_is_told_on_the_sheet(path: Path, size: str) -> None:
    design = solved(path)[0].design
    told = [text.text for page in sheet_of(path, size=size) for text in texts(page)]
    numbers = hole_numbers(posed(solved(path)[1]), design.lever_pivot())
    names = [text.split(", ") for text in told]
    for pin in stack(design).pins:
        number = str(numbers[pin.name])
        assert any(number in name or f"{number} {pin.name}" in name for name in names)
        assert f"pin ⌀{length(pin.diameter, 'mm')} × {length(pin.length, 'mm')}" in told
        for piece in pin.pieces:
            thick = length(piece.high - piece.low, "mm")
            part = piece.part if piece.kind in ("plate", "spring") else ""
            assert any(part in text and text.endswith(f" {thick}") for text in told), piece


def test_the_sizes_of_pins_are_those_of_the_parts_list() -> None:
    design = solved(LATCH)[0].design
    listed = {
        (part.width, part.length)
        for part in parts_list(design, Sheet())
        if part.kind in ("pin", "stop")
    }
    shown = {(one.pin.diameter, one.pin.length) for one in block_of(LATCH).sections}
    assert {(w, round(long, 6)) for w, long in shown} == {
        (w, round(long or 0.0, 6)) for w, long in listed
    }


def test_pins_that_are_alike_are_drawn_once_with_all_their_links() -> None:
    latch, twin = (
        {section.names: section for section in block_of(path).sections} for path in (LATCH, TWIN)
    )
    assert [name for name in latch if "," in name] == ["6 stop A, 7 stop B"]
    assert latch["6 stop A, 7 stop B"].labels == ("frame 6", "pin alone 6")
    pivots = twin["1, 2, 3"]
    assert pivots.labels == (
        *("frame 6", "washer 1", "lever, left flap, right flap 5", "play 0.3", "ring, end 3.2"),
    )
    assert pivots.foot == ("pin ⌀6 × 15.5", "fast in frame", "z −6 to 9.5")


def test_pins_held_by_another_link_are_not_alike() -> None:
    pin = stack(solved(LATCH)[0].design).pin("lever pivot")
    assert shape_of(replace(pin, holder="lever")) != shape_of(pin)
    assert shape_of(replace(pin, name="other")) == shape_of(pin)


def test_a_narrow_room_takes_more_rows_and_parts_between_them() -> None:
    whole = block_of(TWIN).stretched(160.0)
    assert isinstance(whole, SectionBlock)
    assert whole.height > block_of(TWIN).stretched(WIDE).height
    halves = whole.split(0.6 * whole.height)
    assert halves is not None
    first, rest = halves
    assert isinstance(first, SectionBlock)
    assert isinstance(rest, SectionBlock)
    assert first.height <= 0.6 * whole.height
    assert (*first.sections, *rest.sections) == whole.sections
    assert rest.heading.endswith("(continued)")
    assert whole.split(10.0) is None
    for part in (whole, first, rest):
        left, bottom, right, top = bounds(part.elements((0.0, 0.0)))
        assert left >= 0.0
        assert right <= 160.0
        assert top <= 0.0
        assert bottom >= -part.height


def test_without_plates_there_is_no_section() -> None:
    bare = replace(solved(LATCH)[0].design, plates=())
    assert section_block(posed(analyse(bare)), Sheet(), WIDE) is None


@given(st.lists(st.floats(0.0, 30.0), min_size=1, max_size=9).map(sorted))
def test_labels_stand_a_line_apart_and_where_they_belong_if_they_can(wished: list[float]) -> None:
    places = spread(wished)
    assert all(b - a >= LINE - 1e-9 for a, b in pairwise(places))
    assert sum(places) == pytest.approx(sum(wished), abs=1e-6)
    if all(b - a >= LINE for a, b in pairwise(wished)):
        assert places == pytest.approx(wished)


@given(st.floats(0.5, 20.0), st.floats(0.5, 40.0), st.booleans())
def test_hatching_keeps_within_its_plate(wide: float, high: float, rising: bool) -> None:
    for stroke in hatching((5.0, 5.0 + wide), (-3.0, high - 3.0), rising=rising):
        for x, y in (stroke.start, stroke.end):
            assert 5.0 - 1e-9 <= x <= 5.0 + wide + 1e-9
            assert -3.0 - 1e-9 <= y <= high - 3.0 + 1e-9
        dx = stroke.end[0] - stroke.start[0]
        dy = stroke.end[1] - stroke.start[1]
        assert dy == pytest.approx(dx if rising else -dx)


def test_labels_are_beside_their_pieces_and_in_their_order() -> None:
    (pin,) = (one for one in stack(solved(LATCH)[0].design).pins if one.name == "rod pin")
    section = section_of("6 rod pin", [pin], "mm", 1.0)
    labels = [one for one in drawn(section, 0.0, lambda z: z) if isinstance(one, Text)]
    assert [one.text for one in labels] == [
        *("lever 5", "washer 1", "rod 5", "washer 1", "leg 2.25", "play 0.3", "ring, end 3.45"),
    ]
    assert [one.at[1] for one in labels] == sorted(one.at[1] for one in labels)


@pytest.mark.parametrize(("scale", "play"), [(1.0, 0.3), (0.5, 0.0)])
def test_a_hole_that_turns_on_its_pin_is_drawn_with_its_play_where_that_can_be_seen(
    scale: float, play: float
) -> None:
    pin = stack(solved(LATCH)[0].design).pin("lever pivot")
    section = section_of("1", [pin], "mm", scale, 6.6)
    assert section.play == pytest.approx(play)
    axis, bare = section.half, scale * 3.0
    starts: dict[float, float] = {}
    for one in drawn(section, 0.0, lambda z: scale * z):
        if isinstance(one, Line) and one.layer is Layer.OUTLINE and one.end[0] > axis:
            starts[one.start[1]] = min(one.start[0], one.end[0]) - axis - bare
    held, turning = (
        starts[scale * piece.high] for piece in sorted(pin.of("plate"), key=lambda p: p.low)
    )
    assert (held, turning) == pytest.approx((0.0, play))
