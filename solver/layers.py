"""Layers along the pins: how high each lies, which link holds a pin, how far up a spring begins.

z is 0 at the frame's face (the upper side of its plate) and grows with the layers. Between
neighbouring layers lies a washer; a layer is as thick as its thickest plate, and an empty one
between others as thick as a usual plate, so that leaving a layer free makes room.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    Plate,
    Spring,
    TorsionSpring,
)
from solver.outlines import layer_of

WASHER = 1.0
"""mm between neighbouring layers; our own choice."""

PIN_END = 3.0
"""mm that a pin stands out at a free end: groove, retaining ring and rim; our own choice."""

PLAY = 0.3
"""mm of end play between a retaining ring and what lies next to it; our own choice."""

FRAME_THICKNESS = 6.0
"""mm; of a frame whose plate is not settled."""

COIL_SHARE, LEAST_COIL, MOST_COIL = 0.2, 6.0, 25.0
"""A coil's outer diameter where only its force law is known: a share of the free length, within
these bounds (mm). Our own guess at springs that hardly buckle; no source."""

Heights = Mapping[int, tuple[float, float]]
"""Bottom and top (mm) of the layers, without a break between the lowest and the uppermost."""


def layer_heights(design: Design) -> dict[int, tuple[float, float]]:
    """Where the layers of a design lie; the frame's (0) is always among them.

    A link whose plate is not settled counts as a usual one.
    """
    thickest = {0: FRAME_THICKNESS}
    usual = Plate("").thickness
    for link in design.links:
        plate = design.plate_of(link.name)
        layer = layer_of(design, link.name)
        if link.name == FRAME:
            thickest[0] = FRAME_THICKNESS if plate is None else plate.thickness
        else:
            thick = usual if plate is None else plate.thickness
            thickest[layer] = max(thickest.get(layer, 0.0), thick)
    heights = {0: (-thickest[0], 0.0)}
    z = 0.0
    for layer in range(1, max(thickest) + 1):
        heights[layer] = (z + WASHER, z + WASHER + thickest.get(layer, usual))
        z = heights[layer][1]
    z = -thickest[0]
    for layer in range(-1, min(thickest) - 1, -1):
        heights[layer] = (z - WASHER - thickest.get(layer, usual), z - WASHER)
        z = heights[layer][0]
    return heights


def plate_span(design: Design, link: str, heights: Heights) -> tuple[float, float]:
    """Lower and upper face (mm) of a link's plate: it lies on the lower side of its layer.

    Below the frame it lies on the side towards the frame.
    """
    layer, plate = layer_of(design, link), design.plate_of(link)
    low, high = heights[layer]
    if plate is None:
        return low, high
    return (low, low + plate.thickness) if layer >= 0 else (high - plate.thickness, high)


def jointed(design: Design) -> tuple[str, ...]:
    """The points that hold a pin between links, or a slider's pin."""
    sliding = {slider.point for slider in design.sliders}
    return tuple(
        point.name
        for point in design.points
        if (len(design.links_at(point.name)) > 1 or point.name in sliding)
        and design.pivot_at(point.name).pin_diameter > 0.0
    )


def pinned_links(design: Design, point: str) -> tuple[str, ...]:
    """The links that the pin at a point goes through, guides of its sliders among them."""
    guides = [slider.guide for slider in design.sliders if slider.point == point]
    return tuple(dict.fromkeys((*design.links_at(point), *guides)))


def pin_layers(design: Design, point: str) -> tuple[int, int]:
    """The lowest and the uppermost layer that the pin at a point goes through."""
    layers = [layer_of(design, link) for link in pinned_links(design, point)]
    return min(layers), max(layers)


def pin_holder(design: Design, point: str) -> str:
    """The link that holds the pin at a point fast; every other one there turns on it.

    Of two links it is the one nearer the frame, so that nothing stands out towards it: which of
    two holds their pin acts on no reading. Of three or more, or where the pin also slides, it is
    the first in the design's order (the frame before all others), from which friction counts
    their turning (`motion`). KeyError for a point on no link.
    """
    links = design.links_at(point)
    if not links:
        raise KeyError(point)
    if len(links) == 2 and not any(slider.point == point for slider in design.sliders):
        return min(links, key=lambda link: abs(layer_of(design, link)))
    return links[0]


def spring_layer(design: Design, spring: Spring) -> int:
    """The layer that a straight spring lies in: above all plates on the pins of its two ends."""
    ends = () if isinstance(spring, TorsionSpring) else (spring.a, spring.b)
    links = {link for end in ends for link in pinned_links(design, end)}
    return 1 + max((layer_of(design, link) for link in links), default=0)


def spring_floor(
    design: Design, spring: CompressionSpring | ExtensionSpring, heights: Heights
) -> float:
    """The least height (mm) of a straight spring's lower side: a washer above the plates.

    An extension spring's line runs right over a pivot at dead centre, so it lies above the end
    that a pin has there.
    """
    top = max((high for at, (_, high) in heights.items() if at < spring_layer(design, spring)))
    end = up_to_half(PLAY + PIN_END) if isinstance(spring, ExtensionSpring) else 0.0
    return top + WASHER + end


def coil_width(spring: Spring) -> float:
    """The outside diameter (mm) of a straight spring: its own, or one that it is taken to have."""
    if isinstance(spring, TorsionSpring):
        raise ValueError("a torsion spring lies around its pivot")
    if spring.outside_diameter is not None:
        return spring.outside_diameter
    return min(max(COIL_SHARE * spring.free_length, LEAST_COIL), MOST_COIL)


def up_to_half(length: float) -> float:
    """A length (mm) rounded up to half a millimetre."""
    return math.ceil(length * 2.0 - 1e-9) / 2.0
