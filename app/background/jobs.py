"""What the process beside the window can do, by name. Needs no Qt.

Each job takes its `Call` and plain values, and gives back a plain value; both travel between
processes. Modules are imported in the jobs, so that each costs its time when first asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from app.background.call import Call
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


JOBS: Mapping[str, Callable[..., Any]] = {
    "spread": spread,
    "effects": effects,
}
