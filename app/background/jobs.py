"""What the process beside the window can do, by name. Needs no Qt.

Each job takes its `Call` and plain values, and gives back a plain value; both travel between
processes. Modules are imported in the jobs, so that each costs its time when first asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from app.background.call import Call
    from app.background.zones import ZoneShape
    from solver.model import Design
    from solver.sensitivity import Sensitivities
    from solver.spread import Spread


def spread(call: Call, design: Design, copies: int, positions: int) -> Spread:
    """What copies of a design do; see `solver.spread`."""
    from solver.spread import spread

    return spread(design, copies, positions)


def effects(call: Call, design: Design, reading: str) -> Sensitivities:
    """What a reading depends on; see `solver.sensitivity`."""
    from solver.sensitivity import sensitivities

    return sensitivities(design, reading)


def zone(
    call: Call,
    design: Design,
    point: str,
    window: tuple[float, float, float, float] | None,
    cells: int,
    positions: int,
) -> ZoneShape:
    """Where a point may lie; see `solver.go_zone`.

    A window given saves the search for one; it is given up where the zone is not all in it.
    """
    from app.background.zones import shape_of
    from solver.go_zone import go_zone

    grain: dict[str, Any] = {"cells": cells, "positions": positions, "tolerance": True}
    found = shape_of(go_zone(design, point, window, **grain))
    if window is not None and (found.empty or found.open_ended):
        found = shape_of(go_zone(design, point, None, **grain))
    return found


JOBS: Mapping[str, Callable[..., Any]] = {
    "spread": spread,
    "effects": effects,
    "zone": zone,
}
