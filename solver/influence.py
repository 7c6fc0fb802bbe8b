"""Which tolerance a reading's spread comes from, by regression over the copies themselves.

Where a reading is the least of several (the weaker rest, the tightest spring) or the extreme of a
curve that may lie at either rest, it bends sharply where one takes over from the other, and a
single straight line would call a hole harmless that always hurts one of the two. The copies are
therefore parted by what governs the reading in them, and each part has a line of its own:

    reading = constant + Σ slope_i · off_i     share_i = Σ parts n · slope_i² · var(off_i) / total

`total` also holds what the lines leave: curvature, and things that only matter together (a
tolerance that acts as the square of an error has no share of its own). Slopes of a part that
fewer than three copies per item govern are not told apart and are left out.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.batch import BatchReadings

Array = NDArray[np.float64]
Parts = NDArray[np.intp]

_AT_END = 1e-9
"""Degrees of travel within which a place is at a rest."""


_ROUNDING = 1e-10
"""Share of a reading's size below which its spread is rounding."""


@dataclass(frozen=True, slots=True)
class Influence:
    """Of one reading: share of the variance per item (D,), what is left over, and the slopes.

    slopes: per part (D,), the reading's change from the middle to the end of each tolerance.
    """

    shares: Array
    remainder: float
    slopes: tuple[Array, ...]


def governed_by(key: str, batch: BatchReadings) -> Parts:
    """The part (B,) that each copy belongs to for a reading."""
    values, where = batch.values, batch.where
    own = [each for each in components(key, values) if each != key]
    part = np.zeros(len(values[key]), dtype=np.intp)
    if own:
        part = np.argmax(np.stack([values[each] == values[key] for each in own]), axis=0) * 3
    if key in where:
        place, throw = where[key], values["throw"]
        part = part + (place > _AT_END) + (place >= throw - _AT_END)
    return part


def components(key: str, values: Collection[str]) -> tuple[str, ...]:
    """The readings that a reading is the least (or the greatest) of; itself for most.

    `values` are the keys of all readings that there are.
    """
    pairs = {"peak_effort": ("_to_b", "_to_a")}.get(key, ("_a", "_b"))
    both = tuple(key + end for end in pairs)
    if all(each in values for each in both):
        return both
    springs = tuple(each for each in values if each.startswith(f"{key}:"))
    return springs or (key,)


def influences(off: Array, batch: BatchReadings) -> dict[str, Influence]:
    """The influence of every item on every reading; off: (B, D), see `solver.sampling`."""
    copies, items = off.shape
    ground = np.column_stack([np.ones(copies), off])
    found: dict[str, Influence] = {}
    together: dict[bytes, tuple[Parts, list[str]]] = {}
    for key, values in batch.values.items():
        part = np.where(np.isfinite(values), governed_by(key, batch), -1)
        together.setdefault(part.tobytes(), (part, []))[1].append(key)
    for part, keys in together.values():
        table = np.stack([batch.values[key] for key in keys], axis=1)
        fits = list(_fits(ground, table, part, 3 * (items + 1)))
        for place, key in enumerate(keys):
            size = float(np.nanmax(np.abs(table[:, place]), initial=0.0))
            own = [(count, lines[:, place], rest[place]) for count, lines, rest in fits]
            found[key] = _mixed(own, off, size)
    return found


def _fits(
    ground: Array, table: Array, part: Parts, least: int
) -> Iterator[tuple[int, Array, Array]]:
    """For each part: copies, coefficients (1 + D, K) and what is left of the variance (K,)."""
    for which in np.unique(part[part >= 0]):
        rows = part == which
        count = int(rows.sum())
        if count < least:
            continue
        x, y = ground[rows], table[rows]
        y = y - y.mean(axis=0)
        lines = np.linalg.lstsq(x.T @ x, x.T @ y, rcond=None)[0]
        yield count, lines, np.mean((y - x @ lines) ** 2, axis=0)


def _mixed(fits: list[tuple[int, Array, float]], off: Array, size: float) -> Influence:
    items = off.shape[1]
    variance = off.var(axis=0)
    each, left = np.zeros(items), 0.0
    for count, lines, rest in fits:
        each += count * lines[1:] ** 2 * variance
        left += count * float(rest)
    total = float(each.sum()) + left
    slopes = tuple(lines[1:] for _, lines, _ in fits)
    if not total > len(off) * (_ROUNDING * size) ** 2:
        return Influence(np.zeros(items), 0.0, slopes)
    return Influence(each / total, left / total, slopes)
