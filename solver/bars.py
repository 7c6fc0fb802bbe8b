"""The shape of a plate that is not cut to an own outline: bars with rounded ends.

Plain coordinates, mm or any one unit throughout; the sketch and the workshop share them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

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


def plate_outline(
    points: Sequence[Place], half_width: float, steps: int = SKETCH_STEPS
) -> list[Place]:
    """The outline of a plate that carries all the points.

    Bars with rounded ends and filleted inner corners; closed without repeating the first place,
    in either sense of rotation. `steps` are the chords of a quarter turn.
    """
    bars = [bar for bar in bones(points) if bar[0] != bar[1]]
    if not bars:
        return _arc(points[0], half_width, 0.0, 4 * steps, 2.0)[:-1] if points else []
    if len(bars) == 1:
        return capsule(*bars[0], half_width, steps)
    import shapely  # only plates with three points or more need it

    fillet = FILLET * half_width
    spine = shapely.line_merge(shapely.MultiLineString(bars))  # one line buffers ten times as fast
    body = shapely.buffer(spine, half_width + fillet, quad_segs=steps)
    body = body.buffer(-fillet, quad_segs=steps)
    ring = shapely.get_exterior_ring(body)
    return [(x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist()]


def capsule(a: Place, b: Place, half_width: float, steps: int = SKETCH_STEPS) -> list[Place]:
    """A bar from a to b with round ends."""
    along = math.atan2(b[1] - a[1], b[0] - a[0])
    return [
        *_arc(b, half_width, along - 0.5 * math.pi, 2 * steps),
        *_arc(a, half_width, along + 0.5 * math.pi, 2 * steps),
    ]


def _arc(
    centre: Place, radius: float, start: float, chords: int, half_turns: float = 1.0
) -> list[Place]:
    """The arc counter-clockwise from direction `start` (rad), in so many chords."""
    x, y = centre
    step = half_turns * math.pi / chords
    return [
        (x + radius * math.cos(turn), y + radius * math.sin(turn))
        for turn in (start + step * index for index in range(chords + 1))
    ]
