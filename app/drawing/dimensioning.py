"""What a sheet dimensions: every dimension with the key that the builder's choices go by."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from app.drawing.dimension_parts import ARROW
from app.drawing.figures import SheetUnits, angle, length, zero_words
from app.drawing.linkage_view import grip_radius, lever_directions
from app.drawing.metrics import text_width
from app.drawing.model import LEAST_TEXT, Place
from app.drawing.poses import Posed, datum_of, place_of
from solver.model import FRAME, Design, Link, Point, TorsionSpring
from solver.project import Display, Sheet
from solver.stop_pins import StopPin, stop_pins

Group = Literal["throw", "stop", "hole", "link", "spring", "own"]
_FEW = 3
"""Links with no more holes show every distance that fixes them."""
_STRAIGHT = 0.02
"""Holes less far (mm) from a line than this lie on it: no third distance is needed."""


@dataclass(frozen=True, slots=True)
class Distance:
    """A distance between two places of the model (mm); `angle` as in `LinearDimension`."""

    key: str
    title: str
    group: Group
    start: Place
    end: Place
    angle: float | None
    text: str
    shown: bool = True

    @property
    def value(self) -> float:
        """What it measures, mm."""
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        if self.angle is None:
            return math.hypot(dx, dy)
        turn = math.radians(self.angle)
        return abs(dx * math.cos(turn) + dy * math.sin(turn))

    def cramped(self, scale: float) -> bool:
        """Whether the text and its arrows are longer than the line, drawn at a scale."""
        needed = text_width(self.text, LEAST_TEXT) + 2.0 * ARROW
        return scale * self.value < needed


@dataclass(frozen=True, slots=True)
class Sector:
    """An angle counter-clockwise from `start` to `end` (degrees) about a place of the model.

    `radii` are those (mm, model) that its arc may take, the best one first.
    """

    key: str
    title: str
    group: Group
    centre: Place
    start: float
    end: float
    radii: tuple[float, ...]
    text: str
    shown: bool = True


Measure = Distance | Sector


def measures(posed: Posed, sheet: Sheet, display: Display) -> list[Measure]:
    """Everything that can be dimensioned, in the order in which it is placed."""
    units = sheet.units
    found: list[Measure] = [
        *_throw(posed, display),
        *_links(posed.design, units),
        *_springs(posed, units),
        *_own(posed.design, sheet),
        *_holes(posed.design, datum_of(posed.design, sheet.datum), units),
    ]
    once: dict[str, Measure] = {}
    for one in found:
        once.setdefault(one.key, one)
    return list(once.values())


def _throw(posed: Posed, display: Display) -> Iterator[Measure]:
    design, radius = posed.design, grip_radius(posed.design)
    pivot = place_of(design, design.lever_pivot())
    ways = lever_directions(posed)
    low, high = sorted((ways["rest A"], ways["rest B"]))
    text = angle(high - low)
    yield Sector("throw", "Throw", "throw", pivot, low, high, (radius,), text)
    zero = 90.0 if display.angle_from == "upright" else 0.0
    radii = tuple(radius * share for share in (0.42, 0.34, 0.5, 0.27, 0.6, 0.7, 0.8, 0.9))
    for name in ("rest A", "rest B"):
        turn = math.remainder(ways[name] - zero, 360.0)
        start, end = sorted((zero, zero + turn))
        if end - start < 0.005:
            continue
        yield Sector(
            f"stop:{name[-1]}",
            f"Stop at {name}, from {zero_words(display)}",
            "stop",
            pivot,
            start,
            end,
            radii,
            angle(end - start),
        )


def _links(design: Design, units: SheetUnits) -> Iterator[Measure]:
    for link in design.links:
        if link.name != FRAME:
            yield from _link(design, link, units)


def _link(design: Design, link: Link, units: SheetUnits) -> Iterator[Measure]:
    """The distances that fix the holes of a link: from its first one and from the farthest."""
    names = holes_of(design, link)
    if not names:
        return
    pairs = [(names[0], other) for other in names[1:]]
    far = max(names, key=lambda name: _apart(design, names[0], name))
    pairs += [
        (far, name)
        for name in names[1:]
        if name != far and _off_line(design, names[0], far, name) > _STRAIGHT
    ]
    for a, b in pairs:
        start, end = place_of(design, a), place_of(design, b)
        text = length(math.dist(start, end), units)
        key, title = f"link:{link.name}:{a}:{b}", f"{link.name}: {a} to {b}"
        # Of links with many holes the table alone tells the rest: the view would be a thicket.
        shown = a == names[0] or len(names) <= _FEW
        yield Distance(key, title, "link", start, end, None, text, shown)


def holes_of(design: Design, link: Link) -> list[str]:
    """A link's points, the one first that its holes count from: the one on the frame."""
    frame = set(design.links[0].points)
    first = next((name for name in link.points if name in frame), None)
    others = [name for name in link.points if name != first]
    return others if first is None else [first, *others]


def _apart(design: Design, a: str, b: str) -> float:
    return math.dist(place_of(design, a), place_of(design, b))


def _off_line(design: Design, a: str, b: str, point: str) -> float:
    (x1, y1), (x2, y2), (x, y) = (place_of(design, name) for name in (a, b, point))
    size = math.hypot(x2 - x1, y2 - y1)
    if size == 0.0:
        return 0.0
    return abs((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) / size


def _springs(posed: Posed, units: SheetUnits) -> Iterator[Measure]:
    poses = [("rest A", posed.at_a), *reversed(posed.others())]
    for spring in posed.design.springs:
        if isinstance(spring, TorsionSpring):
            yield _legs(posed.design, spring)
            continue
        for name, design in poses:
            start, end = place_of(design, spring.a), place_of(design, spring.b)
            key = f"spring:{spring.name}:{_SHORT[name]}"
            text = f"{name} {length(math.dist(start, end), units)}"
            title = f"{spring.name} at {name}, pin to pin"
            yield Distance(key, title, "spring", start, end, None, text)


_SHORT = {"rest A": "A", "dead centre": "DC", "rest B": "B"}


def _legs(design: Design, spring: TorsionSpring) -> Sector:
    pivot, leg_a, leg_b = (
        place_of(design, name) for name in (spring.pivot, spring.leg_a, spring.leg_b)
    )
    start = math.degrees(math.atan2(leg_a[1] - pivot[1], leg_a[0] - pivot[0]))
    end = start + legs_angle(design, spring)
    reach = min(math.dist(pivot, leg_a), math.dist(pivot, leg_b))
    radii = tuple(reach * share for share in (0.7, 0.55, 0.85, 1.0, 1.2))
    text = f"axis to pins {angle(end - start)}"
    key, title = f"spring:{spring.name}:A", f"{spring.name}, angle of the legs at rest A"
    return Sector(key, title, "spring", pivot, start, end, radii, text)


def legs_angle(design: Design, spring: TorsionSpring) -> float:
    """The angle (degrees, 0 to 360) counter-clockwise from a torsion spring's first leg on."""
    (x, y), *legs = (place_of(design, name) for name in (spring.pivot, spring.leg_a, spring.leg_b))
    first, second = (math.degrees(math.atan2(leg[1] - y, leg[0] - x)) for leg in legs)
    return (second - first) % 360.0


def _own(design: Design, sheet: Sheet) -> Iterator[Measure]:
    """The builder's own dimensions, as far as their points are there."""
    names = {point.name for point in design.points}
    for own in sheet.own_dimensions:
        if own.a not in names or own.b not in names or own.a == own.b:
            continue
        way = {"straight": None, "across": 0.0, "up": 90.0}[own.direction]
        start, end = place_of(design, own.a), place_of(design, own.b)
        made = Distance(
            f"own:{own.a}:{own.b}:{own.direction}",
            f"{own.a} to {own.b}, {own.direction}",
            "own",
            start,
            end,
            way,
            "",
        )
        if made.value > 0.005:
            yield _told(made, sheet.units)


def _told(distance: Distance, units: SheetUnits) -> Distance:
    return Distance(
        *(distance.key, distance.title, distance.group, distance.start, distance.end),
        *(distance.angle, length(distance.value, units), distance.shown),
    )


def _holes(design: Design, datum: str, units: SheetUnits) -> Iterator[Measure]:
    """Holes from the datum, across and up: the frame's are shown, the others can be."""
    zero, frame = place_of(design, datum), set(design.links[0].points)
    # A point that lies over another takes no second dimension unless the builder wants one.
    told: set[tuple[str, float]] = set()
    every: list[Point | StopPin] = [*design.points, *stop_pins(design)]
    for point in every:
        for key, way, words in (("across", 0.0, "across"), ("up", 90.0, "up")):
            made = Distance(
                f"{key}:{point.name}",
                f"{point.name}, {words} from {datum}",
                "hole",
                zero,
                (point.x, point.y),
                way,
                "",
                point.name in frame and (key, _signed(zero, point, way)) not in told,
            )
            if made.value > 0.005:
                if made.shown:
                    told.add((key, _signed(zero, point, way)))
                yield _told(made, units)


def _signed(zero: Place, point: Point | StopPin, way: float) -> float:
    """How far a point lies from the datum across (way 0) or up, to a hundredth of a mm."""
    return round(point.y - zero[1] if way else point.x - zero[0], 2)
