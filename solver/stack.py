"""How a linkage stacks up along its pins: heights of the layers, lengths of the pins.

z is 0 at the frame's face (the upper side of its plate) and grows with the layers. Between
neighbouring layers lies a washer; a layer is as thick as its thickest plate. Springs lie above
the plates on the pins of their ends.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from solver.model import FRAME, Design, Spring, TorsionSpring
from solver.outlines import layer_of

WASHER = 1.0
"""mm between neighbouring layers; our own choice."""

PIN_END = 3.0
"""mm that a pin stands out at a free end: groove, retaining ring and rim; our own choice."""

FRAME_THICKNESS = 6.0
"""mm; of a frame whose plate is not settled."""

COIL_SHARE, LEAST_COIL, MOST_COIL = 0.2, 6.0, 25.0
"""A coil's outer diameter where only its force law is known: a share of the free length, within
these bounds (mm). Our own guess at springs that hardly buckle; no source."""


@dataclass(frozen=True, slots=True)
class Stack:
    """Bottom and top (mm) of every layer that holds a plate, the frame's (0) always among them.

    `total` is from the lowest to the uppermost of plates, pin ends and springs.
    """

    layers: Mapping[int, tuple[float, float]]
    lowest: float
    highest: float

    @property
    def total(self) -> float:
        """Thickness of it all, mm."""
        return self.highest - self.lowest


def stack(design: Design) -> Stack:
    """The heights of a design's layers; links without a plate have none."""
    layers = _layers(design)
    tops = [top for _, top in layers.values()]
    lows = [low for low, _ in layers.values()]
    for point in jointed(design):
        low, high = pin_span(design, point, layers)
        lows.append(low)
        tops.append(high)
    tops += [springs_top(design, point.name, layers) for point in design.points]
    return Stack(layers, min(lows), max(tops))


def _layers(design: Design) -> dict[int, tuple[float, float]]:
    thickest = {0: FRAME_THICKNESS}
    for plate in design.plates:
        layer = layer_of(design, plate.link)
        alone = plate.link == FRAME
        thickest[layer] = (
            plate.thickness if alone else max(thickest.get(layer, 0.0), plate.thickness)
        )
    heights = {0: (-thickest[0], 0.0)}
    z = 0.0
    for layer in sorted(layer for layer in thickest if layer > 0):
        heights[layer] = (z + WASHER, z + WASHER + thickest[layer])
        z = heights[layer][1]
    z = -thickest[0]
    for layer in sorted((layer for layer in thickest if layer < 0), reverse=True):
        heights[layer] = (z - WASHER - thickest[layer], z - WASHER)
        z = heights[layer][0]
    return heights


def _top_below(layers: Mapping[int, tuple[float, float]], layer: int) -> float:
    return max((top for at, (_, top) in layers.items() if at < layer), default=0.0)


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


def pin_span(
    design: Design, point: str, layers: Mapping[int, tuple[float, float]]
) -> tuple[float, float]:
    """Lower and upper end (mm) of the pin at a point.

    It carries the springs that hang on it, ends flush with the back of the frame where that
    holds it, and stands out at free ends.
    """
    low, high = pin_layers(design, point)
    held = FRAME in pinned_links(design, point)
    flush = held and low == 0
    bottom = layers.get(low, layers[0])[0] - (0.0 if flush else PIN_END)
    top = max(layers.get(high, layers[0])[1], springs_top(design, point, layers))
    return bottom, top + PIN_END


def springs_top(design: Design, point: str, layers: Mapping[int, tuple[float, float]]) -> float:
    """The upper side (mm) of the straight springs that hang on a point; -inf without any."""
    tops = (
        _top_below(layers, spring_layer(design, spring)) + WASHER + coil_width(spring)
        for spring in design.springs
        if not isinstance(spring, TorsionSpring) and point in (spring.a, spring.b)
    )
    return max(tops, default=-math.inf)


def pin_length(design: Design, point: str) -> float:
    """Length (mm) of the pin at a point, rounded up to half a millimetre."""
    bottom, top = pin_span(design, point, _layers(design))
    return up_to_half(top - bottom)


def up_to_half(length: float) -> float:
    """A length (mm) rounded up to half a millimetre."""
    return math.ceil(length * 2.0 - 1e-9) / 2.0


def spring_layer(design: Design, spring: Spring) -> int:
    """The layer that a straight spring lies in: above all plates on the pins of its two ends."""
    ends = () if isinstance(spring, TorsionSpring) else (spring.a, spring.b)
    links = {link for end in ends for link in pinned_links(design, end)}
    return 1 + max((layer_of(design, link) for link in links), default=0)


def coil_width(spring: Spring) -> float:
    """The outside diameter (mm) of a straight spring: its own, or one that it is taken to have."""
    if isinstance(spring, TorsionSpring):
        raise ValueError("a torsion spring lies around its pivot")
    if spring.outside_diameter is not None:
        return spring.outside_diameter
    return min(max(COIL_SHARE * spring.free_length, LEAST_COIL), MOST_COIL)
