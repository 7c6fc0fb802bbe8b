"""What lies along each pin from bottom to top, and so how long it is and how deep it all is.

A pin that is held fast in the outermost plate ends flush with it, a free end stands out and has a
retaining ring with end play before it, so that what turns is not clamped. Between plates lie
washers, or spacers where a layer is left out. Springs lie above the plates: a straight one on the
pins of its ends, a torsion spring with its coils on the pin of its pivot, its legs against the
pins at their points, with room to grow as it is wound up; a spring that shares a pin with an
earlier one lies above that. z is 0 at the frame's face (see `layers`); all lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from solver.holes import spring_pin
from solver.layers import (
    PIN_END,
    PLAY,
    WASHER,
    Heights,
    coil_width,
    jointed,
    layer_heights,
    pin_holder,
    pinned_links,
    plate_span,
    spring_floor,
    up_to_half,
)
from solver.model import FRAME, Design, Spring, TorsionSpring
from solver.stop_pins import stop_pins
from solver.torsion_shape import coil_of

PieceKind = Literal["end", "play", "plate", "washer", "spacer", "spring", "leg", "shank"]
PinKind = Literal["joint", "spring", "stop"]

RING_WIDTH = 2.0
"""Outside diameter of a retaining ring, washer or spacer, in diameters of its pin; our own choice
(washers of ISO 7089 are about that; rings of DIN 471 in their grooves less)."""

_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Piece:
    """One length of a pin, from `low` to `high` (mm).

    kind: "end" (a free end with its retaining ring), "play" (the gap before that ring), "plate"
    (of the link `part`), "washer", "spacer", "spring" (coils of `part`), "leg" (of `part`),
    "shank" (the bare pin).
    """

    kind: PieceKind
    part: str
    low: float
    high: float

    @property
    def long(self) -> float:
        """Length along the pin, mm."""
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class PinStack:
    """A pin with all that lies on it, bottom to top.

    name: its point, or that of a stop pin; kind: "joint" (between links, or a slider's),
    "spring" (holds a spring's end or leg) or "stop"; holder: the link that it sits fast in.
    """

    name: str
    kind: PinKind
    diameter: float
    holder: str
    pieces: tuple[Piece, ...]

    @property
    def low(self) -> float:
        """Lower end, mm."""
        return self.pieces[0].low

    @property
    def high(self) -> float:
        """Upper end, mm."""
        return self.pieces[-1].high

    @property
    def length(self) -> float:
        """Length (mm), a multiple of half a millimetre: a free end takes what is over."""
        return self.high - self.low

    def of(self, kind: PieceKind) -> tuple[Piece, ...]:
        """The pieces of one kind."""
        return tuple(piece for piece in self.pieces if piece.kind == kind)


@dataclass(frozen=True, slots=True)
class SpringSpan:
    """Lower and upper side of a spring (mm), and of its legs where it has any (A, B)."""

    low: float
    high: float
    legs: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Stack:
    """Bottom and top (mm) of every layer from the lowest to the uppermost, the frame's (0) too.

    `pins` holds what lies along each pin; `total` is from the lowest to the uppermost of plates,
    pins and springs.
    """

    layers: Heights
    springs: Mapping[str, SpringSpan]
    pins: tuple[PinStack, ...]
    lowest: float
    highest: float

    @property
    def total(self) -> float:
        """Thickness of it all, mm."""
        return self.highest - self.lowest

    def pin(self, name: str) -> PinStack:
        """The pin at a point, or the stop pin, of that name; KeyError where there is none."""
        for pin in self.pins:
            if pin.name == name:
                return pin
        raise KeyError(name)


def stack(design: Design) -> Stack:
    """The heights of a design's layers and springs, and the pieces along its pins."""
    layers = layer_heights(design)
    springs = spring_spans(design, layers)
    pins = (*_point_pins(design, layers, springs), *_stops(design, layers))
    lows = [low for low, _ in layers.values()] + [pin.low for pin in pins]
    tops = [top for _, top in layers.values()] + [pin.high for pin in pins]
    tops += [span.high for span in springs.values()]
    return Stack(layers, springs, pins, min(lows), max(tops))


def pin_length(design: Design, name: str) -> float:
    """Length (mm) of the pin at a point, or of a stop pin; KeyError where there is none."""
    return stack(design).pin(name).length


# ---- springs ----------------------------------------------------------------------------


def spring_spans(design: Design, layers: Heights) -> dict[str, SpringSpan]:
    """How high each spring lies."""
    placed: list[tuple[Spring, SpringSpan]] = []
    for spring in design.springs:
        floor = _floor(design, spring, layers)
        under = [span.high for other, span in placed if _points(other) & _points(spring)]
        placed.append((spring, _span(design, spring, max((floor, *(z + WASHER for z in under))))))
    return {spring.name: span for spring, span in placed}


def _points(spring: Spring) -> frozenset[str]:
    """The points whose pins a spring lies on or against."""
    if isinstance(spring, TorsionSpring):
        return frozenset((spring.pivot, spring.leg_a, spring.leg_b))
    return frozenset((spring.a, spring.b))


def _floor(design: Design, spring: Spring, layers: Heights) -> float:
    if not isinstance(spring, TorsionSpring):
        return spring_floor(design, spring, layers)
    coil = coil_of(design, spring)
    up = coil.room - coil.wire
    tops = (
        _plates_top(design, spring.pivot, layers),
        _plates_top(design, spring.leg_a, layers),
        _plates_top(design, spring.leg_b, layers) - up,
    )
    return max(tops) + WASHER


def _plates_top(design: Design, point: str, layers: Heights) -> float:
    spans = [plate_span(design, link, layers)[1] for link in pinned_links(design, point)]
    return max(spans, default=0.0)


def _span(design: Design, spring: Spring, low: float) -> SpringSpan:
    if not isinstance(spring, TorsionSpring):
        return SpringSpan(low, low + coil_width(spring))
    coil = coil_of(design, spring)
    high = low + coil.room
    return SpringSpan(low, high, ((low, low + coil.wire), (high - coil.wire, high)))


# ---- pins -------------------------------------------------------------------------------


def _point_pins(
    design: Design, layers: Heights, springs: Mapping[str, SpringSpan]
) -> Iterator[PinStack]:
    joints = set(jointed(design))
    for point in design.points:
        name = point.name
        above = sorted(_hung(design, name, springs), key=lambda piece: piece.low)
        kind: PinKind = "joint" if name in joints else "spring"
        own = design.pivot_at(name).pin_diameter if name in joints else spring_pin(design, name)
        if own and pinned_links(design, name):
            holder = pin_holder(design, name)
            pieces = _pile(_plates(design, name, layers), above, holder)
            yield PinStack(name, kind, own, holder, tuple(pieces))


def _hung(design: Design, point: str, springs: Mapping[str, SpringSpan]) -> Iterator[Piece]:
    """Coils and legs of springs on the pin at a point."""
    for spring in design.springs:
        span = springs[spring.name]
        if isinstance(spring, TorsionSpring):
            if point == spring.pivot:
                yield Piece("spring", spring.name, span.low, span.high)
            for leg, (low, high) in zip((spring.leg_a, spring.leg_b), span.legs, strict=True):
                if point == leg:
                    yield Piece("leg", spring.name, low, high)
        elif point in (spring.a, spring.b):
            yield Piece("spring", spring.name, span.low, span.high)


def _plates(design: Design, point: str, layers: Heights) -> list[Piece]:
    plates = (
        Piece("plate", link, *plate_span(design, link, layers))
        for link in pinned_links(design, point)
    )
    return sorted(plates, key=lambda piece: piece.low)


def _pile(plates: list[Piece], above: list[Piece], holder: str) -> Iterator[Piece]:
    """Plates and springs with what lies between them, and the free ends."""
    lowest, uppermost = plates[0], (plates + above)[-1]
    flush_below = lowest.part == holder
    flush_above = uppermost.kind == "plate" and uppermost.part == holder and not flush_below
    low, high = (
        lowest.low - (0.0 if flush_below else PLAY),
        uppermost.high + (0.0 if flush_above else PLAY),
    )
    start = low - (0.0 if flush_below else PIN_END)
    over = up_to_half(high + (0.0 if flush_above else PIN_END) - start) + start
    spare = over - high  # the free end, lengthened to half a millimetre of the whole
    if not flush_below:
        yield Piece("end", "", start - (spare if flush_above else 0.0), low)
        yield Piece("play", "", low, lowest.low)
    for one, other in pairwise((*plates, *above)):
        yield one
        room = other.low - one.high
        if room > _SAME:
            kind: PieceKind = "washer" if room <= WASHER + _SAME else "spacer"
            yield Piece(kind, "", one.high, other.low)
    yield uppermost
    if not flush_above:
        yield Piece("play", "", uppermost.high, high)
        yield Piece("end", "", high, over)


def _stops(design: Design, layers: Heights) -> Iterator[PinStack]:
    """Stop pins reach from the frame, flush with its far side, to the lever's outer face."""
    frame = Piece("plate", FRAME, *plate_span(design, FRAME, layers))
    low, high = plate_span(design, design.lever, layers)
    for pin in stop_pins(design):
        if low >= frame.high:
            top = frame.low + up_to_half(high - frame.low)
            pieces = (frame, Piece("shank", "", frame.high, top))
        else:
            bottom = frame.high - up_to_half(frame.high - low)
            pieces = (Piece("shank", "", bottom, frame.low), frame)
        yield PinStack(pin.name, "stop", pin.diameter, FRAME, pieces)
