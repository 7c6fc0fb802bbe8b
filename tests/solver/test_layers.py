"""Heights of the layers, and which link holds a pin."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.holes import holes
from solver.layers import layer_heights, pin_holder, plate_span
from solver.layouts import LAYOUTS
from solver.model import FRAME, Link, Plate, Slider
from tests.solver.test_clearance import in_layers

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def test_a_layer_left_free_is_as_thick_as_a_usual_plate() -> None:
    heights = layer_heights(in_layers(LAYOUT["rocker"](), rod=4, rocker=1))
    assert heights == {
        0: (-6.0, 0.0),
        1: (1.0, 6.0),
        2: (7.0, 12.0),
        3: (13.0, 18.0),
        4: (19.0, 24.0),
    }
    below = layer_heights(in_layers(LAYOUT["rocker"](), rod=-2, rocker=1))
    assert below[-1] == (-12.0, -7.0)
    assert below[-2] == (-18.0, -13.0)


def test_a_thin_plate_lies_towards_the_frame() -> None:
    design = in_layers(LAYOUT["rocker"](), rod=1, rocker=-1)
    thin = tuple(replace(p, thickness=2.0) if p.link == "rod" else p for p in design.plates)
    design = replace(design, plates=thin)
    heights = layer_heights(design)
    assert plate_span(design, "rod", heights) == (1.0, 3.0)
    assert plate_span(design, "lever", heights) == (1.0, 6.0)
    assert plate_span(design, FRAME, heights) == (-6.0, 0.0)
    low = replace(
        design, plates=tuple(replace(p, layer=-1) if p.link == "rod" else p for p in thin)
    )
    assert plate_span(low, "rod", layer_heights(low)) == (-9.0, -7.0)


def test_a_link_without_a_plate_counts_as_a_usual_one() -> None:
    design = replace(LAYOUT["compression"](), plates=())
    assert layer_heights(design) == {0: (-6.0, 0.0), 1: (1.0, 1.0 + Plate("").thickness)}


@pytest.mark.parametrize(
    ("lever", "rod", "held"), [(1, 2, "lever"), (2, 1, "rod"), (-1, -2, "lever"), (1, -1, "lever")]
)
def test_of_two_links_the_one_nearer_the_frame_holds_the_pin(
    lever: int, rod: int, held: str
) -> None:
    design = in_layers(LAYOUT["rocker"](), lever=lever, rod=rod)
    assert pin_holder(design, "rod end") == held
    fits = {
        link: next(hole.fit for hole in holes(design, link) if hole.point == "rod end")
        for link in ("lever", "rod")
    }
    assert [link for link, fit in fits.items() if fit == "held"] == [held]


def test_the_frame_holds_its_pins_and_of_three_links_the_first_does() -> None:
    design = in_layers(LAYOUT["rocker"](), lever=3, rod=1)
    assert pin_holder(design, "lever pivot") == FRAME
    third = Link("third", ("rod end", "flap edge"))
    three = replace(
        design, links=(*design.links, third), plates=(*design.plates, Plate("third", layer=2))
    )
    assert pin_holder(three, "rod end") == "lever"
    sliding = replace(
        design, sliders=(Slider("s", "rod end", FRAME, ("lever pivot", "rocker pivot")),)
    )
    assert pin_holder(sliding, "rod end") == "lever"
    with pytest.raises(KeyError):
        pin_holder(replace(design, links=()), "rod end")
