"""Medians and table rows. These machines are noisy: figures, never pass or fail."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median as middle


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: what, how long, what it should be."""

    what: str
    figure: str
    target: str


def median(work: Callable[[], object], runs: int = 21) -> float:
    """Median time of a piece of work in seconds, after two runs to warm up."""
    work(), work()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return middle(times)


def milliseconds(seconds: float) -> str:
    """A time as text."""
    return f"{seconds * 1e3:.2f} ms" if seconds < 0.1 else f"{seconds * 1e3:.0f} ms"


def milliseconds_row(what: str, work: Callable[[], object], target: str) -> Row:
    """A row for one piece of work."""
    return Row(what, milliseconds(median(work)), f"≤ {target}")


def table(rows: list[Row]) -> str:
    """The rows as a Markdown table."""
    lines = ["| what | median here | target |", "|---|---|---|"]
    return "\n".join([*lines, *(f"| {row.what} | {row.figure} | {row.target} |" for row in rows)])
