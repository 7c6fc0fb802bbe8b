"""Where the rules of gaps begin and end: layers between and beside, fingers, the room of a hand."""

from dataclasses import replace

import pytest
import shapely

from solver.clearance import Clearance, clearance
from solver.layouts import LAYOUTS
from solver.model import Design, Point, Stops
from solver.stack import pin_layers, spring_layer
from solver.sweep_shapes import discs, pieces
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
    return any("over the end of the pin “rod end”" in r.sentence for r in clearance(design).remarks)


@pytest.mark.parametrize(("layer", "told"), [(3, True), (4, False)])
def test_a_link_in_the_next_layer_passes_over_a_pins_end(layer: int, told: bool) -> None:
    design = in_layers(LAYOUT["rocker"](), rod=2, rocker=layer)
    assert pin_layers(design, "rod end")[1] == 2
    assert over_the_end(moved(design, "flap edge", 20.0, 55.0)) is told


def test_a_pins_head_is_two_millimetres_wider_all_round() -> None:
    design = in_layers(LAYOUT["rocker"](), rod=2, rocker=3)
    radius = design.pivot_at("rod end").pin_diameter / 2.0

    def apart(x: float) -> float:
        put = pieces(moved(design, "flap edge", x, 55.0))
        pin = discs(put.points["rod end"], radius)
        return float(shapely.distance(pin, put.plates["rocker"]).min())

    places = [20.0 + 0.25 * step for step in range(400)]
    near = next(x for x in places if 0.5 < apart(x) < 1.5)
    far = next(x for x in places if 2.3 < apart(x) < 3.5)
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
    assert "spring" in gap_kinds(clearance(design), spring.name, "rod end")


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
