"""Heads and nuts of screws against what sweeps over them."""

import math
from dataclasses import replace

import pytest

from solver import edit
from solver.clearance import clearance
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Screw, Weight
from solver.project import Display
from solver.units import show

ROCKER = next(layout for layout in LAYOUTS if layout.key == "rocker").build()


def met(design: Design) -> set[tuple[str, ...]]:
    return {each.parts for each in clearance(design).remarks if each.kind == "screw"}


def sentence(design: Design) -> str:
    (remark,) = [each for each in clearance(design).remarks if each.kind == "screw"]
    return remark.sentence


def screwed(link: str, x: float, y: float, thread: float = 6.0) -> Design:
    design = edit.add_point(ROCKER, x, y, link, "bolt")
    return edit.set_screw(design, Screw("bolt", thread))


def middle(reach: float) -> tuple[float, float]:
    """A place on the lever's way, in the middle of its throw."""
    pivot, stops = ROCKER.point("lever pivot"), ROCKER.stops
    turn = math.radians((stops.rest_a + stops.rest_b) / 2.0)
    return pivot.x + reach * math.cos(turn), pivot.y + reach * math.sin(turn)


def test_a_head_under_the_lever_is_told_with_its_place() -> None:
    design = screwed(FRAME, *middle(40.0))
    assert ("bolt", "lever") in met(design)
    (remark,) = [each for each in clearance(design).remarks if each.parts == ("bolt", "lever")]
    assert remark.serious
    assert remark.where is not None
    told = show(remark.where, "angle", Display())
    assert remark.sentence == (
        f"The head of the screw at “bolt” and “lever” touch, {told} from rest A: sink the head, or "
        "move the screw."
    )


@pytest.mark.parametrize(("room", "told"), [(0.6, True), (1.1, False)])
def test_a_head_close_beside_the_lever_is_told_with_its_gap(room: float, told: bool) -> None:
    design = screwed(FRAME, *beside(room))
    (gap,) = [gap for gap in clearance(design).gaps if (gap.a, gap.b) == ("bolt", "lever")]
    assert (gap.kind, gap.where) == ("head", 0.0)
    # Outlines are coarser in the sweep: 0.2 % of the head's 6 mm.
    assert gap.least == pytest.approx(room, abs=0.02)
    close = [each for each in clearance(design).remarks if each.parts == ("bolt", "lever")]
    assert [each.serious for each in close] == [False] * told
    assert all("are only 0.6 mm apart" in each.sentence for each in close)


def beside(room: float) -> tuple[float, float]:
    """A place that far from the lever for an M6 head of 12 mm, left of it at rest A."""
    turn = math.radians(ROCKER.stops.rest_a)
    plate = ROCKER.plate_of("lever")
    assert plate is not None
    off = plate.width / 2.0 + 6.0 + room
    return (
        70.0 * math.cos(turn) - off * math.sin(turn),
        70.0 * math.sin(turn) + off * math.cos(turn),
    )


def test_a_head_beside_the_way_or_below_a_high_link_is_not() -> None:
    assert not met(screwed(FRAME, -120.0, -120.0))
    design = screwed(FRAME, *middle(40.0))
    layers = {"lever": 2, "rod": 1}
    plates = tuple(
        replace(plate, layer=layers.get(plate.link, plate.layer)) for plate in design.plates
    )
    # The lever's lower side then is 1 + 5 + 1 above the frame, the head of M4 reaches 0.8 + 4.
    raised = edit.set_screw(replace(design, plates=plates), Screw("bolt", 4.0))
    assert ("bolt", "lever") not in met(raised)
    assert ("bolt", "lever") in met(edit.set_screw(raised, Screw("bolt", 8.0)))


def test_a_head_is_flush_towards_the_frame_and_a_nut_or_a_weight_meets_what_lies_in_front() -> None:
    end = ROCKER.point("rod end")
    design = screwed("lever", end.x + 20.0, end.y)
    assert met(design) == {("bolt", "rod")}
    assert sentence(design).startswith("The nut of the screw at “bolt” and “rod” touch, ")
    assert sentence(design).endswith(": leave a layer free there, or move the screw.")
    weighted = edit.add_part(design, Weight("plate", "bolt", 0.1))
    assert met(weighted) == {("bolt", "rod")}
    assert sentence(weighted).startswith("The weight on the screw at “bolt” and “rod” touch, ")
    # Behind the frame all is the other way round: the rod, nearer to it, is on the head's side.
    below = {"lever": -2, "rod": -1}
    turned = replace(
        design,
        plates=tuple(
            replace(plate, layer=below.get(plate.link, plate.layer)) for plate in design.plates
        ),
    )
    assert met(turned) == set()
    assert any("size is free" in note for note in clearance(weighted).notes)


def test_a_nut_that_passes_over_a_head_meets_it() -> None:
    """The lever's nut stands from 6 mm up, an M8 head with its washer reaches to 9.6 mm."""
    x, y = middle(60.0)
    bolted = edit.set_screw(edit.add_point(ROCKER, x, y, FRAME, "bolt"), Screw("bolt", 8.0))
    pivot = ROCKER.point("lever pivot")
    under = edit.add_point(bolted, pivot.x, pivot.y + 60.0, "lever", "nut")
    design = edit.set_screw(under, Screw("nut", 6.0))
    assert ("bolt", "nut") in met(design)
    assert ("bolt", "nut") not in met(edit.set_screw(design, Screw("bolt", 4.0)))
