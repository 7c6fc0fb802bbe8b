"""The lines of the springs, drawn to their length in the pose shown.

Coil springs are seen from the side: the near half of each coil drawn wide, the far half narrow
(the view of ISO 2162-1). Plain coordinates, no drawing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.sketch.shapes import arc, distance, heading, polar
from solver.bars import Line, Place

TURNS = 8


@dataclass(frozen=True, slots=True)
class Coil:
    """A spring's lines: the near halves of its coils, the far halves, and its ends."""

    near: tuple[Line, ...]
    far: tuple[Line, ...]
    ends: tuple[Line, ...]


class _Axis:
    """Places along the line a -> b and square to it."""

    def __init__(self, a: Place, b: Place) -> None:
        self.length = distance(a, b)
        turn = math.radians(heading(a, b))
        self._a, self._cos, self._sin = a, math.cos(turn), math.sin(turn)

    def at(self, along: float, aside: float = 0.0) -> Place:
        x, y = self._a
        return (
            x + along * self._cos - aside * self._sin,
            y + along * self._sin + aside * self._cos,
        )


def compression_coil(a: Place, b: Place, radius: float, turns: int = TURNS) -> Coil:
    """A compression spring between its anchors: closed ends, open coils between them."""
    axis = _Axis(a, b)
    seat = min(0.8 * radius, 0.12 * axis.length)
    first, last = seat, axis.length - seat
    pitch = (last - first) / turns
    near = tuple(
        [axis.at(first + pitch * n, -radius), axis.at(first + pitch * (n + 0.5), radius)]
        for n in range(turns)
    )
    far = tuple(
        [axis.at(first + pitch * (n + 0.5), radius), axis.at(first + pitch * (n + 1), -radius)]
        for n in range(turns)
    )
    ends = (
        [axis.at(0.0), axis.at(first)],
        [axis.at(first, -radius), axis.at(first, radius)],
        [axis.at(last, -radius), axis.at(last, radius)],
        [axis.at(last), axis.at(axis.length)],
    )
    return Coil(near, far, ends)


def extension_coil(a: Place, b: Place, radius: float, turns: int = TURNS) -> Coil:
    """An extension spring between its anchors: a loop at each end, close coils between them."""
    axis = _Axis(a, b)
    loop = min(1.7 * radius, 0.2 * axis.length)
    first, last = loop, axis.length - loop
    pitch = (last - first) / turns
    near = tuple(
        [axis.at(first + pitch * n, -radius), axis.at(first + pitch * (n + 1), radius)]
        for n in range(turns)
    )
    far = tuple(
        [axis.at(first + pitch * (n + 1), radius), axis.at(first + pitch * (n + 1), -radius)]
        for n in range(turns - 1)
    )
    return Coil(
        near, far, (_loop(axis, 0.0, first, -radius), _loop(axis, axis.length, last, radius))
    )


def _loop(axis: _Axis, eye: float, body: float, rim: float) -> Line:
    """From the rim of the body's last coil over an open loop around the anchor in the eye."""
    middle, half = (eye + body) / 2.0, (body - eye) / 2.0
    round_ = [math.radians(step * 15.0) for step in range(21)]
    side = math.copysign(1.0, rim)
    return [
        axis.at(body, rim),
        *(
            axis.at(middle + half * math.cos(turn), -side * abs(half) * math.sin(turn))
            for turn in round_
        ),
    ]


def torsion_coil(
    pivot: Place,
    leg_a: Place,
    leg_b: Place,
    radius: float,
    turns: int = 2,
    way: int = 1,
    beside: tuple[float, float] = (0.0, 0.0),
) -> tuple[Line, Line, Line]:
    """A torsion spring around its pivot: the spiral, and the two legs along their points.

    It runs counter-clockwise from leg A to leg B, or the other way round (`way` -1). Each leg is a
    tangent of the spiral's end and passes its point `beside` it (mm), nearer to the pivot.
    """
    inner = 0.62 * radius
    legs = (
        _tangent(pivot, leg_a, inner, -way, beside[0]),
        _tangent(pivot, leg_b, radius, way, beside[1]),
    )
    start, end = (heading(pivot, leg[0]) for leg in legs)
    sweep = (way * (end - start)) % 360.0 + 360.0 * turns
    count = max(24, math.ceil(sweep / 9.0))
    spiral = [
        polar(
            pivot,
            inner + (radius - inner) * step / count,
            start + way * sweep * step / count,
        )
        for step in range(count + 1)
    ]
    return spiral, *legs


def _tangent(pivot: Place, point: Place, radius: float, side: int, beside: float) -> Line:
    """A leg from a circle around the pivot to just past its point."""
    far, off = max(distance(pivot, point), 1e-9), radius + beside
    along = heading(pivot, point) + side * math.degrees(math.asin(min(off / far, 1.0)))
    foot = polar(pivot, radius, along - 90.0 * side)
    return [foot, polar(foot, math.sqrt(max(far**2 - off**2, 0.0)) + beside, along)]


def curved_arrow(centre: Place, radius: float, positive: bool) -> tuple[Line, Line]:
    """A torque: three quarters of a circle, and the arrow head at its end."""
    start, sweep = (-45.0, 270.0) if positive else (225.0, -270.0)
    shaft = arc(centre, radius, start, start + sweep)
    tip = shaft[-1]
    head = 0.5 * radius
    chord = 90.0 - math.degrees(head / radius) / 2.0  # the head is straight, the shaft is not
    return shaft, arrow_head(tip, start + sweep + math.copysign(chord, sweep), head)


def arrow_head(tip: Place, direction: float, length: float) -> Line:
    """The filled head of an arrow that points in `direction` (degrees): ISO 129's 1 : 3."""
    left = polar(tip, -length, direction - 11.0)
    right = polar(tip, -length, direction + 11.0)
    return [left, tip, right]
