"""Symbols on paper: ground, guides and stops by ISO 3952, springs simplified by ISO 2162-1."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.drawing.dimension_parts import arrow, heading, polar
from app.drawing.model import Arc, Circle, Element, Layer, Line, Place, Polyline

HATCH = 2.5
"""Between hatch strokes, mm."""
_LEAST_WIRE = 0.8
"""Thickness (mm) below which the two edges of a wire run into one on paper; our own."""


def hatched(start: Place, end: Place, layer: Layer = Layer.SYMBOLS) -> Iterator[Element]:
    """A line with hatching on its right-hand side, seen from `start` to `end`."""
    yield Line(layer, start, end)
    along = heading(start, end)
    length = math.dist(start, end)
    count = max(2, round(length / HATCH))
    for index in range(count):
        foot = polar(start, length * (index + 0.75) / count, along)
        yield Line(Layer.HATCH, foot, polar(foot, HATCH, along - 135.0))


def ground(place: Place, cover: float) -> Iterator[Element]:
    """The bracket and the hatched ground of a pivot on the frame; `cover` mm lie over it."""
    x, y = place
    half, down = max(4.0, 0.9 * cover), max(6.0, 1.25 * cover + 1.5)
    base = y - down
    for side in (-1.0, 1.0):
        foot = (x + side * half, base)
        way = heading(place, foot)
        start = polar(place, min(cover, 0.8 * math.dist(place, foot)), way)
        yield Line(Layer.SYMBOLS, start, foot)
    yield from hatched((x + half + 2.5, base), (x - half - 2.5, base))


def rails(a: Place, b: Place, half: float) -> Iterator[Element]:
    """The guide of a slider on the frame: two rails, hatched outside, 2 * `half` apart."""
    along = heading(a, b)
    for side in (90.0, -90.0):
        start, end = polar(a, half, along + side), polar(b, half, along + side)
        yield from hatched(*((end, start) if side > 0.0 else (start, end)))


def centre_marks(place: Place, reach: float) -> Iterator[Element]:
    """The crossed centre lines of a hole."""
    x, y = place
    layer = Layer.CENTRES
    yield Line(layer, (x - reach, y), (x + reach, y))
    yield Line(layer, (x, y - reach), (x, y + reach))


def cross(place: Place, half: float, layer: Layer) -> Iterator[Element]:
    """A small upright cross: a place that is no hole."""
    x, y = place
    yield Line(layer, (x - half, y), (x + half, y))
    yield Line(layer, (x, y - half), (x, y + half))


def compression_spring(a: Place, b: Place, lead: float, half: float) -> Iterator[Element]:
    """A compression spring: plates at both ends, `lead` mm from the places, and zigzag coils."""
    along = heading(a, b)
    start, end = polar(a, lead, along), polar(b, lead, along + 180.0)
    for tip, body in ((a, start), (b, end)):
        if lead > 0.2:
            yield Line(Layer.SYMBOLS, tip, body)
        yield Line(Layer.SYMBOLS, polar(body, half, along + 90.0), polar(body, half, along - 90.0))
    yield _zigzag(start, end, half, to_middle=False)


def extension_spring(a: Place, b: Place, lead: float, half: float) -> Iterator[Element]:
    """An extension spring: hooks around both places and zigzag coils between them."""
    along = heading(a, b)
    hook = min(2.0, 0.1 * math.dist(a, b))
    start, end = polar(a, lead + 2.0 * hook, along), polar(b, lead + 2.0 * hook, along + 180.0)
    for place, body, back in ((a, start, along + 180.0), (b, end, along)):
        # An open loop whose bow lies on the far side of its pin.
        yield Arc(Layer.SYMBOLS, place, hook, back - 90.0, back + 150.0)
        yield Line(Layer.SYMBOLS, polar(place, hook, back - 210.0), body)
    yield _zigzag(start, end, half, to_middle=True)


def torsion_spring(
    pivot: Place, mean: float, wire: float, legs: Sequence[tuple[Place, Place]]
) -> Iterator[Element]:
    """A torsion spring from above: its coils as a ring, and its legs, tangent to it, true to size.

    `mean` and `wire` are the radius of the coils and the thickness of the wire, mm on paper; a
    wire too thin for two edges is drawn as one line.
    """
    radii = (mean,) if wire < _LEAST_WIRE else (mean - wire / 2.0, mean + wire / 2.0)
    for radius in radii:
        yield Circle(Layer.SYMBOLS, pivot, radius)
    for start, end in legs:
        if wire < _LEAST_WIRE:
            yield Line(Layer.SYMBOLS, start, end)
            continue
        along = heading(start, end)
        corners = (
            polar(place, wire / 2.0, along + side)
            for place, side in ((start, 90.0), (end, 90.0), (end, -90.0), (start, -90.0))
        )
        yield Polyline(Layer.SYMBOLS, tuple(corners))


def _zigzag(start: Place, end: Place, half: float, *, to_middle: bool) -> Polyline:
    """Coils as a zigzag; from the middle of the end turns or from their edges."""
    along, length = heading(start, end), math.dist(start, end)
    turns = min(12, max(4, round(length / 4.0)))
    places: list[Place] = [start] if to_middle else [polar(start, half, along + 90.0)]
    for index in range(1, 2 * turns):
        middle = polar(start, length * index / (2 * turns), along)
        places.append(polar(middle, half, along + (90.0 if index % 2 == 0 else -90.0)))
    last = end if to_middle else polar(end, half, along + 90.0)
    return Polyline(Layer.SYMBOLS, (*places, last))


def force_arrow(place: Place, direction: float, length: float = 12.0) -> Iterator[Element]:
    """A steady force: an arrow from its place."""
    tip = polar(place, length, direction)
    yield Line(Layer.SYMBOLS, place, tip)
    yield arrow(tip, direction, Layer.SYMBOLS)


def weight(place: Place, down: float) -> Iterator[Element]:
    """A mass hung from its place; `down` is the direction of gravity (degrees)."""
    top, bottom = polar(place, 6.0, down), polar(place, 12.0, down)
    yield Line(Layer.SYMBOLS, place, top)
    corners: Sequence[Place] = (
        polar(top, 2.0, down + 90.0),
        polar(bottom, 3.5, down + 90.0),
        polar(bottom, 3.5, down - 90.0),
        polar(top, 2.0, down - 90.0),
    )
    yield Polyline(Layer.SYMBOLS, tuple(corners), closed=True)
