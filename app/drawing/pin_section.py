"""A pin in section with all that lies on it, true in height: what lies above what at a joint.

Plates are cut short beside the pin; pins, as is usual, are not hatched. Springs are shown by the
room that they take, retaining rings by a sign at the free ends.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from app.drawing.figures import SheetUnits, length
from app.drawing.metrics import plain, text_width
from app.drawing.model import LEAST_TEXT, Circle, Element, Layer, Line, Place, Polyline, Text
from solver.stack import RING_WIDTH, Piece, PinStack

LINE = 3.8
"""From one label to the next, mm."""
_STUB = 4.0
"""What of a plate is drawn on each side of the pin, mm,"""
_WASHER = (RING_WIDTH - 1.0) / 2.0
"""and of a washer or spacer, in diameters of the pin."""
_LEAST_PLAY = 0.25
"""A play that is narrower on paper is not drawn, mm."""
_RING = (0.3, 1.0)
"""How far a ring's sign reaches beside the pin, in diameters, and how high it is, mm of the pin."""
_LEADER = 3.2
"""From the plates to the labels, mm."""
_HATCH = 1.6
"""Between hatch strokes, mm."""
_SPARE = 4.0
"""Between one pin's labels and the next pin, mm."""
_CENTRE = 2.0
"""What the centre line reaches beyond the pin, mm."""


@dataclass(frozen=True, slots=True)
class PinSection:
    """Pins that are alike: what they are called, the stack of each, and a label for each piece.

    `play` is from the pin to the edge of a hole that turns on it, mm on paper.
    """

    names: str
    pin: PinStack
    labels: tuple[str, ...]
    foot: tuple[str, ...]
    scale: float
    play: float = 0.0

    @property
    def half(self) -> float:
        """What is drawn on each side of the pin's axis, mm."""
        return self.scale * self.pin.diameter / 2.0 + max(
            _STUB, self.scale * _WASHER * self.pin.diameter
        )

    @property
    def width(self) -> float:
        """What it takes across, the labels and the room to the next pin with it, mm."""
        labels = max((_wide(label) for label in self.labels), default=0.0)
        beside = max(2.0 * self.half + _LEADER + labels, *map(_wide, (self.names, *self.foot)))
        return beside + _SPARE


def shape_of(pin: PinStack) -> tuple[object, ...]:
    """What pins have in common that one section can show, whatever links lie on them."""
    holder = [piece.part == pin.holder for piece in pin.pieces]
    pieces = [(piece.kind, round(piece.low, 6), round(piece.high, 6)) for piece in pin.pieces]
    return (pin.kind, pin.diameter, *zip(holder, pieces, strict=True))


def section_of(
    names: str,
    pins: Sequence[PinStack],
    units: SheetUnits,
    scale: float,
    clearance: float | None = None,
) -> PinSection:
    """The section of pins of one shape, that are called so together; lengths in the units.

    `clearance` is the diameter (mm) of the holes that turn on them; too small a play is not drawn.
    """
    first = pins[0]
    labels = tuple(
        _label(alike, units) for alike in zip(*(pin.pieces for pin in pins), strict=True)
    )
    size = f"pin ⌀{length(first.diameter, units)} × {length(first.length, units)}"
    held = f"fast in {_each(pin.holder for pin in pins)}"
    play = 0.0 if clearance is None else scale * (clearance - first.diameter) / 2.0
    heights = f"z {length(first.low, units)} to {length(first.high, units)}"
    return PinSection(
        *(plain(names), first, labels, (size, held, heights), scale),
        play if play >= _LEAST_PLAY else 0.0,
    )


def _label(alike: Sequence[Piece], units: SheetUnits) -> str:
    first, parts = alike[0], _each(piece.part for piece in alike)
    words = {
        "plate": parts,
        "spring": parts,
        "leg": "leg",
        "end": "ring, end",
        "shank": "pin alone",
    }.get(first.kind, first.kind)
    return f"{words} {length(first.long, units)}"


def _each(parts: Iterable[str]) -> str:
    """Every name once, in their order."""
    return ", ".join(plain(part) for part in dict.fromkeys(parts))


def _wide(text: str) -> float:
    return text_width(text, LEAST_TEXT)


def drawn(section: PinSection, left: float, level: Callable[[float], float]) -> Iterator[Element]:
    """The section with its left edge at x = `left` (mm); `level` brings heights onto the paper."""
    pin, half = section.pin, section.half
    axis = left + half
    bare = section.scale * pin.diameter / 2.0
    low, high = level(pin.low), level(pin.high)
    yield _box(Layer.OUTLINE, axis - bare, low, axis + bare, high)
    yield Line(Layer.CENTRES, (axis, low - _CENTRE), (axis, high + _CENTRE))
    for index, piece in enumerate(pin.pieces):
        span = level(piece.low), level(piece.high)
        for side in (-1.0, 1.0):
            yield from _piece(section, piece, axis, side, span, up=index > 0)
    yield from _labels(section, axis + half, level)


def _piece(
    section: PinSection,
    piece: Piece,
    axis: float,
    side: float,
    span: tuple[float, float],
    *,
    up: bool,
) -> Iterator[Element]:
    """One side of a piece; `up`: it is no lower end."""
    scale, pin = section.scale, section.pin.diameter
    near, low, high = scale * pin / 2.0, *span

    def box(layer: Layer, reach: float, bottom: float = low, top: float = high) -> Polyline:
        edges = sorted((axis + side * near, axis + side * (near + reach)))
        return _box(layer, edges[0], bottom, edges[1], top)

    if piece.kind == "plate":
        far = section.half
        play = 0.0 if piece.part == section.pin.holder else section.play
        edges = sorted((axis + side * (near + play), axis + side * far))
        if play:
            edge = axis + side * (near + play)
            yield Line(Layer.THIN, (edge, low), (edge, high))
        yield from _stub(edges, span, axis + side * far)
        yield from hatching(edges, span, rising=round(piece.low) % 2 == 0)
    elif piece.kind in ("washer", "spacer"):
        yield box(Layer.SYMBOLS, scale * _WASHER * pin)
    elif piece.kind == "spring":
        shape = box(Layer.THIN, section.half - near)
        yield shape
        a, b, c, d = shape.points
        yield Line(Layer.THIN, a, c)
        yield Line(Layer.THIN, b, d)
    elif piece.kind == "leg" and side > 0.0:
        radius = (high - low) / 2.0
        yield Circle(Layer.SYMBOLS, (axis + near + radius, low + radius), radius)
    elif piece.kind == "end":
        beside, thick = _RING
        thick = min(scale * thick, high - low)
        bottom = low if up else high - thick
        yield box(Layer.SYMBOLS, scale * beside * pin, bottom, bottom + thick)


def _stub(edges: Sequence[float], span: tuple[float, float], broken: float) -> Iterator[Element]:
    """The edges of a plate that is cut short: a thin line where it goes on."""
    for y in span:
        yield Line(Layer.OUTLINE, (edges[0], y), (edges[1], y))
    yield Line(Layer.THIN, (broken, span[0]), (broken, span[1]))


def hatching(across: Sequence[float], span: tuple[float, float], *, rising: bool) -> Iterator[Line]:
    """Strokes at 45° in an upright rectangle, rising or falling to the right."""
    left, right = across
    low, high = span
    step = _HATCH * math.sqrt(2.0)
    for index in range(1, int((right - left + high - low) / step) + 1):
        off = index * step  # where the stroke meets the lower (or upper) edge, from the right
        start = (max(right - off, left), low + max(off - (right - left), 0.0))
        end = (right - max(off - (high - low), 0.0), low + min(off, high - low))
        if rising:
            yield Line(Layer.HATCH, start, end)
        else:
            yield Line(
                Layer.HATCH, (start[0], low + high - start[1]), (end[0], low + high - end[1])
            )


def _labels(section: PinSection, edge: float, level: Callable[[float], float]) -> Iterator[Element]:
    """A label for each piece in a column beside it, tied to it by a line."""
    middles = [level((piece.low + piece.high) / 2.0) for piece in section.pin.pieces]
    bare = section.scale * section.pin.diameter / 2.0
    for piece, at, text, y in zip(
        section.pin.pieces, middles, section.labels, spread(middles), strict=True
    ):
        reach = {
            "washer": section.scale * _WASHER * section.pin.diameter,
            "spacer": section.scale * _WASHER * section.pin.diameter,
            "end": 0.0,
            "play": 0.0,
            "shank": 0.0,
            "leg": level(piece.high) - level(piece.low),
        }.get(piece.kind)
        start = edge if reach is None else edge - section.half + bare + reach
        yield Line(Layer.DIMENSIONS, (start, at), (edge + _LEADER - 0.8, y))
        yield Text(text, (edge + _LEADER, y), LEAST_TEXT, "left", "middle")


def spread(wished: Sequence[float], apart: float = LINE) -> list[float]:
    """Rising places as near to the wished ones (rising) as they can be `apart` from each other."""
    groups: list[tuple[float, int]] = []  # the lowest place of each run, and how many are in it
    for index, place in enumerate(wished):
        start, count, total = place, 1, place
        while groups and groups[-1][0] + apart * groups[-1][1] > start:
            count += groups.pop()[1]
            first = index + 1 - count
            total = sum(one - apart * at for at, one in enumerate(wished[first : index + 1]))
            start = total / count
        groups.append((start, count))
    return [start + apart * at for start, count in groups for at in range(count)]


def _box(layer: Layer, left: float, low: float, right: float, high: float) -> Polyline:
    corners: tuple[Place, ...] = ((left, low), (right, low), (right, high), (left, high))
    return Polyline(layer, corners, closed=True)


def lefts(sections: Sequence[PinSection], start: float) -> list[float]:
    """The left edges of sections side by side from x = `start` on."""
    return list(accumulate((one.width for one in sections[:-1]), initial=start))
