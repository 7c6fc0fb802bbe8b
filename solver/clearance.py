"""Does anything touch anything over the throw, and can a finger get caught?

Plates collide where they share a layer; pins pass through the layers between the links that
they join; a stop pin rises from the frame to the lever. A spring is a rectangle as wide as its
coil, in the layers above the plates on its ends (see `spring_room`). Links without a plate are
not looked at.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from itertools import combinations

import numpy as np
import shapely

from solver.model import FRAME, CompressionSpring, Design, ExtensionSpring, TorsionSpring
from solver.outlines import layer_of
from solver.pinch import KNOB, pinch_remarks
from solver.project import Display
from solver.remark import Remark
from solver.safe_gaps import FINGER
from solver.screw_room import screw_remarks
from solver.spring_room import coil_remarks, spring_notes
from solver.stack import WASHER, coil_width, jointed, pin_layers, pinned_links, spring_layer, stack
from solver.stop_pins import stop_pins
from solver.sweep_shapes import Pieces, Shapes, discs, pieces
from solver.units import show

NARROW = 1.0
"""mm; a gap between parts of one layer that is less gets a caution. Our own choice."""


@dataclass(frozen=True, slots=True)
class Gap:
    """The least gap (mm, 0 where they overlap) of two parts and where in the throw (degrees).

    kind: "links" (one layer), "pin", "spring" or "stop"; a and b are names of parts (that of a
    pin is its point), `called` says in words what they are.
    """

    kind: str
    a: str
    b: str
    called: tuple[str, str]
    least: float
    where: float


@dataclass(frozen=True, slots=True)
class Clearance:
    """What was found: gaps from the least up, remarks (serious first), swept outlines, notes.

    swept: what each link's plate covers over the throw, mm; notes: what was assumed or left out.
    """

    gaps: tuple[Gap, ...]
    remarks: tuple[Remark, ...]
    swept: Mapping[str, shapely.Geometry]
    notes: tuple[str, ...]

    @property
    def least(self) -> Gap | None:
        """The narrowest gap; None where no two parts could meet."""
        return self.gaps[0] if self.gaps else None

    @property
    def free(self) -> bool:
        """Whether nothing touches anything."""
        return not any(remark.serious for remark in self.remarks)


def clearance(design: Design, positions: int = 91, display: Display | None = None) -> Clearance:
    """Look at a design in `positions` places of its throw.

    Raises DesignProblem as `analyse` does where the linkage cannot be solved.
    """
    shown = display or Display()
    put = pieces(design, positions)
    look = _Look(put, shown, _stop_shapes(design))
    gaps = sorted(look.gaps(), key=lambda gap: gap.least)
    remarks = [
        *look.shared_layers(),
        *(remark for gap in gaps if (remark := look.remark(gap)) is not None),
        *look.pin_ends(),
        *look.posts(),
        *look.under_springs(),
        *screw_remarks(put, shown),
        *coil_remarks(design, shown),
        *look.slots(),
        *pinch_remarks(put, look.stops, shown),
    ]
    remarks.sort(key=lambda remark: not remark.serious)
    swept = {link: shapely.union_all(shapes) for link, shapes in put.plates.items()}
    return Clearance(tuple(gaps), tuple(remarks), swept, tuple(_notes(design, shown)))


def row_remarks(
    design: Design, levers: int, pitch: float, display: Display | None = None
) -> tuple[Remark, ...]:
    """Whether several of the same linkage fit beside each other at a pitch (mm) along the shaft.

    A neighbour begins where the other ends, washer between; a finger between two knobs needs the
    gap of ISO 13854.
    """
    if levers < 2:
        return ()
    shown = display or Display()
    say = partial(show, quantity="length", display=shown)
    deep = stack(design).total + WASHER
    found = []
    if pitch < deep:
        found.append(
            Remark(
                "row",
                True,
                (),
                f"Levers at a pitch of {say(pitch)} do not fit beside each other: one is "
                f"{say(deep)} deep with its pins and springs. Make the pitch {say(deep)} or more.",
                pitch - deep,
            )
        )
    room = pitch - KNOB
    if room < FINGER:
        found.append(
            Remark(
                "row",
                False,
                (design.grip,),
                f"Between two knobs of {say(KNOB)} there are {say(max(room, 0.0))}; a finger "
                f"needs {say(FINGER)} (ISO 13854): a pitch of {say(KNOB + FINGER)} gives it.",
                room,
            )
        )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Look:
    put: Pieces
    display: Display
    stops: Mapping[str, Shapes]

    @property
    def design(self) -> Design:
        return self.put.design

    def gaps(self) -> Iterator[Gap]:
        yield from self._links()
        yield from self._pins()
        yield from self._springs()
        yield from self._stops()

    def _gap(self, kind: str, a: str, b: str, one: Shapes, other: Shapes, pins: str = "") -> Gap:
        """The gap of two parts, `pins` the one of them that is a pin at a point."""
        apart = shapely.distance(one, other)
        at = int(np.argmin(apart))
        called = tuple(
            f"the pin “{part}”" if part == pins else part if part in self.stops else f"“{part}”"
            for part in (a, b)
        )
        least, where = float(apart[at]), float(self.put.travel[at])
        return Gap(kind, a, b, (called[0], called[1]), least, where)

    def _layer(self, link: str) -> int:
        return layer_of(self.design, link)

    def _pairs(self) -> Iterator[tuple[str, str]]:
        for a, b in combinations(self.put.plates, 2):
            if self._layer(a) == self._layer(b):
                yield a, b

    def _joined(self, a: str, b: str) -> bool:
        return any({a, b} <= set(pinned_links(self.design, p)) for p in jointed(self.design))

    def _links(self) -> Iterator[Gap]:
        for a, b in self._pairs():
            if not self._joined(a, b):
                yield self._gap("links", a, b, self.put.plates[a], self.put.plates[b])

    def shared_layers(self) -> Iterator[Remark]:
        for a, b in self._pairs():
            if self._joined(a, b):
                yield Remark(
                    "collision",
                    True,
                    (a, b),
                    f"“{a}” and “{b}” are pinned together and lie in one layer "
                    f"({self._layer(a)}): put one of them into another.",
                )

    def _pins(self) -> Iterator[Gap]:
        """Pins, with their spacers, against the links that lie between those they join."""
        for point in jointed(self.design):
            low, high = pin_layers(self.design, point)
            inside = [link for link in self._others(point) if low < self._layer(link) < high]
            if inside:
                pin = discs(self.put.points[point], self.design.pivot_at(point).pin_diameter)
                for link in inside:
                    yield self._gap("pin", point, link, pin, self.put.plates[link], point)

    def _others(self, point: str) -> list[str]:
        own = pinned_links(self.design, point)
        return [link for link in self.put.plates if link not in own]

    def pin_ends(self) -> Iterator[Remark]:
        """Links that sweep right over the end of a pin."""
        for point in jointed(self.design):
            low, high = pin_layers(self.design, point)
            over = [
                link
                for link in self._others(point)
                if link != FRAME and self._layer(link) in (low - 1, high + 1)
            ]
            if not over:
                continue
            radius = self.design.pivot_at(point).pin_diameter / 2.0 + 2.0
            end = discs(self.put.points[point], radius)
            for link in over:
                gap = self._gap("pin", point, link, end, self.put.plates[link])
                if gap.least <= 0.0:
                    yield Remark(
                        "pin",
                        False,
                        (point, link),
                        f"“{link}” passes right over the end of the pin “{point}”, "
                        f"{self._at(gap)}: sink its head, or leave a layer free between them.",
                        where=gap.where,
                    )

    def _straight(self) -> list[CompressionSpring | ExtensionSpring]:
        return [s for s in self.design.springs if not isinstance(s, TorsionSpring)]

    def posts(self) -> Iterator[Remark]:
        """Links that sweep through the post of a spring anchor, which stands up to the spring."""
        for spring in self._straight():
            top = spring_layer(self.design, spring)
            for point in sorted({spring.a, spring.b} - set(jointed(self.design))):
                foot = layer_of(self.design, self.design.links_at(point)[0])
                post = discs(self.put.points[point], max(spring.end_pin_diameter, 1.0) / 2.0)
                for link in self._others(point):
                    if not foot < self._layer(link) < top:
                        continue
                    gap = self._gap("pin", point, link, post, self.put.plates[link])
                    if gap.least <= 0.0:
                        yield Remark(
                            "pin",
                            False,
                            (point, link),
                            f"“{link}” sweeps over “{point}”, {self._at(gap)}: a post for "
                            f"“{spring.name}” cannot stand there. Hang that end from a bracket "
                            "that reaches over, or move it.",
                            where=gap.where,
                        )

    def under_springs(self) -> Iterator[Remark]:
        """Pins whose ends stand up where a spring passes right over them."""
        for spring in self._straight():
            below = spring_layer(self.design, spring) - 1
            for point in sorted(set(jointed(self.design)) - {spring.a, spring.b}):
                if pin_layers(self.design, point)[1] != below:
                    continue
                end = discs(self.put.points[point], self.design.pivot_at(point).pin_diameter / 2.0)
                gap = self._gap("spring", spring.name, point, self.put.springs[spring.name], end)
                if gap.least <= 0.0:
                    yield Remark(
                        "spring",
                        False,
                        (spring.name, point),
                        f"“{spring.name}” passes right over the end of the pin “{point}”, "
                        f"{self._at(gap)}: keep that end flush, or raise the spring.",
                        where=gap.where,
                    )

    def _springs(self) -> Iterator[Gap]:
        straight = self._straight()
        for spring in straight:
            low = spring_layer(self.design, spring)
            thick = max((plate.thickness for plate in self.design.plates), default=5.0) + WASHER
            high = low + math.ceil(coil_width(spring) / thick) - 1
            coil = self.put.springs[spring.name]
            for link, shapes in self.put.plates.items():
                if low <= self._layer(link) <= high:
                    yield self._gap("spring", spring.name, link, coil, shapes)
            for point in jointed(self.design):
                if point not in (spring.a, spring.b) and pin_layers(self.design, point)[1] >= low:
                    radius = self.design.pivot_at(point).pin_diameter / 2.0
                    pin = discs(self.put.points[point], radius)
                    yield self._gap("spring", spring.name, point, coil, pin, point)
        for one, other in combinations(straight, 2):
            if abs(spring_layer(self.design, one) - spring_layer(self.design, other)) < 2:
                a, b = one.name, other.name
                yield self._gap("spring", a, b, self.put.springs[a], self.put.springs[b])

    def _stops(self) -> Iterator[Gap]:
        top = self._layer(self.design.lever)
        for name, pin in self.stops.items():
            for link, shapes in self.put.plates.items():
                if link not in (FRAME, self.design.lever) and 0 < self._layer(link) <= top:
                    yield self._gap("stop", name, link, pin, shapes)

    def slots(self) -> Iterator[Remark]:
        """Sliders whose pin leaves the slot that its two ends mark."""
        for slider in self.design.sliders:
            pin, a, b = (self.put.points[p] for p in (slider.point, *slider.along))
            reach = np.abs(b - a)
            along = ((pin - a) * (b - a).conj()).real / reach
            out = np.maximum(-along, along - reach)
            at = int(np.argmax(out))
            if out[at] > 1e-6:
                where = float(self.put.travel[at])
                yield Remark(
                    "slot",
                    True,
                    (slider.name, slider.point),
                    f"The pin “{slider.point}” runs {self._say(float(out[at]))} past the end of "
                    f"its slot, {self._travel(where)}: move the end that it passes.",
                    -float(out[at]),
                    where,
                )

    def remark(self, gap: Gap) -> Remark | None:
        """What to say of a gap; None where there is room enough."""
        if gap.least >= NARROW:
            return None
        kind = "collision" if gap.kind == "links" else gap.kind
        touch = gap.least <= 0.0
        having = "touch" if touch else f"are only {self._say(gap.least)} apart"
        one, other = gap.called
        one = one[:1].upper() + one[1:]
        sentence = f"{one} and {other} {having}, {self._at(gap)}: {_CURES[gap.kind]}."
        return Remark(kind, touch, (gap.a, gap.b), sentence, gap.least, gap.where)

    def _at(self, gap: Gap) -> str:
        return self._travel(gap.where)

    def _travel(self, travel: float) -> str:
        return f"{show(travel, 'angle', self.display)} from rest A"

    def _say(self, length: float) -> str:
        return show(length, "length", self.display)


_CURES: Mapping[str, str] = {
    "links": "put one into another layer, or make it narrower",
    "pin": "move the link out of the layers that the pin goes through",
    "spring": "move an anchor, or put the link below the spring",
    "stop": "stop the lever at another place, or put the link above it",
}


def _stop_shapes(design: Design) -> dict[str, Shapes]:
    return {
        pin.name: discs(np.array([complex(pin.x, pin.y)]), pin.diameter / 2.0)
        for pin in stop_pins(design)
    }


def _notes(design: Design, display: Display) -> Iterator[str]:
    bare = [link.name for link in design.links if design.plate_of(link.name) is None]
    if bare:
        names = ", ".join(f"“{name}”" for name in bare)
        yield f"Not looked at, for they have no plate: {names}."
    yield from spring_notes(design, display)
    if design.weights:
        yield "The room that weights take is not looked at: their size is free."
    yield (
        "The stops are taken to be pins in the frame that the lever leans against with its edge."
    )
