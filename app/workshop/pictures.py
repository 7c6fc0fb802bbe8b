"""The pictures of a report: the linkage in its poses, energy and effort over the travel."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.drawing.chosen import Wanted
from app.drawing.linkage_view import draw_linkage
from app.drawing.model import Element, Layer
from app.drawing.paper import Area
from app.drawing.poses import View, posed
from app.drawing.view_block import bare_size, view_block
from app.workshop.plots import Curve, Plot, draw_plot
from solver import units
from solver.analysis import Analysis
from solver.project import Display, Project

_ROUND = tuple(
    digit * 10.0**power
    for power in range(-2, 5)
    for digit in (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)
)
"""How much smaller than real a picture may be: finer steps than a drawing's scales."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing in a rectangle of that width and height (mm), its lower left corner at 0, 0.

    `scale` is the one that it has on paper at that size, "" where it has none.
    """

    caption: str
    size: tuple[float, float]
    elements: tuple[Element, ...]
    scale: str = ""


def sketch(project: Project, analysis: Analysis, size: tuple[float, float]) -> Picture:
    """The linkage at rest A with the other poses in phantom line, as large as fits."""
    area = Area(0.0, 0.0, *size)
    poses = posed(analysis)
    true_size = bare_size(draw_linkage(poses, View(1.0)))
    least = max(real / room for real, room in zip(true_size, size, strict=True))
    rounded = [one for one in _ROUND if one >= least] or [least]
    for parts in rounded:
        block = view_block(poses, project.sheet, Wanted(), 1.0 / parts, area)
        if block.fits(area):
            break
    scale = f"1:{parts:g}" if parts >= 1.0 else f"{1.0 / parts:g}:1"
    caption = "At rest A; rest B and dead centre in thin, broken lines"
    return Picture(caption, size, block.placed(area).elements, scale)


def energy_plot(analysis: Analysis, display: Display, size: tuple[float, float]) -> Picture:
    """Stored energy over the travel."""
    grow = units.factor("energy", display)
    title = f"Stored energy, {units.unit_of('energy', display)}"
    curve = Curve("energy", analysis.travel, analysis.energy * grow, Layer.OUTLINE)
    return Picture(title, size, draw_plot(_over_travel(title, analysis, (curve,)), size))


def effort_plot(analysis: Analysis, display: Display, size: tuple[float, float]) -> Picture:
    """Effort at the grip over the travel, both ways, friction included."""
    grow = units.factor("force", display)
    title = f"Effort at the grip, {units.unit_of('force', display)}"
    to_b = Curve("to B", analysis.travel, analysis.effort_to_b * grow, Layer.OUTLINE)
    to_a = Curve("to A", analysis.travel, analysis.effort_to_a * grow, Layer.HIDDEN)
    return Picture(title, size, draw_plot(_over_travel(title, analysis, (to_b, to_a)), size))


def _over_travel(title: str, analysis: Analysis, curves: tuple[Curve, ...]) -> Plot:
    centre = analysis.dead_centre
    known = centre is not None and math.isfinite(centre)
    return Plot(
        title,
        "travel from rest A, °",
        curves,
        tuple((zone.start, zone.end) for zone in analysis.hang_zones),
        (("dead centre", float(centre)),) if known and centre is not None else (),
    )
