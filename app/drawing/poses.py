"""The linkage in the poses that a sheet shows, and how a view brings it onto paper."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.drawing.model import Place
from solver.analysis import Analysis
from solver.model import FRAME, Design, Link, TorsionSpring
from solver.outlines import layer_of
from solver.rebase import rebase
from solver.screws import fixing_holes


@dataclass(frozen=True, slots=True)
class View:
    """From the model (mm) onto paper: `scale` paper mm per model mm, `at` the model's zero."""

    scale: float
    at: Place = (0.0, 0.0)

    def __call__(self, place: Place) -> Place:
        """Where a place of the model is on paper."""
        return (self.at[0] + self.scale * place[0], self.at[1] + self.scale * place[1])


@dataclass(frozen=True, slots=True)
class Posed:
    """A design drawn at rest A, at rest B and, where there is one, at dead centre."""

    analysis: Analysis
    at_a: Design
    at_b: Design
    at_centre: Design | None

    @property
    def design(self) -> Design:
        """The design at rest A, which the sheet dimensions."""
        return self.at_a

    def others(self) -> list[tuple[str, Design]]:
        """The poses that are drawn in phantom line, with what they are called."""
        centre = [("dead centre", self.at_centre)] if self.at_centre is not None else []
        return [("rest B", self.at_b), *centre]


def posed(analysis: Analysis) -> Posed:
    """The poses of a solved design."""
    design, stops = analysis.design, analysis.design.stops
    centre = analysis.dead_centre
    at_centre = None
    if centre is not None and math.isfinite(centre):
        at_centre = rebase(design, stops.rest_a + analysis.sense * centre)
    return Posed(analysis, rebase(design, stops.rest_a), rebase(design, stops.rest_b), at_centre)


def place_of(design: Design, point: str) -> Place:
    """Where a point is in a design's drawn pose, mm."""
    found = design.point(point)
    return (found.x, found.y)


def datum_of(design: Design, wished: str) -> str:
    """The point that hole positions count from: the wished one, or the lever's pivot."""
    names = {point.name for point in design.points}
    return wished if wished in names else design.lever_pivot()


def moving_links(design: Design) -> list[Link]:
    """The links that move and have points, from the lowest plate to the uppermost."""
    links = [link for link in design.links[1:] if link.points]
    order = {link.name: index for index, link in enumerate(links)}
    return sorted(
        links,
        key=lambda link: (layer_of(design, link.name), link.name == design.lever, order[link.name]),
    )


def frame_points(design: Design) -> list[str]:
    """The frame's points that something is fixed at: no slot's ends, no holes to fasten it by."""
    slots = {name for slider in design.sliders if slider.guide == FRAME for name in slider.along}
    held = spring_ends(design) | {
        name for name in design.links[0].points if len(design.links_at(name)) > 1
    }
    free = slots | set(fixing_holes(design))
    return [name for name in design.links[0].points if name in held or name not in free]


def spring_ends(design: Design) -> set[str]:
    """The points at which springs have their ends."""
    ends: set[str] = set()
    for spring in design.springs:
        pair = (
            (spring.leg_a, spring.leg_b)
            if isinstance(spring, TorsionSpring)
            else (spring.a, spring.b)
        )
        ends.update(pair)
    return ends
