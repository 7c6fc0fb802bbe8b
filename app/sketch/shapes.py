"""Outlines and lines of the parts, as plain coordinates (mm, or any one unit throughout).

No drawing in here: what comes out is handed to a painter, a picture file or a test.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from solver.bars import Line, Place

_CHORD = 6.0
"""Degrees of an arc that one straight piece stands for, at most."""


def distance(a: Place, b: Place) -> float:
    """The distance between two places."""
    return math.hypot(b[0] - a[0], b[1] - a[1])


def heading(a: Place, b: Place) -> float:
    """The direction a -> b, degrees counter-clockwise from +x, in (-180, 180]."""
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def polar(origin: Place, radius: float, degrees: float) -> Place:
    """The place `radius` from `origin` in a direction given in degrees from +x."""
    turn = math.radians(degrees)
    return (origin[0] + radius * math.cos(turn), origin[1] + radius * math.sin(turn))


def nearest_turn(degrees: float, near: float) -> float:
    """`degrees` plus the whole turns that bring it nearest to `near`."""
    return near + math.remainder(degrees - near, 360.0)


def arc(centre: Place, radius: float, start: float, end: float) -> Line:
    """The arc from direction `start` to `end` (degrees), a point every `_CHORD` or less."""
    count = max(2, math.ceil(abs(end - start) / _CHORD) + 1)
    return [
        polar(centre, radius, start + (end - start) * index / (count - 1)) for index in range(count)
    ]


def inside(outline: Sequence[Place], place: Place) -> bool:
    """Whether a place lies inside a closed outline."""
    x, y = place
    hit = False
    x1, y1 = outline[-1] if outline else place
    for x2, y2 in outline:
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            hit = not hit
        x1, y1 = x2, y2
    return hit


def gap_to_segment(place: Place, a: Place, b: Place) -> float:
    """The distance of a place from the straight line piece a-b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    share = 0.0
    if square > 0.0:
        share = ((place[0] - a[0]) * dx + (place[1] - a[1]) * dy) / square
    share = min(max(share, 0.0), 1.0)
    return distance(place, (a[0] + share * dx, a[1] + share * dy))


def bounds(places: Iterable[Place]) -> tuple[float, float, float, float] | None:
    """Least x, least y, greatest x, greatest y; None of nothing."""
    held = list(places)
    if not held:
        return None
    xs, ys = [place[0] for place in held], [place[1] for place in held]
    return (min(xs), min(ys), max(xs), max(ys))


class Rigid:
    """The rigid motion that takes a link from its drawn place to another pose.

    Found from the link's two points that lie farthest apart in the drawn pose; a link of one
    point only is shifted.
    """

    __slots__ = ("cosine", "sine", "x", "y")

    def __init__(self, drawn: Sequence[Place], posed: Sequence[Place]) -> None:
        first = 0
        last = max(range(len(drawn)), key=lambda index: distance(drawn[0], drawn[index]))
        turn = 0.0
        if last != first:
            turn = math.radians(
                heading(posed[first], posed[last]) - heading(drawn[first], drawn[last])
            )
        self.cosine, self.sine = math.cos(turn), math.sin(turn)
        (x, y), (to_x, to_y) = drawn[first], posed[first]
        self.x = to_x - (self.cosine * x - self.sine * y)
        self.y = to_y - (self.sine * x + self.cosine * y)

    def __call__(self, place: Place) -> Place:
        """Where a place fixed to the link goes."""
        x, y = place
        return (
            self.x + self.cosine * x - self.sine * y,
            self.y + self.sine * x + self.cosine * y,
        )

    def back(self, place: Place) -> Place:
        """The drawn place of what is at `place` in the pose."""
        x, y = place[0] - self.x, place[1] - self.y
        return (self.cosine * x + self.sine * y, self.cosine * y - self.sine * x)
