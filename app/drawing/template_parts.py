"""What a plate's template shows, before it is cut into pages: edge, slots, holes, bare points."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from app.drawing.figures import with_unit
from app.drawing.metrics import cut
from app.drawing.model import LEAST_TEXT, Layer, Place
from app.drawing.paper import Area
from app.drawing.part_dxf import Laid
from solver.bars import CUTTER_STEPS, capsule
from solver.holes import Slot, holes, slots, whole_plate
from solver.model import FRAME, Design
from solver.project import Sheet

BEYOND = 4.0
"""mm that centre marks reach beyond a hole."""
CROSS = 1.5
"""Half of the cross at a point without a hole, mm."""
_LONGEST = 60.0
"""mm that a label takes at most."""

Course = NDArray[np.float64]
"""(P, 2): the corners of a line, mm."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A hole to drill (mm), or a place without one (diameter 0), and what stands beside it."""

    centre: Place
    diameter: float
    text: str
    bare: bool = False
    """A point of the link at which nothing is drilled: it gets a cross of its own."""
    sunk: str = ""
    """The side that the hole is countersunk from."""


@dataclass(frozen=True, slots=True)
class Content:
    """What a plate's template shows, mm; the frame as drawn, a link laid along x."""

    lines: tuple[tuple[Layer, Course], ...]
    marks: tuple[Mark, ...]

    @property
    def taken(self) -> shapely.Geometry:
        """The plate, and the places that are marked, as a shape."""
        places = shapely.MultiPoint([mark.centre for mark in self.marks])
        return shapely.union(shapely.make_valid(shapely.Polygon(self.lines[0][1])), places)

    @property
    def area(self) -> Area:
        """The rectangle around it all, with room for the centre marks."""
        corners = [line for _, line in self.lines]
        for mark in self.marks:
            reach = mark.diameter / 2.0 + BEYOND
            x, y = mark.centre
            corners.append(np.array([(x - reach, y - reach), (x + reach, y + reach)]))
        places = np.concatenate(corners)
        (left, bottom), (right, top) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
        return Area(left, bottom, right, top)


def content(design: Design, link: str, sheet: Sheet) -> Content:
    """The template of a link's plate; KeyError for a link that there is not."""
    place: Callable[[Place], Place] = Laid(design, link) if link != FRAME else _as_drawn
    edge = shapely.get_coordinates(whole_plate(design, link).exterior)
    cut_out = slots(design, link, sheet.holes)
    lines = [(Layer.OUTLINE, edge), *(part for slot in cut_out for part in _slot(slot))]
    marks = (
        *_holes(design, link, sheet),
        *_slot_names(cut_out, sheet),
        *_bare(design, link, sheet),
    )
    return Content(
        tuple((layer, np.array([place((x, y)) for x, y in line])) for layer, line in lines),
        tuple(replace(mark, centre=place(mark.centre), text=_short(mark.text)) for mark in marks),
    )


def _as_drawn(place: Place) -> Place:
    return place


def _short(text: str) -> str:
    return cut(text, LEAST_TEXT, _LONGEST)


def _holes(design: Design, link: str, sheet: Sheet) -> Iterator[Mark]:
    for hole in holes(design, link, sheet.holes):
        wide = with_unit(hole.diameter, "length", sheet.units)
        made = f"⌀{wide} {hole.tolerance}".rstrip()
        sunk = "sunk " if hole.sunk else ""
        goes = f" for {sunk}M{hole.pin:g}" if hole.fit == "screw" else ""
        yield Mark((hole.x, hole.y), hole.diameter, f"{made}{goes} {hole.point}", sunk=hole.sunk)


def _slot(slot: Slot) -> Iterator[tuple[Layer, Course]]:
    """A slot's edge, and centre marks at both its ends."""
    ring = np.array(capsule(slot.a, slot.b, slot.width / 2.0, CUTTER_STEPS))
    yield Layer.HOLES, np.vstack((ring, ring[:1]))
    reach = slot.width / 2.0 + BEYOND
    for x, y in (slot.a, slot.b):
        yield Layer.CENTRES, np.array([(x - reach, y), (x + reach, y)])
        yield Layer.CENTRES, np.array([(x, y - reach), (x, y + reach)])


def _slot_names(cut_out: tuple[Slot, ...], sheet: Sheet) -> Iterator[Mark]:
    for slot in cut_out:
        middle = ((slot.a[0] + slot.b[0]) / 2.0, (slot.a[1] + slot.b[1]) / 2.0)
        wide = with_unit(slot.width, "length", sheet.units)
        yield Mark(middle, 0.0, f"slot {wide} wide, {slot.slider}")


def _bare(design: Design, link: str, sheet: Sheet) -> Iterator[Mark]:
    """The points of a link at which there is no hole and no end of a slot."""
    drilled = {hole.point for hole in holes(design, link, sheet.holes)}
    drilled |= {
        name
        for slider in design.sliders
        if slider.guide == link and slots(design, link, sheet.holes)
        for name in slider.along
    }
    for name in design.link(link).points:
        if name not in drilled:
            point = design.point(name)
            yield Mark((point.x, point.y), 0.0, name, bare=True)
