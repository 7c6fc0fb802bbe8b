from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QSize

from app.session import Ref
from app.sketch.hits import Finder
from app.sketch.picture import Pictures, drawable, lever_ghosts
from app.sketch.plates import half_width, on_plate, plate_of, stacking
from app.sketch.shapes import distance, heading
from app.theme import LIGHT
from solver.layouts import LAYOUTS
from solver.model import Design, Force, Plate, Point, Stops, Torque, Weight
from tests.app.sketch.board import PlainBoard, design_of, session_of
from tests.app.sketch.painted import paint_picture

KEYS = [layout.key for layout in LAYOUTS]


def paint(design: Design) -> None:
    session = session_of(design)
    session.select(*(Ref("point", point.name) for point in design.points))
    picture = Pictures(session).now()
    paint_picture(picture, QSize(160, 120), LIGHT, "DejaVu Sans")
    finder = Finder(picture, 1.0)
    for point in picture.places.values():
        finder.hit(point)


@pytest.mark.parametrize("key", KEYS)
def test_a_sound_design_is_drawn_as_it_is(key: str) -> None:
    design = design_of(key)
    assert drawable(design) is design
    paint(design)


@pytest.mark.parametrize("key", KEYS)
@given(data=st.data())
def test_a_design_that_refers_to_nothing_is_drawn_without_an_error(
    key: str, data: st.DataObject
) -> None:
    design = design_of(key)
    design = replace(
        design,
        weights=(Weight("mass", design.grip, 0.4),),
        loads=(Force("pull", design.grip, 1.0, -2.0), Torque("twist", design.lever, -30.0)),
    )
    kept = data.draw(st.sets(st.sampled_from(design.points)))
    links = data.draw(st.sets(st.sampled_from(design.links)))
    bad = data.draw(st.sampled_from([0.0, float("nan"), float("inf"), 1e9, -1e9]))
    points = tuple(point for point in design.points if point in kept)
    paint(
        replace(
            design,
            points=(*points, Point("stray", bad, 0.0)),
            links=tuple(link for link in design.links if link in links),
            lever=data.draw(st.sampled_from([design.lever, "nothing"])),
        )
    )


def test_the_ghosts_are_the_poses_of_the_analysis() -> None:
    board = PlainBoard(design_of("rocker"))
    analysis = board.session.analysis
    assert analysis is not None
    assert analysis.dead_centre is not None
    for key, travel in (("A", 0.0), ("B", analysis.throw), ("dead centre", analysis.dead_centre)):
        ghost = board.picture.ghost(key)
        assert ghost is not None
        assert ghost.places == analysis.pose_at(travel)


def test_a_design_that_never_could_be_analysed_shows_its_lever_at_both_rests() -> None:
    design = replace(design_of("compression"), springs=())
    design = replace(design, stops=Stops(120.0, 120.0))
    assert {ghost.key for ghost in lever_ghosts(design)} == {"A", "B"}
    turned = lever_ghosts(replace(design, stops=Stops(150.0, 40.0)))
    for ghost, rest in zip(turned, (150.0, 40.0), strict=True):
        assert heading(ghost.pivot, ghost.grip) == pytest.approx(rest)
        assert distance(ghost.pivot, ghost.grip) == pytest.approx(140.0)


@pytest.mark.parametrize("key", [key for key in KEYS if key != "blank"])
def test_the_stops_lie_outside_the_throw(key: str) -> None:
    board = PlainBoard(design_of(key))
    stops = board.design.stops
    sense = 1.0 if stops.rest_b > stops.rest_a else -1.0
    first, last = board.picture.ghost("A"), board.picture.ghost("B")
    assert first is not None
    assert last is not None
    for ghost, side in ((first, -sense), (last, sense)):
        # Seen from the pivot the stop pushes against the way on beyond the rest.
        onwards = heading(ghost.pivot, ghost.stop) + 90.0 * side
        assert abs((ghost.outward - onwards + 180.0) % 360.0 - 180.0) < 90.0


def test_a_settled_plate_is_drawn_at_its_width() -> None:
    design = replace(design_of("rocker"), plates=(Plate("rod", width=30.0, layer=3),))
    rod = design.link("rod")
    assert half_width(design, rod) == 15.0
    assert stacking(design)[-1] == rod
    places = {point.name: (point.x, point.y) for point in design.points}
    (ax, ay), (bx, by) = (places[name] for name in rod.points)
    assert on_plate(design, rod, places, ((ax + bx) / 2.0, (ay + by) / 2.0 + 14.0))


def test_an_outline_of_its_own_is_drawn_as_it_is() -> None:
    corners = ((-20.0, -20.0), (20.0, -20.0), (0.0, 160.0))
    design = replace(design_of("blank"), plates=(Plate("lever", outline=corners),))
    assert tuple(plate_of(design, design.link("lever")).outline) == corners
