"""Dimensions of the points that are being moved: distances along their links, spring lengths."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor

from app.sketch import springs
from app.sketch.coils import arrow_head
from app.sketch.picture import Picture
from app.sketch.shapes import distance, heading
from app.sketch.sheet import NARROW, Sheet
from solver import units
from solver.bars import Place
from solver.model import FRAME

MOST = 4
"""As many dimensions at each point; the nearest are shown."""


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


def _lettering_place(a: Place, b: Place, points: list[Place]) -> Place:
    """The middle of a dimension line, or a place beside it where a point lies in the middle."""
    for share in (0.5, 0.36, 0.64):
        place = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        if all(distance(place, point) > 20.0 for point in points):
            return place
    return ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)


def draw_dimensions(sheet: Sheet, picture: Picture, focus: tuple[str, ...]) -> None:
    """Narrow lines with arrow heads at both ends and the number on the line (ISO 129-1)."""
    points = [sheet.pixels(place) for place in picture.places.values()]
    ground = QColor(sheet.theme.paper)
    ground.setAlpha(225)
    for dimension in dimensions_of(picture, focus):
        a, b = sheet.pixels(dimension.a), sheet.pixels(dimension.b)
        width, height = sheet.text_size(dimension.text)
        if distance(a, b) < 12.0:
            continue
        sheet.stroke(sheet.theme.ink, NARROW)
        sheet.strokes([[a, b]])
        sheet.fill(sheet.theme.ink)
        along = heading(a, b)
        sheet.shape(arrow_head(b, along, 10.0))
        sheet.shape(arrow_head(a, along + 180.0, 10.0))
        x, y = _lettering_place(a, b, points)
        box = QRectF(x - width / 2.0 - 4.0, y - height / 2.0, width + 8.0, height)
        sheet.painter.fillRect(box, ground)
        sheet.text(box, dimension.text, sheet.theme.ink)
