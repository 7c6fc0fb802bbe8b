"""Where along a line several numbers are all 0 or more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch from `start` to `end` (places, mm), and what ends it at either end.

    A label is "" where only the end of what was looked at ends it.
    """

    start: Place
    end: Place
    start_label: str
    end_label: str


def spans(places: NDArray[np.complex128], fields: Values, labels: tuple[str, ...]) -> list[Span]:
    """The stretches along places (X,) where all fields (X, L) are 0 or more.

    Ends are found on the straight line between two places: off by at most h²/8 of the curvature.
    """
    good = np.concatenate([[False], fields.min(axis=1) >= 0.0, [False]])
    firsts: list[int] = np.flatnonzero(good[1:-1] & ~good[:-2]).tolist()
    lasts: list[int] = np.flatnonzero(good[1:-1] & ~good[2:]).tolist()
    found = []
    for first, last in zip(firsts, lasts, strict=True):
        start, start_key = _end(places, fields, first, first - 1)
        end, end_key = _end(places, fields, last, last + 1)
        names = [labels[key] if key >= 0 else "" for key in (start_key, end_key)]
        found.append(Span((start.real, start.imag), (end.real, end.imag), *names))
    return found


def _end(
    places: NDArray[np.complex128], fields: Values, inside: int, outside: int
) -> tuple[complex, int]:
    """Where a stretch ends between two neighbouring places, and by which field (-1: none)."""
    if not 0 <= outside < len(places):
        return complex(places[inside]), -1
    here, there = fields[inside], fields[outside]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(there < 0.0, here / (here - there), np.inf)
    key = int(np.argmin(share))
    return complex(places[inside] + share[key] * (places[outside] - places[inside])), key
