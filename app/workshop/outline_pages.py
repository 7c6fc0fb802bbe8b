"""Plates for the cutter as drawings: each on a page of its own size, nothing beside it."""

from __future__ import annotations

import shapely

from app.drawing.model import Circle, Drawing, Element, Layer, Polyline
from app.drawing.part_dxf import Laid
from solver.bars import CUTTER_STEPS, capsule
from solver.checks import check
from solver.holes import holes, slots
from solver.project import Project

_AIR = 10.0
"""Around the plate, mm."""


def outline_pages(project: Project, links: tuple[str, ...]) -> tuple[Drawing, ...]:
    """A page at true size for each of the links; DesignProblem for a broken design."""
    check(project.design)
    return tuple(_page(project, link) for link in links)


def _page(project: Project, link: str) -> Drawing:
    design, series = project.design, project.sheet.holes
    laid = Laid(design, link)

    def on(place: tuple[float, float]) -> tuple[float, float]:
        x, y = laid(place)
        return (x + _AIR, y + _AIR)

    edge = [on((x, y)) for x, y in shapely.get_coordinates(laid.shape.exterior)[:-1].tolist()]
    elements: list[Element] = [Polyline(Layer.OUTLINE, tuple(edge), closed=True)]
    for hole in holes(design, link, series):
        elements.append(Circle(Layer.HOLES, on((hole.x, hole.y)), hole.diameter / 2.0))
    for slot in slots(design, link, series):
        ring = capsule(slot.a, slot.b, slot.width / 2.0, CUTTER_STEPS)
        elements.append(Polyline(Layer.HOLES, tuple(on(place) for place in ring), closed=True))
    size = (max(x for x, _ in edge) + _AIR, max(y for _, y in edge) + _AIR)
    return Drawing(size, tuple(elements), origin=(_AIR, _AIR), title=link, name=link)
