"""Medians and table rows. These machines are noisy: figures, never pass or fail."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median as middle

import numpy as np

_ROUNDS = 120_000
"""Of the fixed piece of work: about as long as a frame."""


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


def fixed_work(pieces: int = 120) -> list[float]:
    """Times (s) of one and the same piece of arithmetic, done sixty times a second.

    What they vary by, the machine varies by: frames of a drag vary at least as much.
    """
    _count(_ROUNDS), _count(_ROUNDS)
    times, began = [], time.perf_counter()
    for piece in range(pieces):
        while time.perf_counter() < began + piece / 60.0:
            time.sleep(0.0005)
        start = time.perf_counter()
        _count(_ROUNDS)
        times.append(time.perf_counter() - start)
    return times


def _count(rounds: int) -> int:
    total = 0
    for number in range(rounds):
        total += number * number
    return total


def within(times: Sequence[float]) -> str:
    """Median and 95th percentile as text."""
    middle_one, most = np.percentile(times, (50, 95))
    return f"{milliseconds(middle_one)}, 95 % within {milliseconds(most)}"


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
