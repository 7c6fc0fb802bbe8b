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

SKETCH_STEPS = 8
"""Chords per quarter turn of a round end on the screen: 0.5 % of the radius off a true circle."""

CUTTER_STEPS = 32
"""The same for what is cut, weighed and measured: 0.03 % of the radius."""

FILLET = 1.5
"""Radius of a plate's inner corners over half its width."""


def bones(points: Sequence[Place]) -> list[tuple[Place, Place]]:
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
    bars = [bar for bar in bones(points) if bar[0] != bar[1]]
    if not bars:
        return (
            _places(_arc(complex(*points[0]), complex(half_width), math.tau, steps)[:-1])
            if points
            else []
        )
    if len(bars) == 1:
        return capsule(*bars[0], half_width, steps)
    if len(bars) == 2 and (outline := _elbow(bars[0], bars[1], half_width, steps)):
        return outline
    import shapely  # only plates with four points or more, or folded ones, need it

    fillet = FILLET * half_width
    spine = shapely.line_merge(shapely.MultiLineString(bars))  # one line buffers ten times as fast
    body = shapely.buffer(spine, half_width + fillet, quad_segs=steps)
    body = body.buffer(-fillet, quad_segs=steps)
    ring = shapely.get_exterior_ring(body)
    return [(x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist()]


def capsule(a: Place, b: Place, half_width: float, steps: int = SKETCH_STEPS) -> list[Place]:
    """A bar from a to b with round ends."""
    start, end = complex(*a), complex(*b)
    right = -1j * half_width * _heading(end - start)
    return _places(_arc(end, right, math.pi, steps) + _arc(start, -right, math.pi, steps))


def _elbow(
    one: tuple[Place, Place], other: tuple[Place, Place], half_width: float, steps: int
) -> list[Place]:
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
    return _places(
        _arc(knee, -1j * half_width * inward, turn, steps)
        + _arc(last, -1j * half_width * outward, math.pi, steps)
        + _arc(centre, -1j * fillet * outward, -turn, steps)
        + _arc(first, 1j * half_width * inward, math.pi, steps)
    )


def _heading(along: complex) -> complex:
    """The direction of a vector, of length 1."""
    return along / abs(along)


def _places(corners: Sequence[complex]) -> list[Place]:
    return [(corner.real, corner.imag) for corner in corners]


def _arc(centre: complex, start: complex, turn: float, steps: int) -> list[complex]:
    """The arc that begins at centre + start and turns on, in `steps` chords a quarter turn."""
    chords = max(math.ceil(abs(turn) * 2.0 * steps / math.pi - 1e-9), 1)
    return [centre + start * way for way in _fan(turn, chords)]


@lru_cache(maxsize=64)
def _fan(turn: float, chords: int) -> tuple[complex, ...]:
    """Directions from 1 on, evenly through a turn (rad); most arcs are half turns."""
    return tuple(cmath.rect(1.0, turn * index / chords) for index in range(chords + 1))
