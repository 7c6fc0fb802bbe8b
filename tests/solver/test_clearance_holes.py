"""Holes, slots and stop pins, and what is said of holes near an edge or each other."""

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from solver.holes import clearance_hole, hole_remarks, holes, slots, whole_plate
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Pivot, Plate
from solver.outlines import polygon
from solver.rebase import rebase
from solver.stop_pins import stop_pins
from tests.solver.cut_plates import cut_plate

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def fits(design: Design, link: str) -> dict[str, tuple[str, float]]:
    return {hole.point: (hole.fit, hole.diameter) for hole in holes(design, link)}


@pytest.mark.parametrize(
    ("pin", "sizes"),
    # ISO 273:1979, recalled from memory as the table is.
    [(5.0, (5.3, 5.5, 5.8)), (6.0, (6.4, 6.6, 7.0)), (8.0, (8.4, 9.0, 10.0))],
)
def test_the_three_series(pin: float, sizes: tuple[float, float, float]) -> None:
    assert clearance_hole(pin, "fine") == sizes[0]
    assert clearance_hole(pin, "medium") == sizes[1]
    assert clearance_hole(pin, "coarse") == sizes[2]


def test_between_sizes_the_play_of_the_next_larger_one_holds() -> None:
    assert clearance_hole(7.0, "medium") == 8.0
    assert clearance_hole(60.0, "fine") == 61.0


@given(st.floats(0.2, 80.0), st.sampled_from(("fine", "medium", "coarse")))
def test_every_pin_has_play(pin: float, series: str) -> None:
    hole = clearance_hole(pin, series)  # type: ignore[arg-type]  # one of the three
    assert 0.05 <= hole - pin <= 6.5


def test_the_first_link_holds_the_pin_and_the_others_turn_on_it() -> None:
    design = LAYOUT["rocker"]()
    assert fits(design, FRAME)["lever pivot"] == ("held", 8.0)
    assert fits(design, "lever")["lever pivot"] == ("turns", 9.0)
    assert fits(design, "lever")["rod end"] == ("held", 8.0)
    assert fits(design, "rod")["rod end"] == ("turns", 9.0)


def test_springs_hang_on_pins_of_their_own_and_the_grip_takes_a_screw() -> None:
    design = LAYOUT["rocker"]()
    assert fits(design, "lever")["lever foot"] == ("spring", 4.0)
    assert fits(design, "lever")["grip"] == ("screw", 6.6)
    assert "flap edge" not in fits(design, "rocker")
    described = replace(design, pivots=(Pivot("grip", 10.0),))
    assert fits(described, "lever")["grip"] == ("held", 10.0)


def test_a_spring_against_a_face_and_a_pin_of_nothing_need_no_hole() -> None:
    design = LAYOUT["knee"]()
    assert "spring anchor" not in fits(design, FRAME)
    thin = replace(design, pivots=(Pivot("knee", pin_diameter=0.0),))
    assert "knee" not in fits(thin, "rod")


def test_a_slot_runs_between_the_ends_of_its_line() -> None:
    (slot,) = slots(LAYOUT["knee"](), FRAME)
    assert (slot.a, slot.b, slot.width) == ((110.0, 0.0), (175.0, 0.0), 9.0)
    assert slots(LAYOUT["knee"](), "rod") == ()


@pytest.mark.parametrize("key", LAYOUT)
def test_the_stops_touch_the_lever_at_its_rests_and_nowhere_between(key: str) -> None:
    design = LAYOUT[key]()
    pins = stop_pins(design)
    assert [pin.rest for pin in pins] == ["A", "B"]
    ways = {"A": design.stops.rest_a, "B": design.stops.rest_b}
    for direction in (*ways.values(), sum(ways.values()) / 2.0):
        lever = polygon(rebase(design, direction), design.lever)
        for pin in pins:
            gap = lever.distance(shapely.Point(pin.x, pin.y)) - pin.diameter / 2.0
            if direction == ways[pin.rest]:
                assert gap == pytest.approx(0.0, abs=0.05)
            else:
                assert gap > 3.0


def test_the_stops_stand_where_they_are_whatever_pose_is_drawn() -> None:
    design = LAYOUT["rocker"]()
    for one, other in zip(stop_pins(design), stop_pins(rebase(design, 70.0)), strict=True):
        assert (other.x, other.y) == pytest.approx((one.x, one.y), abs=1e-6)


def test_the_frames_board_covers_its_holes() -> None:
    design = LAYOUT["rocker"]()
    board = whole_plate(design, FRAME)
    assert [hole.point for hole in holes(design, FRAME)][-2:] == ["stop A", "stop B"]
    assert all(board.contains(shapely.Point(hole.x, hole.y)) for hole in holes(design, FRAME))
    assert board.equals(board.convex_hull)


def test_a_cut_plate_has_its_openings() -> None:
    design = LAYOUT["knee"]()
    plate = cut_plate(design, FRAME)
    open_area = sum(math.pi / 4.0 * hole.diameter**2 for hole in holes(design, FRAME))
    open_area += 65.0 * 9.0 + math.pi / 4.0 * 9.0**2
    assert len(plate.interiors) == len(holes(design, FRAME)) + 1
    assert whole_plate(design, FRAME).area - plate.area == pytest.approx(open_area, rel=1e-3)


@pytest.mark.parametrize("key", LAYOUT)
def test_nothing_is_said_of_the_layouts(key: str) -> None:
    assert hole_remarks(LAYOUT[key]()) == ()


def test_a_hole_too_near_the_edge_is_told() -> None:
    design = LAYOUT["compression"]()
    narrow = replace(design, plates=(Plate("lever", width=14.0),))
    remarks = hole_remarks(narrow)
    assert {remark.kind for remark in remarks} == {"edge"}
    pivot = next(remark for remark in remarks if "pivot" in remark.parts)
    assert not pivot.serious
    assert pivot.gap == pytest.approx(7.0, abs=0.01)
    assert "The hole “pivot” of “lever” is 7.0 mm from the edge" in pivot.sentence
    assert "it needs 9.9 mm" in pivot.sentence
    open_edge = hole_remarks(replace(design, plates=(Plate("lever", width=6.0),)))
    assert any(remark.serious for remark in open_edge)


def test_holes_too_near_each_other_are_told() -> None:
    design = LAYOUT["compression"]()
    near = tuple(
        replace(point, y=-10.0) if point.name == "lever foot" else point for point in design.points
    )
    remarks = [r for r in hole_remarks(replace(design, points=near)) if r.kind == "web"]
    assert [remark.parts for remark in remarks] == [("lever", "pivot", "lever foot")]
    # 10 mm less half of 6.6 mm and of 4 mm.
    assert remarks[0].gap == pytest.approx(4.7)
    assert not remarks[0].serious


def test_a_plate_thinner_than_a_countersunk_head_is_remarked() -> None:
    """A head of ISO 10642 for M6 is 3.72 mm high."""

    def said(thick: float) -> list[str]:
        design = LAYOUT["rocker"]()
        plate = design.plate_of("lever")
        assert plate is not None
        thin = tuple(
            replace(each, thickness=thick) if each is plate else each for each in design.plates
        )
        return [r.sentence for r in hole_remarks(replace(design, plates=thin)) if r.kind == "screw"]

    assert said(4.0) == []
    (sentence,) = said(3.5)
    assert "“lever” is 3.5 mm thick" in sentence
    assert "at “grip” 3.7 mm high" in sentence


def test_only_screws_through_moving_links_are_countersunk_from_the_frames_side() -> None:
    design = LAYOUT["rocker"]()
    (grip,) = (hole for hole in holes(design, "lever") if hole.point == "grip")
    assert grip.sunk == "behind"
    below = tuple(
        replace(each, layer=-1) if each.link == "lever" else each for each in design.plates
    )
    (grip,) = (h for h in holes(replace(design, plates=below), "lever") if h.point == "grip")
    assert grip.sunk == "the front"
    assert not any(hole.sunk for hole in holes(design, FRAME))
