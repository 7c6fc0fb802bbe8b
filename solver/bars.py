"""The shape of a plate that is not cut to an own outline: bars with rounded ends.

Plain coordinates, mm or any one unit throughout; the sketch and the workshop share them.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

Place = tuple[float, float]
"""x and y."""

Line = list[Place]
"""A polyline."""

Bar = tuple[Place, Place]
"""The two ends of a straight bar."""

Arc = tuple[complex, complex, float]
"""Centre, the way from there to where it begins, and its turn (rad, positive to the left)."""

SKETCH_STEPS = 8
"""Chords per quarter turn of a round end on the screen: 0.5 % of the radius off a true circle."""

CUTTER_STEPS = 32
"""The same for what is cut, weighed and measured: 0.03 % of the radius."""

FILLET = 1.5
"""Radius of a plate's inner corners over half its width."""


def bones(points: Sequence[Place]) -> list[Bar]:
    """The shortest set of straight bars that ties all points together (a spanning tree)."""
    if len(points) < 2:
        return []
    tied, free = [points[0]], list(points[1:])
    bars = []
    while free:
        start, end = min(((a, b) for a in tied for b in free), key=lambda pair: math.dist(*pair))
        bars.append((start, end))
        tied.append(end)
        free.remove(end)
    return bars


def runs(points: Sequence[Place]) -> list[list[Place]]:
    """The same bars as lines to walk: the longest first, by its number of points, then branches.

    Each branch starts on a line before it; a single point is a line by itself.
    """
    if len(points) < 2:
        return [list(points)]
    beside: dict[Place, list[Place]] = {point: [] for point in points}
    for a, b in bones(points):
        beside[a].append(b)
        beside[b].append(a)

    def walks(way: list[Place]) -> Iterator[list[Place]]:
        yield way
        for place in beside[way[-1]]:
            if place not in way:
                yield from walks([*way, place])

    found = [max((walk for point in points for walk in walks([point])), key=len)]
    walked = found[0]
    while len(walked) < len(beside):
        branches = (
            walk
            for point in walked
            for place in beside[point]
            if place not in walked
            for walk in walks([point, place])
        )
        found.append(max(branches, key=len))
        walked = [*walked, *found[-1][1:]]
    return found


def plate_outline(
    points: Sequence[Place], half_width: float, steps: int = SKETCH_STEPS
) -> list[Place]:
    """The outline of a plate that carries all the points.

    Bars with rounded ends and filleted inner corners; closed without repeating the first place,
    in either sense of rotation. `steps` are the chords of a quarter turn.
    """
    if not points:
        return []
    bars = _bars(points)
    if arcs := _rounded(bars, points[0], half_width):
        outline = _chords(arcs, steps)
        return outline if bars else outline[:-1]
    import shapely  # only plates with four points or more, or folded ones, need it

    fillet = FILLET * half_width
    spine = shapely.line_merge(shapely.MultiLineString(bars))  # one line buffers ten times as fast
    body = shapely.buffer(spine, half_width + fillet, quad_segs=steps)
    body = body.buffer(-fillet, quad_segs=steps)
    ring = shapely.get_exterior_ring(body)
    return [(x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist()]


def capsule(a: Place, b: Place, half_width: float, steps: int = SKETCH_STEPS) -> list[Place]:
    """A bar from a to b with round ends."""
    return _chords(_capsule((a, b), half_width), steps)


def outline_arcs(points: Sequence[Place], half_width: float) -> list[Arc]:
    """The same outline as its arcs in order, joined by straight lines: exact.

    Nothing where there are no points, or where it is not known in closed form: plates of four
    points or more that do not lie on each other, or folded ones.
    """
    return _rounded(_bars(points), points[0], half_width) if points else []


def _bars(points: Sequence[Place]) -> list[Bar]:
    return [bar for bar in bones(points) if bar[0] != bar[1]]


def _rounded(bars: Sequence[Bar], first: Place, half_width: float) -> list[Arc]:
    """The arcs around up to two bars, or around the first point where there is none."""
    if not bars:
        return [(complex(*first), complex(half_width), math.tau)]
    if len(bars) == 1:
        return _capsule(bars[0], half_width)
    return _elbow(bars[0], bars[1], half_width) if len(bars) == 2 else []


def _capsule(bar: Bar, half_width: float) -> list[Arc]:
    start, end = (complex(*place) for place in bar)
    right = -1j * half_width * _heading(end - start)
    return [(end, right, math.pi), (start, -right, math.pi)]


def _elbow(one: Bar, other: Bar, half_width: float) -> list[Arc]:
    """Two bars that meet at a point, with a fillet in their inner corner, in closed form.

    Nothing where a bar is too short for the fillet to touch it.
    """
    (middle,) = set(one) & set(other)
    knee = complex(*middle)
    first, last = (complex(*(set(bar) - {middle}).pop()) for bar in (one, other))
    inward, outward = _heading(knee - first), _heading(last - knee)
    turn = cmath.phase(outward / inward)
    if turn < 0.0:  # walked from its other end, it turns left
        first, last, inward, outward, turn = last, first, -outward, -inward, -turn
    fillet = FILLET * half_width
    reach = half_width + fillet
    if reach * math.tan(turn / 2.0) > min(abs(knee - first), abs(last - knee)):
        return []
    bisector = 1j * inward * cmath.exp(0.5j * turn)
    centre = knee + bisector * reach / math.cos(turn / 2.0)
    return [
        (knee, -1j * half_width * inward, turn),
        (last, -1j * half_width * outward, math.pi),
        (centre, -1j * fillet * outward, -turn),
        (first, 1j * half_width * inward, math.pi),
    ]


def _heading(along: complex) -> complex:
    """The direction of a vector, of length 1."""
    return along / abs(along)


def _chords(arcs: Sequence[Arc], steps: int) -> list[Place]:
    """The arcs one after the other, in `steps` chords a quarter turn."""
    corners = []
    for centre, start, turn in arcs:
        chords = max(math.ceil(abs(turn) * 2.0 * steps / math.pi - 1e-9), 1)
        corners += [centre + start * way for way in _fan(turn, chords)]
    return [(corner.real, corner.imag) for corner in corners]


@lru_cache(maxsize=64)
def _fan(turn: float, chords: int) -> tuple[complex, ...]:
    """Directions from 1 on, evenly through a turn (rad); most arcs are half turns."""
    return tuple(cmath.rect(1.0, turn * index / chords) for index in range(chords + 1))
