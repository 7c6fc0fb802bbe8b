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

from app.drawing.figures import with_unit
from app.drawing.metrics import plain
from app.drawing.model import Circle, Drawing, Element, Layer, Line, Place, Polyline
from app.drawing.paper import Area, sheet_size
from app.drawing.placing import Candidate, Placer
from app.drawing.symbols import centre_marks
from app.drawing.template_head import Head, legend, point_mark
from app.drawing.template_labels import labels
from app.drawing.template_parts import BEYOND, Content, Course, Mark, content
from app.drawing.tiles import Tiling, tiling
from solver.checks import check
from solver.model import FRAME
from solver.parts_list import parts_list
from solver.project import Project


@dataclass(frozen=True, slots=True)
class _Plate:
    """A plate's content, its pages, and what their heads say of it."""

    name: str
    made_of: str
    content: Content
    tiles: Tiling


def template(project: Project, links: Sequence[str] = (FRAME,)) -> tuple[Drawing, ...]:
    """The pages of the drilling template of those links' plates, part after part.

    The sheet gives paper size, units, the series of clearance holes and how many of each plate
    are made; pages lie whichever way takes fewer. Raises DesignProblem for a design that fails
    the static checks, KeyError for a link that there is not.
    """
    sheet = project.sheet
    check(project.design)
    sizes = [sheet_size(sheet.size, way) for way in (sheet.landscape, not sheet.landscape)]
    made_of = _made_of(project)
    plates = []
    for link in links:
        shown = content(project.design, link, sheet)
        tiles = tiling(shown.area, sizes).without_empty(shown.taken)
        plates.append(_Plate(link, made_of[link], shown, tiles))
    total = sum(len(plate.tiles.pages) for plate in plates)
    pages: list[Drawing] = []
    for plate in plates:
        tiles = plate.tiles
        for row, column in tiles.pages:
            head = Head(
                plain(plate.name),
                plate.made_of,
                plain(project.title),
                (tiles.number(row, column), len(tiles.pages)),
                (len(pages) + 1, total),
            )
            pages.append(_page(plate, row, column, head))
    return tuple(pages)


def _made_of(project: Project) -> dict[str, str]:
    """What each link's plate is made of, how thick it is, and how many are made."""
    said = {}
    for row in parts_list(project.design, project.sheet):
        if row.kind != "plate":
            continue
        facts = ["material and thickness are not settled"]
        if row.thickness is not None:
            facts = [
                row.material,
                f"{with_unit(row.thickness, 'length', project.sheet.units)} thick",
            ]
        said[row.name] = ", ".join((*facts, f"make {row.count}"))
    return said


def _page(plate: _Plate, row: int, column: int, head: Head) -> Drawing:
    tiles = plate.tiles
    window, (x, y) = tiles.window, tiles.origin(row, column)
    dx, dy = window.left - x, window.bottom - y
    marks = [
        replace(mark, centre=(mark.centre[0] + dx, mark.centre[1] + dy))
        for mark in plate.content.marks
    ]
    drawn: list[Element] = [*tiles.furniture(row, column), *head.texts(window)]
    drawn += legend(
        window,
        holes=any(mark.diameter > 0.0 for mark in marks),
        points=any(mark.bare for mark in marks),
        sunk=next((mark.sunk for mark in marks if mark.sunk), ""),
        seams=len(tiles.pages) > 1,
    )
    for layer, line in plate.content.lines:
        drawn += _clipped(layer, line + np.array([dx, dy]), window)
    for mark in marks:
        drawn += _marked(mark, window)
    placer = Placer(drawn)
    for seam in tiles.seams(row, column):
        words = placer.best(Candidate(None, (text,)) for text in seam.names())
        if words is not None:
            placer.take(words.elements)
            drawn += words.elements
    kept = tiles.kept(row, column)
    drawn += labels([mark for mark in marks if _within(mark.centre, kept)], placer, kept)
    title = " – ".join(part for part in (head.project, head.name) if part)
    return Drawing(tiles.size, tuple(drawn), 1.0, (dx, dy), title=title, name=head.name)


def _within(place: Place, window: Area) -> bool:
    return window.left <= place[0] <= window.right and window.bottom <= place[1] <= window.top


def _marked(mark: Mark, window: Area) -> Iterator[Element]:
    """A hole with its centre marks, or a bare point's cross, as far as the window shows them."""
    if mark.bare:
        if _within(mark.centre, window):
            yield from point_mark(mark.centre)
        return
    if mark.diameter <= 0.0:
        return
    radius = mark.diameter / 2.0
    x, y = mark.centre
    inside = Area(
        window.left + radius, window.bottom + radius, window.right - radius, window.top - radius
    )
    if _within(mark.centre, inside):
        yield Circle(Layer.HOLES, mark.centre, radius)
    else:
        turns = np.linspace(0.0, 2.0 * math.pi, 129)
        ring = np.column_stack((x + radius * np.cos(turns), y + radius * np.sin(turns)))
        yield from _clipped(Layer.HOLES, ring, window)
    for line in centre_marks(mark.centre, radius + BEYOND):
        if isinstance(line, Line):
            yield from _clipped(line.layer, np.array([line.start, line.end]), window)


def _clipped(layer: Layer, line: Course, window: Area) -> Iterator[Element]:
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
