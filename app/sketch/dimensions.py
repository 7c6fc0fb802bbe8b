"""Dimensions of the points that are being moved: distances along their links, spring lengths."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF

from app.sketch import springs
from app.sketch.boxes import Rect, overlap
from app.sketch.coils import arrow_head
from app.sketch.picture import Picture
from app.sketch.shapes import distance, heading, polar
from app.sketch.sheet import NARROW, Sheet
from solver import units
from solver.bars import Place
from solver.model import FRAME

MOST = 4
"""As many dimensions at each point; the nearest are shown."""
_SPOTS = (
    *((0.5, 0.0), (0.36, 0.0), (0.64, 0.0), (0.24, 0.0), (0.76, 0.0)),
    *((0.5, 1.0), (0.5, -1.0), (0.3, 1.0), (0.3, -1.0), (0.7, 1.0), (0.7, -1.0)),
    *((0.5, 3.2), (0.5, -3.2)),
)
"""Where a number may stand, the best first: how far along its line, how far to the left of it in
halves of its own size."""
_BESIDE = 3.0
"""Pixels between a line and a number beside it."""
_NEAR = 20.0
"""Pixels within which a number is too near to a point."""


@dataclass(frozen=True, slots=True)
class Dimension:
    """A distance (mm) between two places of the pose shown, and its lettering."""

    a: Place
    b: Place
    text: str


def dimensions_of(picture: Picture, focus: tuple[str, ...]) -> list[Dimension]:
    """What moving the points in `focus` changes: distances to the other points of their links."""
    pairs: dict[frozenset[str], None] = {}
    for name in focus:
        for other in _neighbours(picture, name, set(focus)):
            pairs.setdefault(frozenset((name, other)))
    for spring in picture.design.springs:
        ends = springs.spring_ends(spring)
        if springs.is_coil(spring) and (ends[0] in focus) != (ends[1] in focus):
            pairs.setdefault(frozenset(ends))
    found = []
    for pair in pairs:
        a, b = (picture.places[name] for name in sorted(pair))
        text = units.number(distance(a, b), "length", picture.display)
        found.append(Dimension(a, b, text))
    return found


def _neighbours(picture: Picture, name: str, moved: set[str]) -> list[str]:
    """The nearest points that share a link with this one and stay where they are."""
    design, places = picture.design, picture.places
    at = places.get(name)
    if at is None:
        return []
    found: dict[str, float] = {}
    for link in design.links:
        if name in link.points:
            near = sorted(
                (distance(at, places[other]), other)
                for other in link.points
                if other not in moved and other in places
            )
            most = 2 if link.name == FRAME else MOST
            found.update({other: gap for gap, other in near[:most]})
    return sorted(found, key=found.__getitem__)[:MOST]


def _lettering_box(a: Place, b: Place, size: Place, points: list[Place], taken: list[Rect]) -> Rect:
    """A box on a dimension line or beside it, where no point and no other words are."""
    width, height = size[0] + 8.0, size[1]
    along = heading(a, b)
    boxes = []
    for share, side in _SPOTS:
        at = polar(a, share * distance(a, b), along)
        if side:
            dx, dy = polar((0.0, 0.0), 1.0, along + 90.0)
            off = math.copysign(_BESIDE, side) + side * (abs(dx) * width + abs(dy) * height) / 2.0
            at = (at[0] + off * dx, at[1] + off * dy)
        box = (at[0] - width / 2.0, at[1] - height / 2.0, width, height)
        covered = sum(10.0 * overlap(box, other) for other in taken)
        covered += sum(distance(at, point) <= _NEAR for point in points)
        if not covered:
            return box
        boxes.append((covered, box))
    return min(boxes, key=lambda each: each[0])[1]


def draw_dimensions(
    sheet: Sheet, picture: Picture, focus: tuple[str, ...], taken: Sequence[Rect] = ()
) -> list[Rect]:
    """Narrow lines with arrow heads at both ends and the number on the line (ISO 129-1).

    The numbers keep off the boxes `taken`; gives their own, pixels.
    """
    points = [sheet.pixels(place) for place in picture.places.values()]
    held, first = list(taken), len(taken)
    texts = []
    for dimension in dimensions_of(picture, focus):
        a, b = sheet.pixels(dimension.a), sheet.pixels(dimension.b)
        if distance(a, b) < 12.0:
            continue
        sheet.stroke(sheet.theme.ink, NARROW)
        sheet.strokes([[a, b]])
        sheet.fill(sheet.theme.ink)
        along = heading(a, b)
        sheet.shape(arrow_head(b, along, 10.0))
        sheet.shape(arrow_head(a, along + 180.0, 10.0))
        held.append(_lettering_box(a, b, sheet.text_size(dimension.text), points, held))
        texts.append(dimension.text)
    for box, text in zip(held[first:], texts, strict=True):
        sheet.scrap(QRectF(*box), 225)
        sheet.text(QRectF(*box), text, sheet.theme.ink)
    return held[first:]
