"""What is wrong with a plate by itself, apart from its numbers' ranges."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from solver.materials import materials
from solver.model import Plate

_MOST_CORNERS = 2000
_FARTHEST = 1e6
"""mm from the origin, as for points."""


def plate_faults(plate: Plate) -> Iterator[str]:
    """The ends of sentences that begin with the plate's name."""
    if plate.material not in materials():
        known = ", ".join(materials())
        yield f"is of “{plate.material[:20]}”, which is not in the table: choose one of {known}"
    if plate.outline and (fault := _outline_fault(plate.outline)):
        yield fault


@lru_cache(maxsize=256)  # designs are checked in every frame of a drag
def _outline_fault(corners: tuple[tuple[float, float], ...]) -> str | None:
    if len(corners) < 3:
        return "has an outline of less than three corners: add corners, or clear it"
    if len(corners) > _MOST_CORNERS:
        return f"has an outline of more than {_MOST_CORNERS} corners: simplify it"
    if not all(math.isfinite(c) and abs(c) <= _FARTHEST for corner in corners for c in corner):
        return "has a corner that is not a place on the sheet: correct it"
    import shapely  # only plates with an own outline need it

    shape = shapely.Polygon(corners)
    if not shape.is_valid:
        return "has an outline that crosses or touches itself: put its corners in order"
    if shape.area < 1e-6:
        return "has an outline without area: pull its corners apart"
    return None
