"""Figures for finding a better design: go zone, tuner, sweep."""

from __future__ import annotations

import numpy as np

from solver.go_zone import go_zone
from solver.model import Design
from solver.movables import Movable, PointBox, SpringNumber
from solver.sweep import sweep_map
from solver.tuner import tune
from solver.tuning_goal import Wish
from tests.bench.solving import layout
from tests.bench.timing import Row, median, milliseconds, milliseconds_row

ANCHOR = "spring anchor"


def rows() -> list[Row]:
    """All rows of finding better designs."""
    found = []
    for name, key, target in (("lever", "compression", "80 ms"), ("four-bar", "rocker", "150 ms")):
        design = layout(key)
        found += _zones(name, design, target)
        found.append(Row(f"tuner, 12 000 designs at most, {name}", _tuned(design), "–"))
        found.append(Row(f"sweep map 64 × 64 × 91, {name}", _mapped(design), "–"))
    return found


def _zones(name: str, design: Design, target: str) -> list[Row]:
    window = go_zone(design, ANCHOR).window
    what = f"go zone 64 × 64 × 91, {name}"
    return [
        milliseconds_row(what, lambda: go_zone(design, ANCHOR, window), target),
        milliseconds_row(f"{what}, looking for it first", lambda: go_zone(design, ANCHOR), target),
        milliseconds_row(
            f"{what}, with tolerances too",
            lambda: go_zone(design, ANCHOR, window, tolerance=True),
            target,
        ),
    ]


def _tuned(design: Design) -> str:
    movables: list[Movable] = [
        PointBox(ANCHOR, 15.0, 15.0),
        SpringNumber("main spring", "free_length", 75, 95),
    ]
    wish = Wish("most", "holding_force")
    tries = tune(design, movables, wish).evaluations
    return f"{milliseconds(median(lambda: tune(design, movables, wish), 3))}, {tries} tried"


def _mapped(design: Design) -> str:
    xs, ys = np.linspace(-10.0, 10.0, 64), np.linspace(2.0, 4.0, 64)
    numbers = (f"points.{ANCHOR}.x", xs), ("springs.main spring.rate", ys)
    return milliseconds(median(lambda: sweep_map(design, *numbers, ["holding_force"]), 5))
