"""Lines interrupted at texts: what is left of a line outside some quadrilaterals."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from app.drawing.model import Arc, Circle, Corners, Line, Place, Polyline

Stroke = Line | Polyline | Circle | Arc

_LEAST = 0.05
"""Shorter pieces (mm) that would be left of a line are left out."""
_ROUND = 360.0


def cut(stroke: Stroke, gaps: Sequence[Corners]) -> Iterator[Stroke]:
    """What is left of a line, arc or circle outside the gaps; solid shapes stay whole."""
    if not gaps or (isinstance(stroke, Polyline | Circle) and stroke.filled):
        yield stroke
    elif isinstance(stroke, Line):
        for start, end in _pieces(stroke.start, stroke.end, gaps):
            yield Line(stroke.layer, start, end)
    elif isinstance(stroke, Polyline):
        yield from _cut_polyline(stroke, gaps)
    else:
        yield from _cut_round(stroke, gaps)


def _cut_polyline(stroke: Polyline, gaps: Sequence[Corners]) -> Iterator[Polyline]:
    places = (*stroke.points, stroke.points[0]) if stroke.closed else stroke.points
    chains: list[list[Place]] = []
    for a, b in pairwise(places):
        for start, end in _pieces(a, b, gaps):
            if chains and chains[-1][-1] == start:
                chains[-1].append(end)
            else:
                chains.append([start, end])
    if len(chains) == 1 and len(chains[0]) == len(places):
        yield stroke
        return
    if stroke.closed and len(chains) > 1 and chains[-1][-1] == chains[0][0]:
        chains[0] = [*chains.pop(), *chains[0][1:]]
    for chain in chains:
        yield Polyline(stroke.layer, tuple(chain))


def _pieces(a: Place, b: Place, gaps: Sequence[Corners]) -> Iterator[tuple[Place, Place]]:
    """The parts of a straight line outside the gaps; a whole one keeps its very ends."""
    inside = [found for gap in gaps if (found := _within(a, b, gap)) is not None]
    length = math.dist(a, b)
    at = 0.0
    for low, high in (*sorted(inside), (1.0, 1.0)):
        if (low - at) * length > _LEAST or (not inside and length > 0.0):
            start = a if at == 0.0 else _between(a, b, at)
            yield start, b if low == 1.0 else _between(a, b, low)
        at = max(at, high)


def _between(a: Place, b: Place, share: float) -> Place:
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def _within(a: Place, b: Place, gap: Corners) -> tuple[float, float] | None:
    """The shares of the way a -> b at which it enters and leaves a gap; None where it does not."""
    low, high = 0.0, 1.0
    for near, far in _edges(gap):
        # Positive where the place is on the inner, left side of the edge.
        first, second = _left_of(near, far, a), _left_of(near, far, b)
        if first < 0.0 and second < 0.0:
            return None
        if first < 0.0 or second < 0.0:
            share = first / (first - second)
            low, high = (max(low, share), high) if first < 0.0 else (low, min(high, share))
    return (low, high) if high > low else None


def _edges(gap: Corners) -> Iterator[tuple[Place, Place]]:
    yield from pairwise((*gap, gap[0]))


def _left_of(near: Place, far: Place, place: Place) -> float:
    return (far[0] - near[0]) * (place[1] - near[1]) - (far[1] - near[1]) * (place[0] - near[0])


def _cut_round(stroke: Circle | Arc, gaps: Sequence[Corners]) -> Iterator[Circle | Arc]:
    start, end = (stroke.start, stroke.end) if isinstance(stroke, Arc) else (0.0, _ROUND)
    turns = sorted({start, end, *_crossings(stroke, start, end, gaps)})
    kept: list[tuple[float, float]] = []
    for low, high in pairwise(turns):
        if any(_holds(gap, _on(stroke, (low + high) / 2.0)) for gap in gaps):
            continue
        if kept and kept[-1][1] == low:
            kept[-1] = (kept[-1][0], high)
        else:
            kept.append((low, high))
    if kept == [(start, end)]:
        yield stroke
        return
    if len(kept) > 1 and end - start >= _ROUND and kept[0][0] == start and kept[-1][1] == end:
        kept[0] = (kept.pop()[0] - _ROUND, kept[0][1])
    for low, high in kept:
        if math.radians(high - low) * stroke.radius > _LEAST:
            yield Arc(stroke.layer, stroke.centre, stroke.radius, low, high)


def _on(stroke: Circle | Arc, turn: float) -> Place:
    way = math.radians(turn)
    x, y = stroke.centre
    return (x + stroke.radius * math.cos(way), y + stroke.radius * math.sin(way))


def _holds(gap: Corners, place: Place) -> bool:
    return all(_left_of(near, far, place) >= 0.0 for near, far in _edges(gap))


def _crossings(
    stroke: Circle | Arc, start: float, end: float, gaps: Sequence[Corners]
) -> Iterator[float]:
    """The directions from `start` to `end` (degrees) in which a circle meets the gaps' edges."""
    cx, cy = stroke.centre
    for gap in gaps:
        for (x1, y1), (x2, y2) in _edges(gap):
            dx, dy, fx, fy = x2 - x1, y2 - y1, x1 - cx, y1 - cy
            a, half_b = dx * dx + dy * dy, fx * dx + fy * dy
            root = half_b * half_b - a * (fx * fx + fy * fy - stroke.radius**2)
            if a == 0.0 or root < 0.0:
                continue
            for sign in (-1.0, 1.0):
                share = (-half_b + sign * math.sqrt(root)) / a
                turn = math.degrees(math.atan2(fy + share * dy, fx + share * dx))
                turn = start + (turn - start) % _ROUND
                if 0.0 <= share <= 1.0 and turn < end:
                    yield turn
