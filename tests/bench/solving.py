"""Figures for the solver: one full analysis, whole batches, and a plain script beside them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from solver.analysis import analyse
from solver.batch import read_batch
from solver.layouts import LAYOUTS
from solver.model import Design, Weight
from solver.plan import compile_design
from tests.bench import plain_script
from tests.bench.timing import Row, median, milliseconds, milliseconds_row

BATCHES = (
    ("2 000 designs × 181 positions", 2000, 181),
    ("64 × 64 designs × 91 positions", 4096, 91),
)


def layout(key: str) -> Design:
    """A starting layout's design."""
    return next(layout for layout in LAYOUTS if layout.key == key).build()


def rows() -> list[Row]:
    """All rows of the solver."""
    lever = layout("compression")
    rocker = replace(layout("rocker"), weights=(Weight("flap", "flap edge", 0.4),))
    found = [
        milliseconds_row(
            "full analysis, lever and spring, 721 positions", lambda: analyse(lever), "1.5 ms"
        ),
        milliseconds_row(
            "full analysis, lever, rod and rocker, 721 positions", lambda: analyse(rocker), "3 ms"
        ),
    ]
    for name, design, target in (("lever", lever, "150 ns"), ("four-bar", rocker, "400 ns")):
        for label, count, positions in BATCHES:
            found.append(_batch_row(f"{label}, {name}", design, count, positions, target))
    # The plain script knows no plates.
    found.append(_ratio(replace(rocker, plates=())))
    return found


def _batch_row(label: str, design: Design, count: int, positions: int, target: str) -> Row:
    plan = compile_design(design)
    values = plan.parameters(design)
    spread = np.random.default_rng(1).normal(1.0, 1e-3, (count, len(values)))
    taken = median(lambda: read_batch(plan, values * spread, positions), 7)
    each = taken * 1e9 / (count * positions)
    return Row(label, f"{milliseconds(taken)}, {each:.0f} ns each", f"≤ 80 ms, ≤ {target} each")


def _ratio(design: Design) -> Row:
    """The plain script against one analysis, after making sure that they agree."""
    ours = {key: reading.value for key, reading in analyse(design).readings.items()}
    for key, value in plain_script.readings(91).items():
        if key in ours and abs(ours[key] - value) > 1e-4 * max(1.0, abs(value)):
            raise SystemExit(f"the plain script finds {key} = {value}, the solver {ours[key]}")
    script = median(lambda: plain_script.readings(721), 3)
    solver = median(lambda: analyse(design), 21)
    return Row(
        "plain script of scipy root finding, same readings, 721 positions",
        f"{milliseconds(script)}, {script / solver:.0f} × as long",
        "≥ 100 ×",
    )
