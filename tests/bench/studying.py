"""Figures for the studies of one design: tolerances and sensitivities."""

from __future__ import annotations

from collections.abc import Callable

from solver.batch import read_batch
from solver.margins import demands
from solver.model import Design
from solver.plan import compile_design
from solver.sampling import Copier, variates
from solver.sensitivity import sensitivities
from solver.spread import spread
from tests.bench.solving import layout
from tests.bench.timing import Row, median, milliseconds, milliseconds_row


def rows() -> list[Row]:
    """All rows of the studies."""
    lever, four_bar = layout("compression"), layout("rocker")
    return [*_of("lever", lever, "80 ms"), *_of("four-bar", four_bar, "145 ms (400 ns each)")]


def _of(name: str, design: Design, target: str) -> list[Row]:
    study = "tolerance study 2 000 × 181"
    others: tuple[tuple[str, Callable[[], object]], ...] = (
        (f"{study}, with bands and causes, {name}", lambda: spread(design)),
        (f"the same with 500 copies, {name}", lambda: spread(design, 500)),
        (f"sensitivities, {name}", lambda: sensitivities(design, "holding_force")),
    )
    return [
        milliseconds_row(f"{study}, {name}", lambda: _shares(design), target),
        *(Row(what, milliseconds(median(work)), "–") for what, work in others),
    ]


def _shares(design: Design) -> float:
    """The share of copies that hold all limits."""
    plan = compile_design(design, holes=True)
    copier = Copier.of(design, plan)
    copies = copier.copies(variates(len(copier.items), 2000))
    values = read_batch(plan, copies, 181).values
    return float((demands(design).margins(values) >= 0.0).all(axis=1).mean())
