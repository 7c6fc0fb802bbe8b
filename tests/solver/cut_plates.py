"""Plates as they leave the cutter, by shapely: what files and tables are held against."""

import shapely

from solver.bars import CUTTER_STEPS, capsule
from solver.holes import Series, holes, slots, whole_plate
from solver.model import Design


def cut_plate(design: Design, link: str, series: Series = "medium") -> shapely.Polygon:
    """A link's plate as it leaves the cutter, holes and slots open; drawn pose, mm."""
    openings = [
        shapely.Point(hole.x, hole.y).buffer(hole.diameter / 2.0, quad_segs=CUTTER_STEPS)
        for hole in holes(design, link, series)
    ]
    openings += [
        shapely.Polygon(capsule(slot.a, slot.b, slot.width / 2.0, CUTTER_STEPS))
        for slot in slots(design, link, series)
    ]
    return whole_plate(design, link).difference(shapely.union_all(openings))
