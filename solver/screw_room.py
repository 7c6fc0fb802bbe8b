"""Whether anything passes over the heads and nuts of screws during the throw.

A fixing screw's head lies on the frame's face with a washer under it. A screw through a moving
link is countersunk in the side towards the frame, so nothing stands out there; on the other side
is its nut, or a weight that stands out at least as far as that. A knob is looked at for the hand.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from solver.layers import plate_span
from solver.model import Design
from solver.project import Display
from solver.remark import Remark
from solver.screws import STANDS_OUT, all_screws, countersunk, sunk_from, taken_by, threads
from solver.stack import stack
from solver.sweep_shapes import Pieces, Shapes, discs
from solver.units import show

Heights = tuple[float, float]
"""Lower and upper side, mm above the frame's face."""


def screw_remarks(put: Pieces, display: Display) -> Iterator[Remark]:
    """Cautions for plates and springs that sweep over a head or a nut."""
    for point, called, cure, heights, radius in _ends(put.design):
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
                    f"“{name}” meets the {called} the screw at “{point}”, "
                    f"{show(where, 'angle', display)} from rest A: {cure}, or move the screw.",
                    where=where,
                )


def _ends(design: Design) -> Iterator[tuple[str, str, str, Heights, float]]:
    """All of a screw that stands out of its plate: point, word, cure, heights and radius."""
    layers = stack(design).layers
    for screw in all_screws(design):
        into, thread = taken_by(design, screw), threads()[screw.thread]
        link = design.links_at(screw.point)[0]
        low, high = plate_span(design, link, layers)
        if not countersunk(design, screw):
            if into == "wall":
                head = thread.washer_height + thread.head_height
                radius = max(thread.head, thread.washer) / 2.0
                yield screw.point, "head of", "sink it", (high, high + head), radius
        elif into in ("nut", "weight"):
            nut = thread.washer_height + thread.nut_height + STANDS_OUT * thread.pitch
            span = (high, high + nut) if sunk_from(design, link) == "behind" else (low - nut, low)
            word = "nut of" if into == "nut" else "weight on"
            yield screw.point, word, "leave a layer free there", span, thread.washer / 2.0


def _bodies(put: Pieces) -> Iterator[tuple[str, Heights, Shapes]]:
    """Name, heights and shapes of plates, springs and their legs."""
    heights = stack(put.design)
    for link, shapes in put.plates.items():
        yield link, plate_span(put.design, link, heights.layers), shapes
    for name, span in heights.springs.items():
        yield name, (span.low, span.high), put.springs[name]
        for leg_shapes, leg in zip(put.legs.get(name, ()), span.legs, strict=True):
            yield name, leg, leg_shapes
