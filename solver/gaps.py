"""The least gaps of all parts that could meet over the throw.

Parts meet where they overlap along the pins (see `stack`): plates of one layer; pins with their
spacers and rings and the plates they pass; springs and the plates, pins and springs beside them;
stop pins; heads and nuts of screws (`screw_room`) and whatever passes over them; pins, heads and
nuts on different links. Two on one link keep their distance: `holes` looks at what is between.
Links without a plate are not looked at.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Literal

import numpy as np
import shapely

from solver.layers import jointed, pinned_links, plate_span
from solver.model import FRAME, Design, TorsionSpring
from solver.outlines import layer_of
from solver.screw_room import screw_ends
from solver.stack import RING_WIDTH, PinStack, Stack
from solver.stop_pins import stop_pins
from solver.sweep_shapes import Pieces, Shapes, discs
from solver.torsion_shape import spring_ends

_SAME = 1e-9
_RINGED = ("end", "washer", "spacer")
"""Pieces that are wider than their pin."""

GapKind = Literal["links", "pin", "end", "spring", "over", "stop", "pins", "head", "nut"]


@dataclass(frozen=True, slots=True)
class Gap:
    """The least gap (mm, 0 where they overlap) of two parts and where in the throw (degrees).

    kind: "links" (one layer), "pin" (a link beside a pin with its spacers), "end" (a link that
    passes the free end of a pin with its ring), "spring" (a spring and a link or spring), "over"
    (a spring and a pin), "stop", "pins" (two pins), "head" or "nut" (that of a screw, and
    anything); a and b are names of parts (that of a pin or a screw is its point), `called` says
    in words what they are.
    """

    kind: GapKind
    a: str
    b: str
    called: tuple[str, str]
    least: float
    where: float


@dataclass(frozen=True, slots=True)
class Part:
    """Something that reaches from `low` to `high` (mm) along the pins, and what to call it."""

    called: str
    low: float
    high: float

    def beside(self, low: float, high: float) -> bool:
        """Whether it overlaps that length along the pins."""
        return self.low < high - _SAME and low < self.high - _SAME


@dataclass(frozen=True, slots=True)
class Solid(Part):
    """With a shape per position (N,)."""

    shapes: Shapes


@dataclass(frozen=True, slots=True)
class Disc(Part):
    """A piece of a pin, or what stands out of a screw's plate, of a radius (mm) about its point.

    end: whether it is of a pin's free end.
    """

    at: str
    radius: float
    end: bool = False


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
        yield from self._screws()
        built = [pin for pin in self.stack.pins if pin.kind != "spring"]
        for one, other in combinations(built, 2):
            yield from self._abreast("pins", self._discs(one), self._discs(other))

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
            met = [disc for disc in self._discs(pin) if disc.beside(*self._span(link))]
            if met:
                ends = all(disc.end for disc in met)
                disc = _widest(met)
                if ends:
                    disc = replace(disc, called=f"the end of {disc.called}")
                kind: GapKind = "end" if ends else "pin"
                yield self._gap(kind, pin.name, link, [(self._solid(disc), self._plate(link))])

    def beside_post(self, post: PinStack) -> Iterator[Gap]:
        """The pin of a spring's end against all others but such as come before it in the stack."""
        before = True
        for pin in self.stack.pins:
            before = before and pin.name != post.name
            if pin.name != post.name and not (before and pin.kind == "spring"):
                yield from self._abreast("pins", self._discs(post), self._discs(pin))

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
        return Solid(f"“{link}”", *self._span(link), self.put.plates[link])

    def _discs(self, pin: PinStack) -> list[Disc]:
        """The pieces of a pin but plates and the coils on a post, which are looked at apart."""
        called = pin.name if pin.kind == "stop" else f"the pin “{pin.name}”"
        apart = ("plate", "spring") if pin.kind == "spring" else ("plate",)
        return [
            Disc(
                *(called, piece.low, piece.high, pin.name),
                pin.diameter / 2.0 * (RING_WIDTH if piece.kind in _RINGED else 1.0),
                piece.kind in ("end", "play"),
            )
            for piece in pin.pieces
            if piece.kind not in apart
        ]

    def _carriers(self, disc: Disc) -> frozenset[str]:
        """The links that a disc keeps its place on."""
        return frozenset({FRAME} if disc.at in self.stops else self.design.links_at(disc.at))

    def _solid(self, disc: Disc) -> Solid:
        if disc.at in self.stops:
            return Solid(disc.called, disc.low, disc.high, self.stops[disc.at])
        shapes = discs(self.put.points[disc.at], disc.radius)
        return Solid(disc.called, disc.low, disc.high, shapes)

    def _abreast(self, kind: GapKind, one: list[Disc], other: list[Disc]) -> Iterator[Gap]:
        """Discs about one point against those about another: the widest that overlap decide."""
        met = [(a, b) for a in one for b in other if a.beside(b.low, b.high)]
        if met and not self._carriers(one[0]) & self._carriers(other[0]):
            a, b = max(met, key=lambda pair: pair[0].radius + pair[1].radius)
            yield self._gap(kind, a.at, b.at, [(self._solid(a), self._solid(b))])

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
        yield Solid(f"“{name}”", span.low, span.high, self.put.springs[name])
        for shapes, (low, high) in zip(self.put.legs.get(name, ()), span.legs, strict=True):
            yield Solid(f"a leg of “{name}”", low, high, shapes)

    def _over(self, solids: tuple[Solid, ...], pin: PinStack) -> Iterator[tuple[Solid, Solid]]:
        for solid in solids:
            met = [disc for disc in self._discs(pin) if solid.beside(disc.low, disc.high)]
            if met:
                yield solid, self._solid(_widest(met))

    def _stops(self) -> Iterator[Gap]:
        for pin in self.stack.pins:
            for shank in pin.of("shank") if pin.kind == "stop" else ():
                solid = Solid(pin.name, shank.low, shank.high, self.stops[pin.name])
                for link in self.put.plates:
                    if link not in (FRAME, self.design.lever) and solid.beside(*self._span(link)):
                        yield self._gap("stop", pin.name, link, [(solid, self._plate(link))])

    def _screws(self) -> Iterator[Gap]:
        """What stands out of screws against other plates, springs, pins and screws."""
        ends = list(screw_ends(self.design, self.stack.layers))
        for index, end in enumerate(ends):
            disc = Disc(end.called, end.low, end.high, end.point, end.radius)
            solid = self._solid(disc)
            for link in self.put.plates:
                if link != end.link and solid.beside(*self._span(link)):
                    yield self._gap(end.kind, end.point, link, [(solid, self._plate(link))])
            for spring in self.design.springs:
                met = [(solid, s) for s in self._spring(spring.name) if solid.beside(s.low, s.high)]
                if met:
                    yield self._gap(end.kind, end.point, spring.name, met)
            for pin in self.stack.pins:
                yield from self._abreast(end.kind, [disc], self._discs(pin))
            for more in ends[index + 1 :]:
                other = Disc(more.called, more.low, more.high, more.point, more.radius)
                yield from self._abreast(end.kind, [disc], [other])


def _widest(some: Iterable[Disc]) -> Disc:
    return max(some, key=lambda disc: disc.radius)
