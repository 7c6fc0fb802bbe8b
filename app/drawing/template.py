"""The drilling template: a part at true size, tiled over pages to be glued onto the stock.

Holes have their centre marks, size and name; the frame stands as it does in the machine, a link
lies along the page. Nothing is scaled: a page that is printed at 100 % can be drilled through.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from app.drawing.boxes import Box, text_box
from app.drawing.figures import with_unit
from app.drawing.model import Circle, Drawing, Element, Layer, Line, Place, Polyline, Text
from app.drawing.paper import Area, sheet_size
from app.drawing.symbols import centre_marks
from app.drawing.tiles import Tiling, free_place, tiling
from solver.bars import CUTTER_STEPS, capsule
from solver.checks import check
from solver.holes import holes, slots, whole_plate
from solver.model import FRAME, Design
from solver.project import Project, Sheet

_BEYOND = 4.0
"""mm that centre marks reach beyond a hole."""


@dataclass(frozen=True, slots=True)
class _Mark:
    """A hole to drill: centre (model mm), diameter, and what stands beside it."""

    centre: Place
    diameter: float
    text: str


@dataclass(frozen=True, slots=True)
class _Content:
    """What a part's template shows, model mm."""

    lines: tuple[tuple[Layer, NDArray[np.float64]], ...]
    marks: tuple[_Mark, ...]

    @property
    def area(self) -> Area:
        """The rectangle around it all, with room for the centre marks."""
        reach = [(x, y, m.diameter / 2.0 + _BEYOND) for m in self.marks for x, y in (m.centre,)]
        low_x, low_y, high_x, high_y = [], [], [], []
        for _, line in self.lines:
            low_x.append(line[:, 0].min())
            low_y.append(line[:, 1].min())
            high_x.append(line[:, 0].max())
            high_y.append(line[:, 1].max())
        low_x += [x - r for x, _, r in reach]
        low_y += [y - r for _, y, r in reach]
        high_x += [x + r for x, _, r in reach]
        high_y += [y + r for _, y, r in reach]
        return Area(float(min(low_x)), float(min(low_y)), float(max(high_x)), float(max(high_y)))


def template(project: Project, links: Sequence[str] = (FRAME,)) -> tuple[Drawing, ...]:
    """The pages of the drilling template of those links' plates, part after part.

    The sheet gives paper size, units and the series of clearance holes; pages lie whichever way
    takes fewer. Raises DesignProblem for a design that fails the static checks, KeyError for a
    link that there is not.
    """
    design, sheet = project.design, project.sheet
    check(design)
    ways = (sheet.landscape, not sheet.landscape)
    sizes = [sheet_size(sheet.size, way) for way in ways]
    pages: list[Drawing] = []
    for link in links:
        content = _content(design, link, sheet)
        tiles = tiling(content.area, sizes)
        title = " – ".join(part for part in (project.title.strip(), link) if part)
        pages += [
            _page(content, tiles, row, column, title)
            for row in range(tiles.rows)
            for column in range(tiles.columns)
        ]
    return tuple(pages)


def _content(design: Design, link: str, sheet: Sheet) -> _Content:
    shape = whole_plate(design, link)
    outline = np.asarray(shapely.get_coordinates(shape.exterior))
    turn, middle = _laid(shape) if link != FRAME else (1.0 + 0.0j, 0.0j)

    def place(x: float, y: float) -> Place:
        there = (complex(x, y) - middle) * turn
        return (there.real, there.imag)

    def all_of(line: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.array([place(x, y) for x, y in line])

    lines = [(Layer.OUTLINE, all_of(outline))]
    for slot in slots(design, link, sheet.holes):
        ring = np.array(capsule(slot.a, slot.b, slot.width / 2.0, CUTTER_STEPS))
        lines.append((Layer.HOLES, all_of(np.vstack((ring, ring[:1])))))
        for end in (slot.a, slot.b):
            reach = slot.width / 2.0 + _BEYOND
            x, y = end
            lines.append((Layer.CENTRES, all_of(np.array([(x - reach, y), (x + reach, y)]))))
            lines.append((Layer.CENTRES, all_of(np.array([(x, y - reach), (x, y + reach)]))))
    marks = tuple(
        _Mark(
            place(hole.x, hole.y),
            hole.diameter,
            f"⌀{with_unit(hole.diameter, 'length', sheet.units)} {hole.point}",
        )
        for hole in holes(design, link, sheet.holes)
    )
    slot_marks = tuple(
        _Mark(
            place((slot.a[0] + slot.b[0]) / 2.0, (slot.a[1] + slot.b[1]) / 2.0),
            0.0,
            f"slot {with_unit(slot.width, 'length', sheet.units)} wide, {slot.slider}",
        )
        for slot in slots(design, link, sheet.holes)
    )
    return _Content(tuple(lines), (*marks, *slot_marks))


def _laid(shape: shapely.Polygon) -> tuple[complex, complex]:
    """The turn (a unit number) that lays a plate along x, and its middle."""
    corners = shapely.get_coordinates(shape.minimum_rotated_rectangle.exterior)
    sides = np.diff(corners[:3, 0] + 1j * corners[:3, 1])
    long = complex(sides[int(np.argmax(np.abs(sides)))])
    long = long if long.real >= 0.0 else -long
    return (abs(long) / long, complex(shape.centroid.x, shape.centroid.y))


def _page(content: _Content, tiles: Tiling, row: int, column: int, title: str) -> Drawing:
    window, (x, y) = tiles.window, tiles.origin(row, column)
    dx, dy = window.left - x, window.bottom - y
    furniture = tiles.furniture(row, column, title)
    elements = [*furniture]
    for layer, line in content.lines:
        elements += _clipped(layer, line + np.array([dx, dy]), window)
    inked = _inked(elements)
    taken = [text_box(text).grown(0.4) for text in furniture if isinstance(text, Text)]
    for mark in content.marks:
        placed = replace(mark, centre=(mark.centre[0] + dx, mark.centre[1] + dy))
        elements += _hole(placed, window)
        taken.append(Box(placed.centre, mark.diameter / 2.0, mark.diameter / 2.0))
    for mark in content.marks:
        centre = (mark.centre[0] + dx, mark.centre[1] + dy)
        if _within(centre, window):
            elements += _named(replace(mark, centre=centre), taken, inked, window)
    label = tiles.label(row, column)
    return Drawing(
        tiles.size, tuple(elements), 1.0, (dx, dy), title=f"{title} – {label}", name=label
    )


def _within(place: Place, window: Area) -> bool:
    return window.left <= place[0] <= window.right and window.bottom <= place[1] <= window.top


def _hole(mark: _Mark, window: Area) -> Iterator[Element]:
    """The circle and its centre marks, as far as the window shows them."""
    if mark.diameter <= 0.0:
        return
    radius = mark.diameter / 2.0
    x, y = mark.centre
    reach = radius + _BEYOND
    inside = Area(
        window.left + radius, window.bottom + radius, window.right - radius, window.top - radius
    )
    if _within(mark.centre, inside):
        yield Circle(Layer.HOLES, mark.centre, radius)
    else:
        turns = np.linspace(0.0, 2.0 * math.pi, 129)
        ring = np.column_stack((x + radius * np.cos(turns), y + radius * np.sin(turns)))
        yield from _clipped(Layer.HOLES, ring, window)
    for line in centre_marks(mark.centre, reach):
        if isinstance(line, Line):
            yield from _clipped(line.layer, np.array([line.start, line.end]), window)


def _named(mark: _Mark, taken: list[Box], lines: shapely.Geometry, window: Area) -> Iterator[Text]:
    """The size and name of a hole beside it; on the neighbouring page where there is no room."""
    (x, y), away = mark.centre, mark.diameter / 2.0 + 1.5
    tries = []
    for lift in (1.5, -4.0, 6.0, -8.5, 10.0, -12.5, 15.0, -17.5, 20.0, -22.5):
        tries.append(Text(mark.text, (x + away, y + lift)))
        tries.append(Text(mark.text, (x - away, y + lift), across="right"))
    found = free_place(tries, taken, lines, window)
    if found is not None:
        yield found


def _inked(elements: Sequence[Element]) -> shapely.Geometry:
    """The lines of a page that no text should lie on."""
    lines = []
    for element in elements:
        if isinstance(element, Line):
            lines.append(shapely.LineString([element.start, element.end]))
        elif isinstance(element, Polyline):
            lines.append(shapely.LineString(element.points))
    return shapely.union_all(lines)


def _clipped(layer: Layer, line: NDArray[np.float64], window: Area) -> Iterator[Element]:
    """The pieces of a polyline that lie in the window."""
    frame = shapely.box(window.left, window.bottom, window.right, window.top)
    within = shapely.LineString(line).intersection(frame)
    merged = shapely.line_merge(within) if within.geom_type == "MultiLineString" else within
    for part in shapely.get_parts(merged):
        if part.geom_type == "LineString" and part.length > 0.0:
            points = tuple((px, py) for px, py in shapely.get_coordinates(part).tolist())
            if len(points) == 2:
                yield Line(layer, *points)
            else:
                yield Polyline(layer, points)
