"""The go zone against single evaluations, and what it says of its edges."""

from __future__ import annotations

import pickle
from dataclasses import replace

import numpy as np
import pytest
from shapely import MultiPolygon, Polygon, get_parts
from shapely import Point as Spot

from solver.analysis import analyse
from solver.edit import move_point
from solver.errors import DesignProblem
from solver.go_zone import GoZone, go_zone
from solver.layouts import LAYOUTS
from solver.model import Design, Limit, Slider, Tolerances
from solver.spread import spread

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def good_at(design: Design, point: str, x: float, y: float) -> bool:
    try:
        return analyse(move_point(design, point, x, y), 181).good
    except DesignProblem:
        return False


@pytest.mark.parametrize(
    ("key", "point"),
    [
        ("compression", "spring anchor"),
        ("extension", "lever foot"),
        ("compression", "grip"),
        ("compression", "pivot"),
        ("rocker", "rocker end"),
        ("knee", "knee"),
    ],
)
def test_places_in_the_zone_are_good_and_others_are_not(key: str, point: str) -> None:
    design = LAYOUT[key]()
    found = go_zone(design, point)
    assert found.inside
    assert not found.blocked
    assert found.zone.is_valid
    x0, y0, x1, y1 = found.window
    step = max(x1 - x0, y1 - y0) / 63
    rng = np.random.default_rng(7)
    kept = 0
    for x, y in rng.uniform((x0, y0), (x1, y1), (60, 2)):
        if found.zone.boundary.distance(Spot(x, y)) > 0.5 * step:
            kept += 1
            assert found.zone.contains(Spot(x, y)) == good_at(design, point, x, y), (x, y)
    assert kept > 30


def test_the_zone_does_not_depend_on_where_the_point_is() -> None:
    design = LAYOUT["compression"]()
    window = (-28.0, -102.0, 28.0, -75.0)
    here = go_zone(design, "spring anchor", window)
    there = go_zone(move_point(design, "spring anchor", 20.0, -60.0), "spring anchor", window)
    assert here.inside
    assert not there.inside
    assert here.zone.equals_exact(there.zone, 1e-9)


def test_the_zone_is_found_from_outside_it() -> None:
    design = LAYOUT["compression"]()
    area = go_zone(design, "spring anchor").zone.area
    away = move_point(design, "spring anchor", 45.0, -60.0)
    assert go_zone(away, "spring anchor").zone.area == pytest.approx(area, rel=0.02)


def test_a_small_zone_is_found() -> None:
    design = replace(
        LAYOUT["compression"](),
        limits=(
            Limit("holding_force", at_least=5.72, at_most=5.74),
            Limit("bottoming_margin", at_least=11.9, at_most=12.1),
        ),
    )
    found = go_zone(design, "spring anchor")
    assert found.inside == analyse(design).good
    nudged = move_point(design, "spring anchor", 1.5, -90.0)
    assert go_zone(nudged, "spring anchor").zone.area == pytest.approx(found.zone.area, rel=0.1)


def test_edges_name_the_limit_that_ends_the_zone() -> None:
    design = LAYOUT["compression"]()
    found = go_zone(design, "spring anchor")
    assert {edge.label for edge in found.edges} == {
        "Holding force, weaker rest",
        "Bottoming margin, least",
    }
    readings = {limit.reading: limit for limit in design.limits}
    for edge in found.edges:
        key = {"H": "holding_force", "B": "bottoming_margin"}[edge.label[0]]
        x, y = edge.line[len(edge.line) // 2]
        reading = analyse(move_point(design, "spring anchor", x, y)).readings[key].value
        # Straight lines within a cell of under a millimetre.
        assert reading == pytest.approx(readings[key].at_least, rel=5e-3)


def test_every_label_is_written_once_and_on_its_own_edge() -> None:
    found = go_zone(LAYOUT["knee"](), "knee")
    named = [edge for edge in found.edges if edge.label_at is not None]
    assert len({edge.label for edge in named}) == len(named)
    assert {edge.label for edge in named} == {edge.label for edge in found.edges if edge.label}
    for edge in named:
        assert edge.label_at is not None
        away = min(np.hypot(x - edge.label_at[0], y - edge.label_at[1]) for x, y in edge.line)
        assert away < 3.0


def test_edges_go_all_round_the_zone() -> None:
    found = go_zone(LAYOUT["knee"](), "knee")
    long = sum(np.hypot(*np.diff(np.array(edge.line), axis=0).T).sum() for edge in found.edges)
    assert long == pytest.approx(found.zone.boundary.length, rel=1e-9)


def test_a_lock_ends_the_zone_where_the_linkage_locks() -> None:
    design = replace(LAYOUT["rocker"](), limits=(Limit("hang_zone_mm", at_most=30.0),))
    found = go_zone(design, "rocker pivot", (30.0, -140.0, 270.0, 100.0))
    lock = [edge for edge in found.edges if edge.label == "The linkage locks"]
    assert lock
    inner = found.zone.buffer(-0.4)
    outer = found.zone.buffer(0.4)
    for x, y in max(lock, key=lambda edge: len(edge.line)).line[5:-5:7]:
        near = Spot(x, y)
        inside = inner.boundary.interpolate(inner.boundary.project(near))
        outside = outer.boundary.interpolate(outer.boundary.project(near))
        assert good_at(design, "rocker pivot", inside.x, inside.y)
        assert not good_at(design, "rocker pivot", outside.x, outside.y)


def test_what_fails_everywhere_is_named() -> None:
    design = LAYOUT["compression"]()
    design = replace(design, limits=(*design.limits, Limit("throw", at_least=90.0)))
    found = go_zone(design, "spring anchor")
    assert found.zone.is_empty
    assert not found.inside
    assert found.blocked == ("Throw",)
    assert found.edges == ()


def test_a_pin_in_a_slot_has_a_stretch_of_it() -> None:
    design = LAYOUT["knee"]()
    found = go_zone(design, "plunger pin")
    assert found.zone.is_empty
    assert len(found.spans) == 1
    span = found.spans[0]
    for (x, y), outward in ((span.start, -1.0), (span.end, 1.0)):
        assert y == pytest.approx(0.0, abs=1e-12)
        assert good_at(design, "plunger pin", x - 0.02 * outward, y)
        assert not good_at(design, "plunger pin", x + 0.02 * outward, y)
    assert (span.start_label, span.end_label) == (
        "Holding force, weaker rest",
        "Bottoming margin, least",
    )


def test_a_pin_follows_the_end_of_its_slot() -> None:
    design = LAYOUT["knee"]()
    found = go_zone(design, "slot end", (150.0, -30.0, 210.0, 30.0))
    for x, y in ((175.0, 8.0), (190.0, -10.0), (160.0, 20.0)):
        assert found.zone.contains(Spot(x, y)) == good_at(design, "slot end", x, y)


def test_a_pin_in_two_slots_cannot_be_moved() -> None:
    design = LAYOUT["knee"]()
    other = Slider("second slide", "plunger pin", "frame", ("slot start", "spring anchor"))
    with pytest.raises(DesignProblem, match=r"two slots|ways|moves?"):
        go_zone(replace(design, sliders=(*design.sliders, other)), "plunger pin")


def test_a_point_that_is_not_there() -> None:
    with pytest.raises(DesignProblem, match="no point “elbow”"):
        go_zone(LAYOUT["knee"](), "elbow")


def test_a_zone_travels_between_processes() -> None:
    found = go_zone(LAYOUT["compression"](), "spring anchor", tolerance=True)
    again: GoZone = pickle.loads(pickle.dumps(found))
    assert again == found


# ---- the second region -----------------------------------------------------------------

CAREFUL = Tolerances(
    hole=0.1, rate=3.0, free_length=0.3, friction_least=0.9, friction_most=1.1, stop=0.2, load=2.0
)


def test_copies_hold_in_the_sturdy_region_and_fail_outside_it() -> None:
    """The linearised region against a full study of copies at its edge and around it."""
    design = replace(LAYOUT["compression"](), tolerances=CAREFUL)
    found = go_zone(design, "spring anchor", tolerance=True)
    assert found.sturdy is not None
    assert not found.sturdy.is_empty
    assert found.zone.contains(found.sturdy)
    # One limit ends it, and 99.87 % of a normal spread is within three deviations on one side.
    for place in _around(found.sturdy):
        assert _share(design, place) >= 0.997
    for place in _around(found.sturdy.buffer(1.0)):
        assert _share(design, place) < 0.9985


def _around(shape: MultiPolygon | Polygon, count: int = 5) -> list[Spot]:
    boundary = get_parts(shape)[0].exterior
    return [boundary.interpolate(at / count, normalized=True) for at in range(count)]


def _share(design: Design, place: Spot) -> float:
    copies = 2048
    moved = move_point(design, "spring anchor", place.x, place.y)
    return spread(moved, copies=copies).good.count / copies


def test_the_worst_case_is_within_the_usual_one() -> None:
    design = replace(LAYOUT["compression"](), tolerances=CAREFUL)
    usual = go_zone(design, "spring anchor", tolerance=True).sturdy
    worst = go_zone(design, "spring anchor", tolerance=True, worst=True).sturdy
    assert usual is not None
    assert worst is not None
    assert usual.buffer(1e-9).contains(worst)
    assert worst.area < usual.area


def test_without_tolerances_all_of_the_zone_is_sturdy() -> None:
    none = Tolerances(0.0, "none", 0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0)
    design = replace(LAYOUT["compression"](), tolerances=none)
    found = go_zone(design, "spring anchor", tolerance=True)
    assert found.sturdy is not None
    assert found.sturdy.equals_exact(found.zone, 1e-9)


def test_a_slot_has_a_sturdy_stretch() -> None:
    design = replace(LAYOUT["knee"](), tolerances=CAREFUL)
    found = go_zone(design, "plunger pin", tolerance=True)
    assert found.sturdy_spans is not None
    for span in found.sturdy_spans:
        assert any(
            outer.start[0] <= span.start[0] <= span.end[0] <= outer.end[0] for outer in found.spans
        )
