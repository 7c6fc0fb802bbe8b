"""What the process beside the window can do, by name. Needs no Qt.

Each job takes its `Call` and plain values, and gives back a plain value; both travel between
processes. Modules are imported in the jobs, so that each costs its time when first asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from app.background.call import Call
    from app.background.tuned import Tuned
    from app.background.zones import ZoneShape
    from solver.model import Design
    from solver.movables import Movable
    from solver.project import Display
    from solver.quantiles import Share
    from solver.sensitivity import Sensitivities
    from solver.spread import Spread
    from solver.sweep import Sweep, SweepMap, Values
    from solver.tuning_goal import Wish

_PACE = 0.1
"""Seconds between two showings of the best so far."""


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
    known: ZoneShape | None,
    cells: int,
    positions: int,
) -> ZoneShape:
    """Where a point may lie; see `solver.go_zone`.

    What was `known` of it before the last change saves the search for where to look, unless the
    zone has left the window.
    """
    from app.background.zones import shape_of
    from solver.go_zone import go_zone

    def found(window: tuple[float, float, float, float] | None) -> ZoneShape:
        grain: dict[str, Any] = {"cells": cells, "positions": positions, "tolerance": True}
        return shape_of(go_zone(design, point, window, **grain))

    if known is not None and not known.empty:
        shape = found(known.window)
        if not shape.empty and (known.open_ended or not shape.open_ended):
            return shape
    return found(None)


def tune(
    call: Call,
    design: Design,
    movables: Sequence[Movable],
    wish: Wish,
    budget: int,
    copies: int,
    display: Display,
) -> Tuned:
    """Search for a better design; see `solver.tuner`. What it shows so far is `Progress`."""
    import time

    from app.background.tuned import Tuned
    from solver.spread import spread
    from solver.tuner import tune
    from solver.tuning_search import Progress

    told = 0.0

    def show(progress: Progress) -> None:
        nonlocal told
        if time.monotonic() - told >= _PACE:
            told = time.monotonic()
            call.progress(progress)

    tuning = tune(
        design,
        movables,
        wish,
        budget=budget,
        progress=show,
        cancelled=call.cancelled,
        copies=copies,
        display=display,
    )
    before, after = (spread(each, copies) for each in (design, tuning.design))
    return Tuned(design, tuning, _held(before), _held(after))


def sweep(call: Call, design: Design, number: str, values: Values, reading: str) -> Sweep:
    """A reading over the values of a number; see `solver.sweep`."""
    from solver.sweep import sweep

    return sweep(design, number, values, [reading])


def sweep_copies(call: Call, design: Design, number: str, values: Values) -> Sweep:
    """The share of copies that hold all limits over a number; see `solver.sweep_copies`."""
    from solver.sweep_copies import sweep_copies

    return sweep_copies(design, number, values)


def sweep_map(
    call: Call, design: Design, across: tuple[str, Values], up: tuple[str, Values], reading: str
) -> SweepMap:
    """A reading over the values of two numbers; see `solver.sweep`."""
    from solver.sweep import sweep_map

    return sweep_map(design, across, up, [reading])


def _held(spread: Spread) -> Share:
    return spread.all_limits if spread.limits else spread.good


JOBS: Mapping[str, Callable[..., Any]] = {
    "spread": spread,
    "effects": effects,
    "zone": zone,
    "tune": tune,
    "sweep": sweep,
    "copies": sweep_copies,
    "map": sweep_map,
}
