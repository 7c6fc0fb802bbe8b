"""Heads and nuts of screws against what sweeps over them."""

import math
from dataclasses import replace

from solver import edit
from solver.clearance import clearance
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Screw, Weight

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
    assert not remark.serious
    assert remark.where is not None
    assert "head of the screw at “bolt”" in remark.sentence


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
    assert "the nut of the screw at “bolt”" in sentence(design)
    weighted = edit.add_part(design, Weight("plate", "bolt", 0.1))
    assert met(weighted) == {("bolt", "rod")}
    assert "the weight on the screw at “bolt”" in sentence(weighted)
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
