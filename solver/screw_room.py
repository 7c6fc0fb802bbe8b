"""Whether anything passes over the heads and nuts of screws during the throw.

A screw's head lies on the upper side of its plate with a washer under it, its nut with another
below. A fixing hole has no nut; a knob's screw has its head below (the knob itself is looked at
for the hand); on which side a weight lies is not known, so its screw is left out.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from solver.layers import plate_span
from solver.model import Design
from solver.project import Display
from solver.remark import Remark
from solver.screws import STANDS_OUT, all_screws, taken_by, threads
from solver.stack import stack
from solver.sweep_shapes import Pieces, Shapes, discs
from solver.units import show

Heights = tuple[float, float]
"""Lower and upper side, mm above the frame's face."""


def screw_remarks(put: Pieces, display: Display) -> Iterator[Remark]:
    """Cautions for plates and springs that sweep over a head or a nut."""
    for point, called, heights, radius in _ends(put.design):
        end = discs(put.points[point], radius)
        link = put.design.links_at(point)[0]
        for name, other, shapes in _bodies(put):
            if name == link or other[0] >= heights[1] or other[1] <= heights[0]:
                continue
            apart = shapely.distance(end, shapes)
            at = int(np.argmin(apart))
            if apart[at] <= 0.0:
                where = float(put.travel[at])
                yield Remark(
                    "screw",
                    False,
                    (point, name),
                    f"“{name}” meets the {called} of the screw at “{point}”, "
                    f"{show(where, 'angle', display)} from rest A: sink it, or move the screw.",
                    where=where,
                )


def _ends(design: Design) -> Iterator[tuple[str, str, Heights, float]]:
    """Point, word, heights and radius of everything of a screw that stands out of its plate."""
    layers = stack(design).layers
    for screw in all_screws(design):
        into, thread = taken_by(design, screw), threads()[screw.thread]
        if into == "weight":
            continue
        low, high = plate_span(design, design.links_at(screw.point)[0], layers)
        radius = max(thread.head, thread.washer) / 2.0
        head = thread.washer_height + thread.head_height
        if into == "knob":
            yield screw.point, "head", (low - head, low), radius
            continue
        yield screw.point, "head", (high, high + head), radius
        if into == "nut":
            nut = thread.washer_height + thread.nut_height + STANDS_OUT * thread.pitch
            yield screw.point, "nut", (low - nut, low), radius


def _bodies(put: Pieces) -> Iterator[tuple[str, Heights, Shapes]]:
    """Name, heights and shapes of plates, springs and their legs."""
    heights = stack(put.design)
    for link, shapes in put.plates.items():
        yield link, plate_span(put.design, link, heights.layers), shapes
    for name, span in heights.springs.items():
        yield name, (span.low, span.high), put.springs[name]
        for leg_shapes, leg in zip(put.legs.get(name, ()), span.legs, strict=True):
            yield name, leg, leg_shapes
