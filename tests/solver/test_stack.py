"""What lies along each pin: every piece once, end to end, and lengths that follow from it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings

from solver import files
from solver.holes import holes
from solver.layers import PIN_END, PLAY, pinned_links
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Link, Plate, Point, TorsionSpring
from solver.outlines import layer_of
from solver.parts_list import parts_list
from solver.stack import PinStack, pin_length, stack
from tests.example_files import EXAMPLES, named
from tests.solver.test_any_plates import plated
from tests.solver.test_clearance import in_layers
from tests.solver.test_torsion_shape import SPRING, lever

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def told(pin: PinStack) -> list[str]:
    return [f"{piece.kind} {piece.part}".strip() for piece in pin.pieces]


def test_a_pin_held_by_the_lowest_plate_ends_flush_with_it() -> None:
    found = stack(LAYOUT["rocker"]())
    rod_end = found.pin("rod end")
    assert told(rod_end) == ["plate lever", "washer", "plate rod", "play", "end"]
    assert (rod_end.holder, rod_end.low, rod_end.length) == ("lever", 1.0, 14.5)
    assert told(found.pin("lever pivot")) == ["plate frame", "washer", "plate lever", "play", "end"]


def test_a_pin_held_by_the_uppermost_plate_ends_flush_with_that() -> None:
    (path,) = (path for path in EXAMPLES if path.stem.startswith("07"))
    gate = stack(files.load(path).design).pin("gate pin")
    assert told(gate) == ["end", "play", "plate frame", "spacer", "plate rod"]
    assert gate.holder == "rod"


def test_of_three_links_the_middle_one_lets_both_ends_stand_out() -> None:
    design = in_layers(LAYOUT["rocker"](), lever=2, rod=3)
    third = Link("third", ("rod end", "flap edge"))
    plates = (*design.plates, Plate("third", layer=1))
    pin = stack(replace(design, links=(*design.links, third), plates=plates)).pin("rod end")
    assert pin.holder == "lever"
    assert told(pin)[0] == told(pin)[-1] == "end"


def test_stop_pins_end_with_the_levers_face_on_either_side_of_the_frame() -> None:
    above = stack(LAYOUT["compression"]()).pin("stop A")
    assert told(above) == ["plate frame", "shank"]
    assert (above.low, above.high) == (-6.0, 6.0)
    below = stack(in_layers(LAYOUT["compression"](), lever=-1)).pin("stop A")
    assert told(below) == ["shank", "plate frame"]
    assert (below.low, below.high) == (-12.0, 0.0)


def test_a_torsion_springs_pins_reach_through_its_coils_and_up_to_its_legs() -> None:
    """Coils 7 to 18 mm up: five widths of 2 mm wire, and half of one as it is wound up.

    Leg A lies lowest, leg B uppermost.
    """
    design = lever(SPRING)
    found = stack(design)
    assert told(found.pin("o")) == [
        "plate frame",
        "washer",
        "plate lever",
        "washer",
        "spring coil",
        "play",
        "end",
    ]
    span = found.springs["coil"]
    assert (span.low, span.high) == (7.0, 18.0)
    assert span.legs == ((7.0, 9.0), (16.0, 18.0))
    assert told(found.pin("left")) == ["plate frame", "spacer", "leg coil", "play", "end"]
    assert told(found.pin("right")) == ["plate lever", "spacer", "leg coil", "play", "end"]
    assert [pin_length(design, name) for name in ("o", "left", "right")] == [27.5, 18.5, 20.5]
    pegs = [
        hole for link in ("frame", "lever") for hole in holes(design, link) if hole.fit == "spring"
    ]
    assert [(hole.point, hole.pin) for hole in pegs] == [("left", 4.0), ("right", 4.0)]
    listed = [row for row in parts_list(design) if row.note in ("left", "right")]
    listed = [row for row in listed if row.kind == "pin"]
    assert [(row.note, row.length, row.width) for row in listed] == [
        ("left", 18.5, 4.0),
        ("right", 20.5, 4.0),
    ]


def test_a_torsion_spring_lies_above_the_plates_on_the_pins_of_its_legs_too() -> None:
    design = lever(SPRING)
    cover = Link("cover", ("left", "end"))
    plates = (Plate(FRAME, layer=0, thickness=6.0), Plate("lever"), Plate("cover", layer=2))
    points = (*design.points, Point("end", -60.0, 20.0))
    high = stack(replace(design, links=(*design.links, cover), points=points, plates=plates))
    assert high.springs["coil"].legs[0][0] == 13.0


def test_a_torsion_spring_has_room_to_grow_as_far_as_it_may_be_wound_up() -> None:
    """(coils + 1 + turns) · wire, up to half a millimetre; half a turn where no limit is given."""
    for most, turns, room in ((None, 0, 11.0), (90.0, 0, 10.5), (450.0, 1, 12.5), (None, 1, 13.0)):
        spring = replace(SPRING, most_twist=most, turns=turns)
        span = stack(lever(spring)).springs["coil"]
        assert span.high - span.low == room


def test_springs_that_share_a_pin_lie_above_each_other() -> None:
    other = replace(SPRING, name="second")
    design = replace(lever(SPRING), springs=(SPRING, other))
    springs = stack(design).springs
    assert springs["second"].low == springs["coil"].high + 1.0
    assert told(stack(design).pin("o"))[-5:-1] == ["spring coil", "washer", "spring second", "play"]


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_parts_list_counts_what_lies_along_the_pins(path: Path) -> None:
    for variant in files.load(path).variants:
        agrees(variant.design)


def agrees(design: Design) -> None:
    """The parts list has the pieces of all pins, and their lengths, no more and no less."""
    pins = stack(design).pins
    kinds = Counter(piece.kind for pin in pins for piece in pin.pieces)
    rows = parts_list(design)
    counted = Counter[str]()
    for row in rows:
        counted[row.name if row.kind == "washer" else row.kind] += row.count
    assert counted["ring"] == kinds["end"]
    assert counted["pivot washer"] == kinds["washer"]
    assert counted["spacer"] == kinds["spacer"]
    assert counted["pin"] + counted["stop"] == len(pins)
    lengths = Counter(pin.length for pin in pins)
    for row in rows:
        if row.kind in ("pin", "stop"):
            lengths[row.length or 0.0] -= row.count
    assert set(lengths.values()) <= {0}


def apart(design: Design, pin: PinStack) -> bool:
    """Whether no two links of a pin lie in one layer."""
    layers = [layer_of(design, link) for link in pinned_links(design, pin.name)]
    return len(set(layers)) == len(layers)


@settings(max_examples=60)
@given(plated())
def test_a_pin_is_as_long_as_its_pieces_end_to_end(design: Design) -> None:
    agrees(design)
    for pin in stack(design).pins:
        assert 2.0 * pin.length == pytest.approx(round(2.0 * pin.length))
        assert pin_length(design, pin.name) == pin.length
        if pin.kind == "stop" or not apart(design, pin):
            continue
        assert sum(piece.long for piece in pin.pieces) == pytest.approx(pin.length)
        assert all(a.high == pytest.approx(b.low) for a, b in pairwise(pin.pieces))
        ends = [piece.kind == "end" for piece in (pin.pieces[0], pin.pieces[-1])]
        # No ring clamps what turns: before each lies the end play.
        assert [piece.kind == "play" for piece in (pin.pieces[1], pin.pieces[-2])] == ends
        assert [piece.long for piece in pin.of("play")] == pytest.approx([PLAY] * sum(ends))
        assert all(piece.long >= PIN_END - 1e-9 for piece in pin.of("end"))
        outer = [piece.part for piece in (pin.pieces[0], pin.pieces[-1])]
        assert ends.count(True) + outer.count(pin.holder) == 2


@settings(max_examples=30)
@given(plated())
def test_a_mirrored_design_stacks_up_alike(design: Design) -> None:
    flip = tuple(replace(point, x=-point.x) for point in design.points)
    springs = tuple(
        replace(
            spring,
            free_angle=-spring.free_angle,
            acts={"below": "above", "above": "below"}.get(spring.acts, "both"),  # type: ignore[arg-type]
        )
        if isinstance(spring, TorsionSpring)
        else spring
        for spring in design.springs
    )
    stops = replace(
        design.stops, rest_a=180.0 - design.stops.rest_a, rest_b=180.0 - design.stops.rest_b
    )
    other = stack(replace(design, points=flip, springs=springs, stops=stops))
    for pin in stack(design).pins:
        assert other.pin(pin.name).pieces == pin.pieces
