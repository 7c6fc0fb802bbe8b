"""Dimensions as lines, arrows and text, by ISO 129-1: for whoever cannot draw a dimension."""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.drawing.cutting import cut
from app.drawing.metrics import text_width
from app.drawing.model import (
    LEAST_TEXT,
    Across,
    AngularDimension,
    Arc,
    Circle,
    Dimension,
    Layer,
    Line,
    LinearDimension,
    Place,
    Polyline,
    RadialDimension,
    Text,
)

Part = Line | Polyline | Circle | Arc | Text

ARROW = 2.5
"""Length of an arrow head, mm; a sixth of it to either side: closed, filled, about 20°."""
GAP = 1.0
"""Between a feature and its extension line, mm."""
BEYOND = 1.5
"""What an extension line reaches beyond the dimension line, mm."""
ABOVE = 1.2
"""Between the dimension line and its text, mm: room for the arrow heads under long texts."""

AT_ITS_ARC = 3.0
"""An angle's text farther (mm) from its arc than this has a leader."""


def polar(origin: Place, radius: float, degrees: float) -> Place:
    """The place `radius` from `origin` in a direction (degrees from +x)."""
    turn = math.radians(degrees)
    return (origin[0] + radius * math.cos(turn), origin[1] + radius * math.sin(turn))


def heading(a: Place, b: Place) -> float:
    """The direction a -> b, degrees from +x."""
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def readable(degrees: float) -> float:
    """A direction of writing that reads from below or from the right, in (-89, 91].

    What is upright but for a degree reads alike, whichever way it leans.
    """
    turn = math.remainder(degrees, 180.0)
    return turn + 180.0 if turn <= -89.0 + 1e-9 else turn


def parts_of(dimension: Dimension) -> Iterator[Part]:
    """The lines, arrow heads and text that show a dimension, its lines without its gaps."""
    for part in _whole(dimension):
        if isinstance(part, Text):
            yield part
        else:
            yield from cut(part, dimension.gaps)


def _whole(dimension: Dimension) -> Iterator[Part]:
    if isinstance(dimension, LinearDimension):
        yield from _linear(dimension)
    elif isinstance(dimension, AngularDimension):
        yield from _angular(dimension)
    else:
        yield from _radial(dimension)


def arrow(tip: Place, towards: float, layer: Layer) -> Polyline:
    """A filled arrow head with its tip at a place, pointing in a direction (degrees)."""
    back = polar(tip, ARROW, towards + 180.0)
    half = ARROW / 6.0
    corners = (tip, polar(back, half, towards + 90.0), polar(back, half, towards - 90.0))
    return Polyline(layer, corners, closed=True, filled=True)


def line_ends(dimension: LinearDimension) -> tuple[Place, Place]:
    """Both ends of the dimension line: the measured points, brought onto it."""
    angle = line_angle(dimension)
    along = (math.cos(math.radians(angle)), math.sin(math.radians(angle)))
    x, y = dimension.through

    def onto(place: Place) -> Place:
        share = (place[0] - x) * along[0] + (place[1] - y) * along[1]
        return (x + share * along[0], y + share * along[1])

    return onto(dimension.start), onto(dimension.end)


def line_angle(dimension: LinearDimension) -> float:
    """The direction of the dimension line (degrees)."""
    if dimension.angle is None:
        return heading(dimension.start, dimension.end)
    return dimension.angle


def text_middle(dimension: LinearDimension | AngularDimension) -> Place:
    """The middle of a dimension's text."""
    if dimension.text_at is not None:
        return dimension.text_at
    up = ABOVE + dimension.height / 2.0
    if isinstance(dimension, AngularDimension):
        middle = (dimension.start + dimension.end) / 2.0
        # Its text lies level: at the side of an arc it needs half its width.
        side = abs(math.cos(math.radians(middle)))
        up += side * text_width(dimension.text, dimension.height) / 2.0
        return polar(dimension.centre, dimension.radius + up, middle)
    (x1, y1), (x2, y2) = line_ends(dimension)
    return polar(((x1 + x2) / 2.0, (y1 + y2) / 2.0), up, text_turn(dimension) + 90.0)


def text_turn(dimension: LinearDimension | AngularDimension) -> float:
    """The direction in which a dimension's text is written (degrees)."""
    if isinstance(dimension, AngularDimension):
        return 0.0
    return readable(line_angle(dimension))


def _linear(dimension: LinearDimension) -> Iterator[Part]:
    layer = dimension.layer
    first, second = line_ends(dimension)
    for feature, end in ((dimension.start, first), (dimension.end, second)):
        reach = math.dist(feature, end)
        if reach > GAP:
            away = heading(feature, end)
            yield Line(layer, polar(feature, GAP, away), polar(end, BEYOND, away))
    outward = heading(second, first)
    length = math.dist(first, second)
    if length >= 2.5 * ARROW:
        yield Line(layer, first, second)
        yield arrow(first, outward, layer)
        yield arrow(second, outward + 180.0, layer)
    else:  # no room between: the arrows point inwards from outside
        reach = 2.0 * ARROW
        yield Line(layer, polar(first, reach, outward), polar(second, reach, outward + 180.0))
        yield arrow(first, outward + 180.0, layer)
        yield arrow(second, outward, layer)
    yield from _tie_to_text(dimension, first, second)
    yield text_of(dimension)


def _tie_to_text(dimension: LinearDimension, first: Place, second: Place) -> Iterator[Line]:
    """The dimension line goes on under a text that stands beside it."""
    angle = text_turn(dimension)
    unit = (math.cos(math.radians(angle)), math.sin(math.radians(angle)))
    middle = text_middle(dimension)
    half = text_width(dimension.text, dimension.height) / 2.0

    def along(place: Place) -> float:
        return (place[0] - first[0]) * unit[0] + (place[1] - first[1]) * unit[1]

    low, high = sorted((0.0, along(second)))
    at = along(middle)
    if low - 0.1 <= at - half and at + half <= high + 0.1:
        return
    near, far = (
        (low, min(at - half, low)) if at < (low + high) / 2 else (high, max(at + half, high))
    )
    yield Line(
        dimension.layer,
        (first[0] + near * unit[0], first[1] + near * unit[1]),
        (first[0] + far * unit[0], first[1] + far * unit[1]),
    )


def text_of(dimension: Dimension) -> Text:
    """The text of a dimension."""
    if isinstance(dimension, RadialDimension):
        across: Across = "left" if dimension.text_at[0] >= dimension.centre[0] else "right"
        height, layer = dimension.height, dimension.layer
        return Text(dimension.text, dimension.text_at, height, across, layer=layer)
    return Text(
        dimension.text,
        text_middle(dimension),
        dimension.height,
        "middle",
        "middle",
        text_turn(dimension),
        layer=dimension.layer,
    )


def _angular(dimension: AngularDimension) -> Iterator[Part]:
    layer, centre, radius = dimension.layer, dimension.centre, dimension.radius
    for direction, reach in zip((dimension.start, dimension.end), dimension.reach, strict=True):
        if reach < radius - GAP:
            start, end = (
                polar(centre, reach + GAP, direction),
                polar(centre, radius + BEYOND, direction),
            )
            yield Line(layer, start, end)
    turn = math.degrees(ARROW / radius)
    inside = dimension.value > 2.5 * turn
    spare = 0.0 if inside else 2.0 * turn
    yield Arc(layer, centre, radius, dimension.start - spare, dimension.end + spare)
    # An arrow on an arc follows the chord under it, half its own turn off the tangent.
    lean = turn / 2.0 if inside else -turn / 2.0
    side = -90.0 if inside else 90.0
    yield arrow(polar(centre, radius, dimension.start), dimension.start + side + lean, layer)
    yield arrow(polar(centre, radius, dimension.end), dimension.end - side - lean, layer)
    yield from leader_of(dimension)
    yield text_of(dimension)


def leader_of(dimension: AngularDimension) -> tuple[Line, ...]:
    """The leader from an angle's arc to its text, where that does not stand at the arc."""
    middle, centre = text_middle(dimension), dimension.centre
    turn = math.degrees(ARROW / dimension.radius)
    spare = 0.0 if dimension.value > 2.5 * turn else 2.0 * turn
    low, high = dimension.start - spare, dimension.end + spare
    way = heading(centre, middle)
    way = low + (way - low) % 360.0
    if way > high:  # beside the arc: tied to its nearer end
        way = high if way - high <= low + 360.0 - way else low
    tip = polar(centre, dimension.radius, way)
    half = text_width(dimension.text, dimension.height) / 2.0
    off_x = max(abs(tip[0] - middle[0]) - half, 0.0)
    off_y = max(abs(tip[1] - middle[1]) - dimension.height / 2.0, 0.0)
    if math.hypot(off_x, off_y) <= AT_ITS_ARC:
        return ()
    return leader_lines(dimension.layer, tip, middle, half)


def leader_lines(layer: Layer, tip: Place, middle: Place, half: float) -> tuple[Line, Line]:
    """A line from a place to the near end of a level text, `half` to each side, and under it."""
    under = middle[1] - LEAST_TEXT / 2.0 - 1.0
    left, right = (middle[0] - half, under), (middle[0] + half, under)
    near, far = (left, right) if tip[0] <= middle[0] else (right, left)
    return (Line(layer, tip, near), Line(layer, near, far))


def _radial(dimension: RadialDimension) -> Iterator[Part]:
    layer = dimension.layer
    tip = polar(dimension.centre, dimension.radius, dimension.direction)
    x, y = dimension.text_at
    right = x >= dimension.centre[0]
    width = text_width(dimension.text, dimension.height) * (1.0 if right else -1.0)
    under = y - ABOVE
    yield Line(layer, tip, (x, under))
    yield Line(layer, (x, under), (x + width, under))
    yield arrow(tip, heading((x, under), tip), layer)
    yield text_of(dimension)
