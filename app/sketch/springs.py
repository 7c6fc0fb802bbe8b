"""Springs on the sheet, by the views of ISO 2162-1: they lengthen and shorten with the pose."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtGui import QColor

from app.sketch.coils import Coil, compression_coil, extension_coil, torsion_coil
from app.sketch.shapes import distance, heading, polar
from app.sketch.sheet import NARROW, WIDE, Sheet
from solver.bars import Place
from solver.layers import coil_width
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    GuideRod,
    Spring,
    TorsionSpring,
)
from solver.torsion_shape import coil_of, legs, sense

_LEAST_COIL, _LEAST_ROUND = 4.5, 15.0
"""Pixels; the least radius of a coil seen from the side, and of one around a pivot, which must
reach beyond what is taken for the pivot itself (`hits.REACH`)."""
_FEW_TURNS = 24.0
"""Pixels of radius below which a coil around a pivot is drawn with one turn less."""


def coil_radius(spring: Spring, size: float, scale: float) -> float:
    """The radius (mm) of a spring as drawn in a linkage of that size (mm) at `scale` pixels per mm.

    Its own where it is known, else one that it is taken to have; never too little to be seen.
    """
    if not isinstance(spring, TorsionSpring):
        return max(0.5 * coil_width(spring), _LEAST_COIL / scale)
    own = spring.outside_diameter
    return max(0.05 * size if own is None else 0.5 * own, _LEAST_ROUND / scale)


def draw_spring(
    sheet: Sheet,
    design: Design,
    spring: Spring,
    places: Mapping[str, Place],
    size: float,
    colour: QColor,
) -> None:
    """A spring of a design between its anchors in the pose that `places` gives."""
    radius = coil_radius(spring, size, sheet.scale)
    if isinstance(spring, TorsionSpring):
        ends = (places[spring.pivot], places[spring.leg_a], places[spring.leg_b])
        turns = 2 if radius * sheet.scale >= _FEW_TURNS else 1
        wire = coil_of(design, spring).wire
        leg_a, leg_b = (0.5 * (wire + leg.pin) for leg in legs(design, spring))
        way = sense(design, spring)
        sheet.stroke(colour, WIDE)
        sheet.lines(torsion_coil(*ends, radius, turns, way, (leg_a, leg_b)))
        return
    a, b = places[spring.a], places[spring.b]
    if a == b:
        return
    if isinstance(spring, ExtensionSpring):
        turns = _turns(spring.free_length, 0.55 * radius, 10, 26)
        _draw_coil(sheet, extension_coil(a, b, radius, turns), colour)
        return
    if spring.rod is not None:
        _draw_rod(sheet, a, b, spring.rod, 0.4 * radius)
    turns = _turns(spring.free_length, 1.3 * radius, 5, 12)
    _draw_coil(sheet, compression_coil(a, b, radius, turns), colour)


def _turns(free_length: float, pitch: float, least: int, most: int) -> int:
    """How many coils are drawn; the same in every pose, so that the spring is seen to work."""
    return min(max(round(free_length / pitch), least), most)


def _draw_coil(sheet: Sheet, coil: Coil, colour: QColor) -> None:
    sheet.stroke(colour, NARROW)
    sheet.lines(coil.far)
    sheet.stroke(colour, 1.25 * WIDE)
    sheet.lines(coil.near)
    sheet.stroke(colour, WIDE)
    sheet.lines(coil.ends)


def _draw_rod(sheet: Sheet, a: Place, b: Place, rod: GuideRod, half: float) -> None:
    """The telescopic rod inside a spring: a tube on one anchor, a rod on the other."""
    along = heading(a, b)
    mouth = polar(a, 0.8 * min(rod.closed, distance(a, b)), along)
    tube = [
        sheet.pixels(polar(end, half, along + side))
        for end, side in ((a, 90.0), (mouth, 90.0), (mouth, -90.0), (a, -90.0))
    ]
    inner = 0.45 * half
    stem = [
        sheet.pixels(polar(end, inner, along + side))
        for end, side in ((b, 90.0), (a, 90.0), (a, -90.0), (b, -90.0))
    ]
    sheet.fill(sheet.theme.plate, sheet.theme.plate_edge, NARROW)
    sheet.shape(stem)
    sheet.shape(tube)


def spring_ends(spring: Spring) -> tuple[str, ...]:
    """The names of the points that a spring hangs on."""
    if isinstance(spring, TorsionSpring):
        return (spring.pivot, spring.leg_a, spring.leg_b)
    return (spring.a, spring.b)


def spring_middle(spring: Spring, places: Mapping[str, Place]) -> Place:
    """Where a spring's label belongs: half way between its anchors, or its pivot."""
    if isinstance(spring, TorsionSpring):
        return places[spring.pivot]
    (ax, ay), (bx, by) = places[spring.a], places[spring.b]
    return ((ax + bx) / 2.0, (ay + by) / 2.0)


def is_coil(spring: Spring) -> bool:
    """Whether the spring works along the line between two anchors."""
    return isinstance(spring, CompressionSpring | ExtensionSpring)
