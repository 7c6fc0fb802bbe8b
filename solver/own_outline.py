"""A first own outline for a plate: the rectangle around it."""

from __future__ import annotations

from solver.bars import Place
from solver.holes import whole_plate
from solver.model import Design


def rectangle_around(design: Design, link: str) -> tuple[Place, ...]:
    """The four corners (mm, drawn pose) of the least rectangle around a link's plate.

    Rounded to a hundredth, counter-clockwise. KeyError for a link that there is not.
    """
    import shapely

    around = whole_plate(design, link).minimum_rotated_rectangle
    corners = shapely.get_coordinates(shapely.geometry.polygon.orient(around).exterior)[:-1]
    return tuple((round(float(x), 2), round(float(y), 2)) for x, y in corners)
