"""One DXF file per plate for whoever cuts it: outline, holes and slots, mm, 1:1, nothing else.

The outline is one closed polyline, holes are circles, slots closed polylines with true arcs at
their ends. Each plate lies along x with its lower left corner at zero.
"""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray

from solver.bars import Place
from solver.checks import check
from solver.holes import holes, slots, whole_plate
from solver.model import FRAME, Design
from solver.project import Project

if TYPE_CHECKING:
    from ezdxf.layouts.layout import Modelspace

LAYERS = {"Outline": 7, "Holes": 1, "Slots": 3}
"""Layer -> colour number by which a cutter's program tells them apart."""

_MILLIMETRES = 4


def part_dxf(project: Project, link: str) -> bytes:
    """The DXF file (release 2010) of one link's plate.

    Raises DesignProblem for a design that fails the static checks, KeyError for a link that
    there is not.
    """
    # Late: it takes half as long to load as the window to open.
    from ezdxf.filemanagement import new

    design, series = project.design, project.sheet.holes
    check(design)
    document = new("R2010", units=_MILLIMETRES)
    document.header["$MEASUREMENT"] = 1
    for layer, colour in LAYERS.items():
        document.layers.add(layer, color=colour)
    space = document.modelspace()
    move = Laid(design, link)
    outline = [move(place) for place in shapely.get_coordinates(move.shape.exterior)[:-1].tolist()]
    space.add_lwpolyline(outline, close=True, dxfattribs={"layer": "Outline"})
    for hole in holes(design, link, series):
        centre = move((hole.x, hole.y))
        space.add_circle(centre, hole.diameter / 2.0, dxfattribs={"layer": "Holes"})
    for slot in slots(design, link, series):
        _slot(space, move(slot.a), move(slot.b), slot.width / 2.0)
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode("utf-8", "replace")


class Laid:
    """Lays a plate along x, its lower left corner at zero; the frame keeps its direction."""

    def __init__(self, design: Design, link: str) -> None:
        shape = whole_plate(design, link)
        self._turn = 1.0 + 0.0j
        if link != FRAME:
            corners = shapely.get_coordinates(shape.minimum_rotated_rectangle.exterior)
            places = [complex(x, y) for x, y in corners[:3].tolist()]
            long = max(places[1] - places[0], places[2] - places[1], key=abs)
            self._turn = long.conjugate() / abs(long)
        turned = shapely.transform(shape, self._turned)
        self._x, self._y, _, _ = turned.bounds
        self.shape = shape

    def _turned(self, places: NDArray[np.float64]) -> NDArray[np.float64]:
        moved = (places[:, 0] + 1j * places[:, 1]) * self._turn
        return np.column_stack((moved.real, moved.imag))

    def __call__(self, place: Place) -> Place:
        """Where a place of the drawn pose is in the file."""
        moved = complex(*place) * self._turn
        return (moved.real - self._x, moved.imag - self._y)


def _slot(space: Modelspace, a: Place, b: Place, half: float) -> None:
    """A slot: two straight sides and two half circles (a bulge of 1 is a half turn)."""
    long = math.dist(a, b)
    side = (-(b[1] - a[1]) / long * half, (b[0] - a[0]) / long * half)
    corners = [
        (a[0] - side[0], a[1] - side[1], 0.0),
        (b[0] - side[0], b[1] - side[1], 1.0),
        (b[0] + side[0], b[1] + side[1], 0.0),
        (a[0] + side[0], a[1] + side[1], 1.0),
    ]
    space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": "Slots"})
