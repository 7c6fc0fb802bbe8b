"""Plates as they are cut: outlines, areas, centroids, second moments and masses.

Everything is in the drawn pose, mm. A link without a plate of its own is as wide as the sketch
draws it, and weighs nothing. Holes are taken as filled when a plate is weighed: the pins in them
weigh about what was cut out.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from solver.bars import (
    CUTTER_STEPS,
    FILLET,
    Arc,
    Line,
    Place,
    bones,
    outline_arcs,
    plate_outline,
)
from solver.materials import plate_mass
from solver.model import FRAME, Design, Link, Pivot, Plate

if TYPE_CHECKING:
    import shapely

_STRAIGHT = math.radians(0.5)
"""Bars that meet at less off a straight line leave no corner to speak of."""


@dataclass(frozen=True, slots=True)
class Section:
    """A flat shape: area (mm²), centroid (mm), polar second moment about the centroid (mm⁴)."""

    area: float
    x: float
    y: float
    polar: float


@dataclass(frozen=True, slots=True)
class PlateMass:
    """What a plate weighs: kg, centroid in the drawn pose (mm), inertia about it (kg·mm²)."""

    mass: float
    x: float
    y: float
    inertia: float


def half_widths(design: Design) -> dict[str, float]:
    """Half the width (mm) of each link's plate.

    Where it is not settled, what the link's largest pin needs, and less if the whole linkage is
    small; the lever is then a little wider than the other links.
    """
    pins = {pivot.point: pivot.pin_diameter for pivot in design.pivots}
    settled = {plate.link: plate.width / 2.0 for plate in design.plates}
    usual, size = Pivot("").pin_diameter, extent(design)
    widths = {}
    for link in design.links:
        pin = max((pins.get(name, usual) for name in link.points), default=usual)
        share = 1.0 if link.name == design.lever else 0.84
        widths[link.name] = settled.get(link.name, share * min(0.9 * pin, 0.042 * size))
    return widths


def extent(design: Design) -> float:
    """The diagonal (mm) of the rectangle around a linkage's points, 1 or more."""
    xs, ys = [point.x for point in design.points], [point.y for point in design.points]
    return max(math.hypot(max(xs) - min(xs), max(ys) - min(ys)), 1.0) if xs else 1.0


def layer_of(design: Design, link: str) -> int:
    """The layer of a link's plate along the pins; the frame's is 0 whatever its plate says."""
    plate = design.plate_of(link)
    return 0 if link == FRAME else 1 if plate is None else plate.layer


def blank(design: Design, link: str, steps: int = CUTTER_STEPS) -> Line:
    """A link's outline before drilling, in the drawn pose: corners in order, closed in thought.

    Empty for a link without points; KeyError for one that there is not.
    """
    plate = design.plate_of(link)
    if plate is not None and plate.outline:
        return list(plate.outline)
    return plate_outline(_places(design, design.link(link)), half_widths(design)[link], steps)


def polygon(design: Design, link: str, steps: int = CUTTER_STEPS) -> shapely.Polygon:
    """The same as a shapely polygon; an empty one where the link has no points."""
    import shapely

    return shapely.Polygon(blank(design, link, steps))


def inner_radius(design: Design, link: str) -> float | None:
    """The radius (mm) of the inner corners of a link's plate, the same at each.

    None where it has no inner corner, or an outline of its own. KeyError for an unknown link.
    """
    plate = design.plate_of(link)
    if plate is not None and plate.outline:
        return None
    half = half_widths(design)[link]
    turns = _turns(_places(design, design.link(link)))
    return FILLET * half if turns > _STRAIGHT else None


def _turns(points: Sequence[Place]) -> float:
    """The greatest angle (rad) at which bars of a plate meet but straight on."""
    ways: dict[Place, list[float]] = {}
    for a, b in bones(points):
        if a != b:
            for one, other in ((a, b), (b, a)):
                way = math.atan2(other[1] - one[1], other[0] - one[0])
                ways.setdefault(one, []).append(way)
    return max(
        (
            math.pi - abs(math.remainder(first - second, math.tau))
            for held in ways.values()
            for first, second in combinations(held, 2)
        ),
        default=0.0,
    )


def section_of(shape: shapely.Polygon) -> Section:
    """Area, centroid and second moment of a polygon, its holes left out. ValueError if empty."""
    import shapely

    rings = [shape.exterior, *shape.interiors]
    parts = [_ring(np.asarray(shapely.get_coordinates(ring))) for ring in rings]
    # Rings may run either way round: what is inside counts, what is in a hole does not.
    signs = [1.0, *(-1.0 for _ in shape.interiors)]
    return _joined(parts, signs)


def plate_weight(design: Design, plate: Plate) -> PlateMass:
    """Mass, centroid and inertia of a link's plate. KeyError for an unknown link or material."""
    places = plate.outline or tuple(_places(design, design.link(plate.link)))
    x0, y0 = places[0]
    # The shape counts, not the place: a link that is only shifted is found in the cache.
    moved = tuple((round(x - x0, 9), round(y - y0, 9)) for x, y in places)
    section = _own_section(moved) if plate.outline else _bar_section(moved, plate.width / 2.0)
    mass = plate_mass(section.area, plate.thickness, plate.material)
    inertia = mass * section.polar / section.area
    return PlateMass(mass, section.x + x0, section.y + y0, inertia)


def middle_of(design: Design, link: str) -> Place:
    """The mean of a link's points in the drawn pose (mm)."""
    places = _places(design, design.link(link))
    return sum(x for x, _ in places) / len(places), sum(y for _, y in places) / len(places)


def _places(design: Design, link: Link) -> list[Place]:
    known = {point.name: (point.x, point.y) for point in design.points}
    return [known[name] for name in link.points if name in known]


@lru_cache(maxsize=512)
def _bar_section(points: tuple[Place, ...], half_width: float) -> Section:
    """Exact for plates of up to three points; else short by 0.03 % of the round ends at most."""
    if arcs := outline_arcs(points, half_width):
        return _arched(arcs)
    return _ring(np.asarray(plate_outline(points, half_width, CUTTER_STEPS)))


def _arched(arcs: Sequence[Arc]) -> Section:
    """The inside of arcs that straight lines join: the polygon of their ends, and their segments.

    Green's theorem for the polygon; area, first and polar second moment of a circle's segment
    about its centre are those of the sector less those of the triangle.
    """
    origin = arcs[0][0]
    ends = [
        end
        for centre, start, turn in arcs
        for end in (centre - origin + start, centre - origin + start * cmath.rect(1.0, turn))
    ]
    area, first, polar = 0.0, 0.0j, 0.0
    for one, other in zip(ends, ends[1:] + ends[:1], strict=True):
        cross = one.real * other.imag - one.imag * other.real
        area += cross / 2.0
        first += cross / 6.0 * (one + other)
        dot = one.real * other.real + one.imag * other.imag
        polar += cross / 12.0 * (abs(one) ** 2 + abs(other) ** 2 + dot)
    for centre, start, turn in arcs:
        off, square = centre - origin, abs(start) ** 2
        sine, cosine = math.sin(turn), math.cos(turn)
        segment = square / 2.0 * (turn - sine)
        along = 2.0 / 3.0 * square * math.sin(turn / 2.0) ** 3 * start * cmath.rect(1.0, turn / 2.0)
        area += segment
        first += segment * off + along
        polar += square * square * (turn / 4.0 - sine * (2.0 + cosine) / 12.0)
        polar += 2.0 * (off.conjugate() * along).real + segment * abs(off) ** 2
    middle = first / area
    return Section(
        area, (middle + origin).real, (middle + origin).imag, polar - area * abs(middle) ** 2
    )


@lru_cache(maxsize=512)
def _own_section(corners: tuple[Place, ...]) -> Section:
    return _ring(np.asarray(corners))


def _ring(corners: NDArray[np.float64]) -> Section:
    """The inside of a closed line (M, 2), whether its first corner is repeated or not.

    Green's theorem, about the first corner so that far-off shapes lose no digits.
    """
    first = corners[0]
    closed = np.zeros((2, len(corners) + 1))
    closed[:, :-1] = (corners - first).T
    (x, y), (next_x, next_y) = closed[:, :-1], closed[:, 1:]
    cross = x * next_y - next_x * y
    area = float(cross.sum()) / 2.0
    if area == 0.0:
        raise ValueError("the shape has no area")
    cx, cy = (float(np.dot(a + b, cross)) / (6.0 * area) for a, b in ((x, next_x), (y, next_y)))
    squares = x * x + x * next_x + next_x * next_x + y * y + y * next_y + next_y * next_y
    about_first = float(np.dot(squares, cross)) / 12.0
    polar = (about_first - area * (cx * cx + cy * cy)) * math.copysign(1.0, area)
    return Section(abs(area), cx + float(first[0]), cy + float(first[1]), polar)


def _joined(parts: Sequence[Section], signs: Sequence[float]) -> Section:
    """Several shapes as one, those with sign -1 cut out; parallel-axis theorem."""
    area = sum(sign * part.area for sign, part in zip(signs, parts, strict=True))
    x = sum(s * p.area * p.x for s, p in zip(signs, parts, strict=True)) / area
    y = sum(s * p.area * p.y for s, p in zip(signs, parts, strict=True)) / area
    polar = sum(
        s * (p.polar + p.area * ((p.x - x) ** 2 + (p.y - y) ** 2))
        for s, p in zip(signs, parts, strict=True)
    )
    return Section(area, x, y, polar)
