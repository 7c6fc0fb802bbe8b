"""Where the rules of gaps begin and end: layers between and beside, fingers, the room of a hand."""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from solver.clearance import Clearance, clearance, gap_remark
from solver.gaps import Look
from solver.holes import whole_plate
from solver.layers import pin_layers, spring_layer
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Link, Plate, Point, Stops, TorsionSpring
from solver.project import Display
from solver.stack import stack
from solver.sweep_shapes import Pieces, discs, pieces
from tests.solver.test_clearance import LAYOUT, gap_of, in_layers, moved


def gap_kinds(found: Clearance, a: str, b: str) -> set[str]:
    return {gap.kind for gap in found.gaps if (gap.a, gap.b) == (a, b)}


@pytest.mark.parametrize(("layer", "met"), [(1, False), (2, True), (3, False)])
def test_a_pin_is_in_the_way_only_between_the_links_that_it_joins(layer: int, met: bool) -> None:
    design = in_layers(LAYOUT["rocker"](), rod=3, rocker=layer)
    assert pin_layers(design, "rod end") == (1, 3)
    found = clearance(moved(design, "flap edge", 20.0, 55.0))
    assert ("pin" in gap_kinds(found, "rod end", "rocker")) is met


def over_the_end(design: Design) -> bool:
    return any("he end of the pin “rod end”" in r.sentence for r in clearance(design).remarks)


@pytest.mark.parametrize(("layer", "told"), [(3, True), (4, False)])
def test_a_link_in_the_next_layer_passes_over_a_pins_end(layer: int, told: bool) -> None:
    design = in_layers(LAYOUT["rocker"](), rod=2, rocker=layer)
    assert pin_layers(design, "rod end")[1] == 2
    assert over_the_end(moved(design, "flap edge", 20.0, 55.0)) is told


def test_a_ring_is_twice_as_wide_as_its_pin() -> None:
    design = in_layers(LAYOUT["rocker"](), rod=2, rocker=3)
    radius = design.pivot_at("rod end").pin_diameter / 2.0

    def apart(x: float) -> float:
        put = pieces(moved(design, "flap edge", x, 55.0))
        pin = discs(put.points["rod end"], radius)
        return float(shapely.distance(pin, put.plates["rocker"]).min())

    places = [20.0 + 0.25 * step for step in range(400)]
    near = next(x for x in places if radius - 1.0 < apart(x) < radius - 0.1)
    far = next(x for x in places if radius + 1.1 < apart(x) < radius + 2.0)
    assert over_the_end(moved(design, "flap edge", near, 55.0))
    assert not over_the_end(moved(design, "flap edge", far, 55.0))


def long_rod(layer: int) -> Design:
    """The rod reaches down to the spring; the coil stands in layers 2 to 4."""
    design = in_layers(LAYOUT["rocker"](), rod=layer)
    links = tuple(
        replace(link, points=(*link.points, "low")) if link.name == "rod" else link
        for link in design.links
    )
    return replace(design, links=links, points=(*design.points, Point("low", 0.0, -60.0)))


@pytest.mark.parametrize(("layer", "met"), [(2, True), (3, True), (4, True), (5, False)])
def test_a_coil_takes_as_many_layers_as_it_is_wide(layer: int, met: bool) -> None:
    design = long_rod(layer)
    (spring,) = design.springs
    assert spring_layer(design, spring) == 2
    assert ("spring" in gap_kinds(clearance(design), spring.name, "rod")) is met


def test_a_post_stands_up_to_its_spring_and_no_higher() -> None:
    design = long_rod(2)
    (spring,) = design.springs
    put = pieces(design)
    assert spring_layer(design, spring) == 2
    anchor = next(p for p in ("spring anchor", "lever foot") if p in put.points)
    swept = moved(design, "low", put.points[anchor][0].real, put.points[anchor][0].imag)
    remarks = clearance(swept).remarks
    assert not any("bracket" in r.sentence and "rod" in r.parts for r in remarks)
    assert any(r.kind == "spring" and r.serious and "rod" in r.parts for r in remarks)


def test_a_pin_that_ends_in_the_springs_layer_is_in_its_way() -> None:
    design = LAYOUT["rocker"]()
    (spring,) = design.springs
    assert pin_layers(design, "rod end")[1] == spring_layer(design, spring) == 2
    assert "over" in gap_kinds(clearance(design), spring.name, "rod end")


def pinched(design: Design, *parts: str) -> bool:
    return any(r.kind == "pinch" and set(r.parts) == set(parts) for r in clearance(design).remarks)


@pytest.mark.parametrize(("gap", "told"), [(1.0, False), (5.0, True)])
def test_a_gap_that_lets_no_finger_in_pinches_none(gap: float, told: bool) -> None:
    """Widest at rest A: (gap + 20)/sin 60° - 20, 4.2 mm and 8.9 mm; a fingertip needs 8 mm."""
    assert pinched(gap_of(gap), "lever", "arm") is told


@pytest.mark.parametrize(("rest_b", "told"), [(84.0, False), (70.0, True)])
def test_a_gap_must_close_to_pinch(rest_b: float, told: bool) -> None:
    """Bars 43.9 mm apart close by 43.9·(1 - sin rest B): 0.2 mm and 2.6 mm."""
    design = replace(gap_of(18.0), stops=Stops(90.0, rest_b))
    assert pinched(design, "lever", "arm") is told


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.key)
def test_the_levers_stops_are_told_once_and_for_all(layout: object) -> None:
    design = LAYOUT[layout.key]()  # type: ignore[attr-defined]  # one of the layouts
    sentences = [r.sentence for r in clearance(design).remarks if r.kind == "pinch"]
    assert sum("closes on its stops" in one for one in sentences) == 1
    between = [one for one in sentences if one.startswith("The gap between")]
    assert not any(" stop " in one and ("“lever”" in one or "knob" in one) for one in between)


@pytest.mark.parametrize(("up", "told"), [(170.0, True), (190.0, False)])
def test_a_hand_takes_100_mm_along_the_lever(up: float, told: bool) -> None:
    """The arm ends 130 mm up the lever in rest B; a hand reaches 50 mm down from the grip."""
    remarks = clearance(moved(gap_of(15.0), "grip", 0.0, up)).remarks
    assert any(r.kind == "hand" and "arm" in r.parts for r in remarks) is told


@pytest.mark.parametrize(("gap", "told"), [(20.5, False), (30.0, True)])
def test_a_gap_at_the_knob_that_lets_no_finger_in_is_not_told(gap: float, told: bool) -> None:
    """The knob's gap to the arm is widest at rest A: (gap + 20)/sin 60° - 25, 21.8 and 32.7 mm."""
    assert pinched(moved(gap_of(gap), "grip", 0.0, 80.0), "grip", "arm") is told


@pytest.mark.parametrize(("layer", "met"), [(1, False), (2, True), (3, True), (4, False)])
def test_a_torsion_springs_body_is_in_the_way_as_high_as_it_is(layer: int, met: bool) -> None:
    """Coils from 7 to 18 mm up: 2 mm wire, four coils and the half turn they may be wound up."""
    design = long_rod(layer)
    coiled = TorsionSpring("coil", "lever pivot", "spring anchor", "lever foot", 20.0, 170.0)
    design = replace(design, springs=(coiled,), limits=())
    assert (stack(design).springs["coil"].low, stack(design).springs["coil"].high) == (7.0, 18.0)
    found = clearance(design)
    assert ("spring" in gap_kinds(found, "coil", "rod")) is met
    hit = [r for r in found.remarks if r.kind == "spring" and r.parts == ("coil", "rod")]
    assert [r.serious for r in hit] == [True] * met


def test_a_leg_alone_is_in_the_way_where_the_coils_are_not() -> None:
    design = in_layers(LAYOUT["rocker"](), rod=3, rocker=2)
    coiled = TorsionSpring("coil", "lever pivot", "spring anchor", "lever foot", 20.0, 170.0)
    reaching = moved(replace(design, springs=(coiled,), limits=()), "flap edge", 10.0, -80.0)
    hit = [r for r in clearance(reaching).remarks if r.parts == ("coil", "rocker")]
    assert [r.serious for r in hit] == [True]
    assert hit[0].sentence.startswith("A leg of “coil” and “rocker” touch, ")


def test_a_free_end_with_its_ring_is_told_with_what_to_do() -> None:
    design = in_layers(LAYOUT["rocker"](), rod=2, rocker=3)
    (hit,) = [
        r
        for r in clearance(moved(design, "flap edge", 20.0, 55.0)).remarks
        if r.parts == ("rod end", "rocker")
    ]
    assert hit.serious
    assert hit.sentence.startswith("The end of the pin “rod end” and “rocker” touch, ")
    assert hit.sentence.endswith("or leave a layer free for the end with its ring.")


def three_at_a_pin(lowest: int) -> Design:
    """The lever holds a pin between two links; its lower end stands out towards the frame."""
    design = in_layers(LAYOUT["rocker"](), lever=lowest + 1, rod=lowest + 2, rocker=lowest)
    third = Link("third", ("rod end", "cross"))
    plates = (*design.plates, Plate("third", 20.0, layer=lowest))
    foot = design.point("rod end")
    points = (*design.points, Point("cross", foot.x + 30.0, foot.y))
    anchor = Point("board", foot.x, foot.y - 4.0)
    links = (replace(design.links[0], points=(*design.links[0].points, "board")), *design.links[1:])
    return replace(design, links=(*links, third), points=(*points, anchor), plates=plates)


def test_a_pins_lower_end_meets_the_frame_where_that_lies_next_below() -> None:
    """Its 3 mm do not go into the washer's 1 mm above the frame; a free layer below takes them."""
    design = three_at_a_pin(1)
    look = looked_at(design)
    (gap,) = [gap for gap in look.beside_pin(look.stack.pin("rod end")) if gap.b == FRAME]
    assert (gap.kind, gap.least) == ("end", 0.0)
    sentence = gap_remark(gap, Display())
    assert sentence is not None
    assert sentence.sentence.endswith(
        ": cut a window into the frame there, or leave a layer free above it."
    )
    look = looked_at(three_at_a_pin(2))
    assert FRAME not in {gap.b for gap in look.beside_pin(look.stack.pin("rod end"))}


def looked_at(design: Design) -> Look:
    """The linkage in one place, drawn: enough for what lies where along the pins."""
    points = {p.name: np.array([complex(p.x, p.y)]) for p in design.points}
    plates = {
        plate.link: np.array([whole_plate(design, plate.link)], dtype=object)
        for plate in design.plates
    }
    put = Pieces(design, np.zeros(1), plates, {}, {}, {}, points, {})
    return Look.at(put, stack(design))


def test_a_leg_must_reach_past_the_coils() -> None:
    design = LAYOUT["rocker"]()
    coiled = TorsionSpring("coil", "lever pivot", "spring anchor", "lever foot", 20.0, 170.0)
    design = replace(design, springs=(coiled,), limits=())
    assert not any(r.parts == ("coil", "lever foot") for r in clearance(design).remarks)
    (near,) = [
        r
        for r in clearance(moved(design, "lever foot", 0.0, -8.0)).remarks
        if r.parts == ("coil", "lever foot")
    ]
    assert near.serious
    # Coils of 8 · 1.25 + 2 · 2 = 14 mm and a peg of 4 mm.
    assert near.sentence == (
        "“lever foot” is 8.0 mm from the axis of “coil”, and its pin of 4.0 mm would stand in the "
        "coils: put it 9.0 mm away or more."
    )


def test_a_pin_that_stands_out_behind_the_frame_is_told() -> None:
    (behind,) = (r for r in clearance(LAYOUT["knee"]()).remarks if FRAME in r.parts)
    assert not behind.serious
    assert behind.sentence == (
        "The pin “plunger pin” stands out 3.3 mm behind the frame with its ring: leave room there, "
        "or cut a window into what the frame is fixed to."
    )
    assert not any(FRAME in r.parts for r in clearance(LAYOUT["rocker"]()).remarks)
    below = in_layers(LAYOUT["knee"](), lever=-1)
    assert not any("behind the frame" in r.sentence for r in clearance(below).remarks)
