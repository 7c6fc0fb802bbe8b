"""Frame, pins, sliders, stops and loads, by the symbols of ISO 3952 where it has one."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtGui import QColor

from app.sketch.coils import arrow_head, curved_arrow
from app.sketch.shapes import distance, heading, polar
from app.sketch.sheet import NARROW, WIDE, Sheet
from solver.bars import Line, Place, bones, capsule
from solver.model import Force, Gravity

HATCH = 6.0
"""Pixels between hatch strokes, and their depth."""
_OVER = 10.0
"""Pixels that the ground reaches out beyond the bracket of a pivot."""


def hatched_line(start: Place, end: Place, gap: float = HATCH) -> list[Line]:
    """A line with hatching on its right-hand side (pixels, seen along start -> end, y down)."""
    length = distance(start, end)
    count = max(2, int(length / gap))
    ux, uy = ((end[0] - start[0]) / length, (end[1] - start[1]) / length) if length else (1.0, 0.0)
    strokes: list[Line] = []
    for index in range(count):
        along = length * (index + 0.75) / count
        x, y = start[0] + ux * along, start[1] + uy * along
        strokes.append([(x, y), (x - (ux + uy) * gap * 0.9, y + (ux - uy) * gap * 0.9)])
    return strokes


def draw_frame_pivot(sheet: Sheet, place: Place, cover: float) -> None:
    """The bracket and the hatched ground under a pivot on the frame.

    `cover` is the half width (pixels) of what lies on it; the ground shows on both sides.
    """
    x, y = sheet.pixels(place)
    unit = sheet.unit
    (left, base), (right, _) = pivot_ground((x, y), cover, unit)
    over = _OVER * unit
    sheet.fill(sheet.theme.paper, sheet.theme.frame, WIDE)
    sheet.shape([(left + over, base), (x, y - 2.0 * unit), (right - over, base)])
    _ground(sheet, x, base, (right - left) / 2.0)


def pivot_ground(at: Place, cover: float, unit: float) -> tuple[Place, Place]:
    """The ends of the ground line under a pivot on the frame, pixels."""
    x, y = at
    half = max(11.0 * unit, 1.3 * cover + 4.0 * unit) + _OVER * unit
    base = y + max(17.0 * unit, cover + 4.0 * unit)
    return (x - half, base), (x + half, base)


def draw_frame_anchor(sheet: Sheet, place: Place) -> None:
    """The short hatched ground under a point fixed to the frame."""
    x, y = sheet.pixels(place)
    unit = sheet.unit
    sheet.stroke(sheet.theme.frame, WIDE)
    sheet.strokes([[(x, y), (x, y + 8.0 * unit)]])
    _ground(sheet, x, y + 8.0 * unit, 11.0 * unit)


def _ground(sheet: Sheet, x: float, y: float, half: float) -> None:
    start, end = (x - half, y), (x + half, y)
    sheet.stroke(sheet.theme.frame, WIDE)
    sheet.strokes([[start, end]])
    sheet.stroke(sheet.theme.frame, NARROW)
    sheet.strokes(hatched_line(start, end, HATCH * sheet.unit))


def draw_rails(sheet: Sheet, a: Place, b: Place, half: float) -> None:
    """The guide of a slider on the frame: two rails, hatched outside; `half` apart, pixels."""
    start, end = sheet.pixels(a), sheet.pixels(b)
    along = heading(start, end)
    for side in (-90.0, 90.0):
        ends = polar(start, half, along + side), polar(end, half, along + side)
        rail = ends if side > 0.0 else ends[::-1]
        sheet.stroke(sheet.theme.frame, WIDE)
        sheet.strokes([list(rail)])
        sheet.stroke(sheet.theme.frame, NARROW)
        sheet.strokes(hatched_line(*rail, HATCH * sheet.unit))


def draw_slot(sheet: Sheet, a: Place, b: Place, half: float) -> None:
    """The guide of a slider in a moving link: a slot through its plate."""
    sheet.stroke(sheet.theme.plate_edge, WIDE)
    sheet.closed(capsule(sheet.pixels(a), sheet.pixels(b), half), sheet.theme.paper)


def draw_block(sheet: Sheet, pin: Place, a: Place, b: Place, half: float) -> None:
    """The block of a slider around its pin, in line with the guide; `half` high, pixels."""
    centre, length = sheet.pixels(pin), 1.7 * half
    along = heading(sheet.pixels(a), sheet.pixels(b))
    corners = [
        polar(polar(centre, length, along + turn), half - 1.0, along + side)
        for turn, side in ((0.0, 90.0), (0.0, -90.0), (180.0, -90.0), (180.0, 90.0))
    ]
    sheet.fill(sheet.theme.plate, sheet.theme.plate_edge, WIDE)
    sheet.shape(corners)


def draw_pin(sheet: Sheet, place: Place, radius: float, colour: QColor) -> None:
    """A pivot: an open circle."""
    sheet.fill(sheet.theme.paper, colour, WIDE)
    sheet.circle(place, radius)


def draw_dot(sheet: Sheet, place: Place, colour: QColor) -> None:
    """A point that is no pivot: a small ringed dot."""
    sheet.fill(sheet.theme.paper, colour, NARROW)
    sheet.circle(place, 3.6 * sheet.unit)
    sheet.fill(colour)
    sheet.circle(place, 1.6 * sheet.unit)


def draw_screw(sheet: Sheet, place: Place, hole: float, washer: float, colour: QColor) -> None:
    """A screw's hole with its washer around it, on centre lines; radii in pixels."""
    sheet.fill(sheet.theme.paper, colour, NARROW)
    sheet.circle(place, washer)
    sheet.stroke(colour, WIDE)
    sheet.circle(place, hole)
    x, y = sheet.pixels(place)
    arm = washer + 4.0 * sheet.unit
    sheet.stroke(colour, NARROW)
    sheet.strokes([[(x - arm, y), (x + arm, y)], [(x, y - arm), (x, y + arm)]])


def draw_grip(sheet: Sheet, place: Place, radius: float, fill: QColor, edge: QColor) -> None:
    """The knob where the hand pushes, with its centre marked."""
    sheet.fill(fill, edge, WIDE)
    sheet.circle(place, radius)
    sheet.stroke(edge, NARROW)
    x, y = sheet.pixels(place)
    arm = 0.45 * radius
    sheet.strokes([[(x - arm, y), (x + arm, y)], [(x, y - arm), (x, y + arm)]])


def draw_output_mark(sheet: Sheet, place: Place, radius: float) -> None:
    """Four ticks around a point whose travel is read."""
    x, y = sheet.pixels(place)
    near, far = radius + 2.5, radius + 7.0
    sheet.stroke(sheet.theme.accent, WIDE)
    sheet.strokes(
        [(x + near * dx, y + near * dy), (x + far * dx, y + far * dy)]
        for dx, dy in ((0.7, 0.7), (-0.7, 0.7), (-0.7, -0.7), (0.7, -0.7))
    )


def draw_stop(sheet: Sheet, place: Place, outward: float, colour: QColor) -> None:
    """A stop: a hatched face that the lever rests against; `outward` points into the stop."""
    x, y = sheet.pixels(place)
    down = -outward  # pixels count y downwards
    half = 13.0 * sheet.unit
    start, end = polar((x, y), half, down - 90.0), polar((x, y), half, down + 90.0)
    sheet.stroke(colour, 1.5 * WIDE)
    sheet.strokes([[start, end]])
    sheet.stroke(colour, NARROW)
    sheet.strokes(hatched_line(end, start, HATCH * sheet.unit))


def draw_weight(sheet: Sheet, place: Place, gravity: Gravity, colour: QColor) -> None:
    """A mass hung from its point along the pull of gravity."""
    unit = sheet.unit
    down = -gravity.direction
    top = polar(sheet.pixels(place), 13.0 * unit, down)
    bottom = polar(top, 15.0 * unit, down)
    sheet.stroke(colour, NARROW)
    sheet.strokes([[sheet.pixels(place), top]])
    sheet.fill(sheet.theme.plate, colour, WIDE)
    sheet.shape(
        [
            polar(top, 5.0 * unit, down + 90.0),
            polar(bottom, 9.0 * unit, down + 90.0),
            polar(bottom, 9.0 * unit, down - 90.0),
            polar(top, 5.0 * unit, down - 90.0),
        ]
    )


def weight_centre(place: Place, gravity: Gravity, scale: float, unit: float) -> Place:
    """The middle of the drawn mass, a world place."""
    return polar(place, 21.0 * unit / scale, gravity.direction)


def draw_force(sheet: Sheet, place: Place, force: Force, colour: QColor) -> None:
    """A steady force: an arrow from its point in the force's direction."""
    tip = sheet.pixels(force_tip(place, force, sheet.scale, sheet.unit))
    start = sheet.pixels(place)
    sheet.stroke(colour, WIDE)
    sheet.strokes([[start, tip]])
    sheet.fill(colour)
    sheet.shape(arrow_head(tip, heading(start, tip), 13.0 * sheet.unit))


def force_tip(place: Place, force: Force, scale: float, unit: float) -> Place:
    """The point of a force's arrow, a world place."""
    direction = math.degrees(math.atan2(force.y, force.x))
    return polar(place, 46.0 * unit / scale, direction)


def draw_torque(sheet: Sheet, centre: Place, positive: bool, colour: QColor) -> None:
    """A steady torque: an arrow round the middle of its link, in its sense of rotation."""
    shaft, head = curved_arrow((0.0, 0.0), torque_radius(sheet.unit), positive)
    x, y = sheet.pixels(centre)
    sheet.stroke(colour, WIDE)
    sheet.strokes([[(x + dx, y - dy) for dx, dy in shaft]])
    sheet.fill(colour)
    sheet.shape([(x + dx, y - dy) for dx, dy in head])


def torque_radius(unit: float) -> float:
    """The radius of a torque's arrow, pixels."""
    return 17.0 * unit


def longest_middle(places: Sequence[Place]) -> Place:
    """The middle of the longest bar of a plate through some places: it lies on the plate."""
    bars = bones(places)
    if not bars:
        return places[0]
    (ax, ay), (bx, by) = max(bars, key=lambda bar: distance(*bar))
    return ((ax + bx) / 2.0, (ay + by) / 2.0)
