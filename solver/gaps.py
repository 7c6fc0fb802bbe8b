"""The least gaps of all parts that could meet over the throw.

Parts meet where they overlap along the pins (see `stack`): plates of one layer; pins with their
spacers and rings and the plates they pass; springs and the plates, pins and springs beside them;
stop pins. Links without a plate are not looked at.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

import numpy as np
import shapely

from solver.layers import jointed, pinned_links, plate_span
from solver.model import FRAME, Design, TorsionSpring
from solver.outlines import layer_of
from solver.stack import RING_WIDTH, Piece, PinStack, Stack
from solver.stop_pins import stop_pins
from solver.sweep_shapes import Pieces, Shapes, discs
from solver.torsion_shape import spring_ends

_SAME = 1e-9

GapKind = Literal["links", "pin", "end", "spring", "over", "stop"]


@dataclass(frozen=True, slots=True)
class Gap:
    """The least gap (mm, 0 where they overlap) of two parts and where in the throw (degrees).

    kind: "links" (one layer), "pin" (a link beside a pin with its spacers), "end" (a link that
    passes the free end of a pin with its ring), "spring" (a spring and a link or spring), "over"
    (a spring and a pin) or "stop"; a and b are names of parts (that of a pin is its point),
    `called` says in words what they are.
    """

    kind: GapKind
    a: str
    b: str
    called: tuple[str, str]
    least: float
    where: float


@dataclass(frozen=True, slots=True)
class Solid:
    """A shape per position (N,) that reaches from `low` to `high` (mm) along the pins."""

    called: str
    shapes: Shapes
    low: float
    high: float

    def beside(self, low: float, high: float) -> bool:
        """Whether it overlaps that length along the pins."""
        return self.low < high - _SAME and low < self.high - _SAME


@dataclass(frozen=True, slots=True)
class Look:
    """A linkage put in its places, with its heights; what could meet in it."""

    put: Pieces
    stack: Stack
    stops: Mapping[str, Shapes]

    @classmethod
    def at(cls, put: Pieces, heights: Stack) -> Look:
        """With the stop pins of the design."""
        stops = {
            pin.name: discs(np.array([complex(pin.x, pin.y)]), pin.diameter / 2.0)
            for pin in stop_pins(put.design)
        }
        return cls(put, heights, stops)

    @property
    def design(self) -> Design:
        """The design that was put."""
        return self.put.design

    def gaps(self) -> Iterator[Gap]:
        """All of them, in no order."""
        yield from self._links()
        yield from self._pins()
        yield from self._springs()
        yield from self._stops()

    def pairs(self) -> Iterator[tuple[str, str]]:
        """The links of one layer, two by two."""
        for a, b in combinations(self.put.plates, 2):
            if layer_of(self.design, a) == layer_of(self.design, b):
                yield a, b

    def joined(self, a: str, b: str) -> bool:
        """Whether a pin goes through both links."""
        return any({a, b} <= set(pinned_links(self.design, p)) for p in jointed(self.design))

    def beside_pin(self, pin: PinStack) -> Iterator[Gap]:
        """A pin against the links that it does not hold, where it passes them."""
        for link in self.put.plates:
            if link in pinned_links(self.design, pin.name):
                continue
            low, high = self._span(link)
            met = [p for p in self._own(pin) if p.low < high - _SAME and low < p.high - _SAME]
            if met:
                ends = all(piece.kind in ("end", "play") for piece in met)
                name = f"the end of the pin “{pin.name}”" if ends else f"the pin “{pin.name}”"
                solid = self._round(pin, met, name)
                kind: GapKind = "end" if ends else "pin"
                yield self._gap(kind, pin.name, link, [(solid, self._plate(link))])

    def _own(self, pin: PinStack) -> list[Piece]:
        """The pieces of a pin but plates and the coils on a post, which are looked at apart."""
        apart = ("plate", "spring") if pin.kind == "spring" else ("plate",)
        return [piece for piece in pin.pieces if piece.kind not in apart]

    def _gap(self, kind: GapKind, a: str, b: str, pairs: Iterable[tuple[Solid, Solid]]) -> Gap:
        """The least gap of several pairs of solids."""
        found = []
        for one, other in pairs:
            apart = shapely.distance(one.shapes, other.shapes)
            at = int(np.argmin(apart))
            found.append((float(apart[at]), at, (one.called, other.called)))
        least, at, called = min(found)
        return Gap(kind, a, b, called, least, float(self.put.travel[at]))

    def _span(self, link: str) -> tuple[float, float]:
        return plate_span(self.design, link, self.stack.layers)

    def _plate(self, link: str) -> Solid:
        return Solid(f"“{link}”", self.put.plates[link], *self._span(link))

    def _round(self, pin: PinStack, met: list[Piece], called: str) -> Solid:
        """The pieces of a pin that are met, as wide as the widest of them."""
        wide = any(piece.kind in ("end", "washer", "spacer") for piece in met)
        radius = pin.diameter / 2.0 * (RING_WIDTH if wide else 1.0)
        low, high = min(piece.low for piece in met), max(piece.high for piece in met)
        if pin.kind == "stop":
            return Solid(called, self.stops[pin.name], low, high)
        return Solid(called, discs(self.put.points[pin.name], radius), low, high)

    def _links(self) -> Iterator[Gap]:
        for a, b in self.pairs():
            if not self.joined(a, b):
                yield self._gap("links", a, b, [(self._plate(a), self._plate(b))])

    def _pins(self) -> Iterator[Gap]:
        for pin in self.stack.pins:
            if pin.kind == "joint":
                yield from self.beside_pin(pin)

    def _springs(self) -> Iterator[Gap]:
        solids = {spring.name: tuple(self._spring(spring.name)) for spring in self.design.springs}
        for spring in self.design.springs:
            name = spring.name
            for link in self.put.plates:
                plate = self._plate(link)
                met = [(s, plate) for s in solids[name] if s.beside(plate.low, plate.high)]
                if met:
                    yield self._gap("spring", name, link, met)
            own = {*spring_ends(spring)}
            if isinstance(spring, TorsionSpring):
                own.add(spring.pivot)
            for pin in self.stack.pins:
                if pin.name not in own and (met := list(self._over(solids[name], pin))):
                    yield self._gap("over", name, pin.name, met)
        for one, other in combinations(self.design.springs, 2):
            both = [
                (a, b)
                for a in solids[one.name]
                for b in solids[other.name]
                if a.beside(b.low, b.high)
            ]
            if both:
                yield self._gap("spring", one.name, other.name, both)

    def _spring(self, name: str) -> Iterator[Solid]:
        """A spring's coils, and its legs."""
        span = self.stack.springs[name]
        yield Solid(f"“{name}”", self.put.springs[name], span.low, span.high)
        for shapes, (low, high) in zip(self.put.legs.get(name, ()), span.legs, strict=True):
            yield Solid(f"a leg of “{name}”", shapes, low, high)

    def _over(self, solids: tuple[Solid, ...], pin: PinStack) -> Iterator[tuple[Solid, Solid]]:
        called = pin.name if pin.kind == "stop" else f"the pin “{pin.name}”"
        for solid in solids:
            met = [piece for piece in self._own(pin) if solid.beside(piece.low, piece.high)]
            if met:
                yield solid, self._round(pin, met, called)

    def _stops(self) -> Iterator[Gap]:
        for pin in self.stack.pins:
            for shank in pin.of("shank") if pin.kind == "stop" else ():
                solid = Solid(pin.name, self.stops[pin.name], shank.low, shank.high)
                for link in self.put.plates:
                    if link not in (FRAME, self.design.lever) and solid.beside(*self._span(link)):
                        yield self._gap("stop", pin.name, link, [(solid, self._plate(link))])
