"""Why copies of compared variants fail: what spreads the tightest limits' readings, and how far.

Needs no Qt.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from app.study_words import bound, corner, count, percent
from app.variants.comparison import Comparison, Entry
from app.variants.copies_words import between, ends
from app.variants.lines import Cell, Line
from solver import compare, units
from solver.readings import catalogue

if TYPE_CHECKING:
    from solver.spread import Contribution, LimitSpread, Percentiles

BAND_HEAD = "Limited readings in 90 of 100 copies"
LEAST = 0.005
"""Shares of a spread below this are not told."""
SOURCES = 3
"""So many tolerances of each variant are told, those that spread a reading most."""


def tightest(entry: Entry) -> LimitSpread | None:
    """The limit that fewest copies of a variant hold; None without limits, or while not known.

    Of limits that equally many hold, one that fails with all tolerances at their worst; of these
    the one whose reading as drawn is fewest of its standard deviations away from the bound.
    """
    limits = () if entry.copies is None else entry.copies.limits
    return min(
        limits,
        key=lambda each: (each.holds.share, each.worst_holds, _deviations_away(entry, each)),
        default=None,
    )


def spread_keys(comparison: Comparison) -> tuple[str, ...]:
    """The readings of the limits that are tightest in some variant and can fail there."""
    found = [tightest(entry) for entry in comparison.entries]
    return tuple(dict.fromkeys(each.limit.reading for each in found if each and _can_fail(each)))


def in_copies(entry: Entry, key: str) -> Percentiles | None:
    """A reading over all copies of a variant; None while that is not known, or without it."""
    return None if entry.copies is None else entry.copies.readings.get(key)


def sources(entry: Entry, key: str) -> tuple[Contribution, ...]:
    """What spreads a reading, the greatest share first; empty while that is not known."""
    if entry.copies is None or key not in entry.copies.shares:
        return ()
    return tuple(each for each in entry.copies.contributions(key) if each.share >= LEAST)


def source_names(comparison: Comparison, key: str) -> tuple[str, ...]:
    """The tolerances that spread a reading most in some variant, the greatest share first."""
    told = [each for entry in comparison.entries for each in sources(entry, key)[:SOURCES]]
    told.sort(key=lambda each: -each.share)
    return tuple(dict.fromkeys(each.label for each in told))


def source_share(entry: Entry, key: str, name: str) -> float:
    """The share of a reading's spread that one tolerance brings; NaN where there is none."""
    found = (each.share for each in sources(entry, key) if each.label == name)
    return next(found, math.nan)


def reason_lines(comparison: Comparison, limits: Sequence[compare.LimitRow]) -> list[Line]:
    """How far limited readings go in copies, and what spreads those that can fail.

    Empty while nothing is known of copies.
    """
    if not limits or all(entry.copies is None for entry in comparison.entries):
        return []
    made = [Line("band", BAND_HEAD), *(_band_line(comparison, row) for row in limits)]
    labels = {row.key: row.label for row in limits}
    for key in spread_keys(comparison):
        made.append(Line(f"sources {key}", f"{labels[key]}: its spread comes from"))
        for name in source_names(comparison, key):
            shares = [source_share(entry, key, name) for entry in comparison.entries]
            cells = tuple(Cell(percent(share)) for share in shares)
            made.append(Line(f"source {key} {name}", name, "", cells))
    return made


def answer(entry: Entry, comparison: Comparison, why: bool = True) -> str:
    """How many copies of a variant hold its limits; `why` adds what most of the rest is due to."""
    if entry.analysis is None:
        return entry.outcome.sentence
    words = "" if entry.outcome.state == "good" else f"{entry.outcome.words}. "
    if entry.copies is None:
        return words or f"{entry.outcome.words}."
    found = entry.copies
    share = found.all_limits if found.limits else found.good
    told = f"{percent(share.share)} of {count(found.copies)} copies"
    told = f"All limits hold in {told}" if found.limits else f"{told} work as a throw-over lever"
    told = f"{words}{told} (95 % sure: {ends(share)} %)."
    limit = tightest(entry)
    return told if limit is None else f"{told} {_limit_told(entry, limit, comparison, why)}"


def _can_fail(each: LimitSpread) -> bool:
    return each.holds.count < each.holds.of or not each.worst_holds


def _band_line(comparison: Comparison, row: compare.LimitRow) -> Line:
    cells = []
    for entry in comparison.entries:
        found = in_copies(entry, row.key)
        if found is None:
            waiting = entry.copies is None and entry.analysis is not None
            cells.append(Cell("…" if waiting else "–"))
        else:
            text = between(found.low, found.high, row.quantity, comparison.display)
            full = between(found.low, found.high, row.quantity, comparison.display, unit=True)
            cells.append(Cell(text, full=full))
    unit = units.unit_of(row.quantity, comparison.display)
    return Line(f"band {row.key}", row.label, unit, tuple(cells))


def _deviations_away(entry: Entry, each: LimitSpread) -> float:
    """How many standard deviations a limit's reading as drawn is from its nearest bound."""
    found = in_copies(entry, each.limit.reading)
    bounds = [end for end in (each.limit.at_least, each.limit.at_most) if end is not None]
    if found is None or not bounds or math.isnan(found.nominal):
        return math.inf
    away = min(abs(found.nominal - end) for end in bounds)
    return away / found.deviation if found.deviation > 0.0 else math.inf


def _limit_told(entry: Entry, limit: LimitSpread, comparison: Comparison, why: bool) -> str:
    """The tightest limit: what it asks for, and its reading as drawn, in copies, at the worst."""
    display, key = comparison.display, limit.limit.reading
    kind = next(kind for kind in catalogue(entry.outcome.design) if kind.key == key)
    asked = bound(limit.limit, kind.quantity, display)
    failing = limit.holds.count < limit.holds.of
    told = f"“{limit.label}”, {asked}," if asked else f"“{limit.label}”"
    told += " fails most: " if failing else " is tightest: "
    readings = []
    found = in_copies(entry, key)
    if found is not None:
        band = between(found.low, found.high, kind.quantity, display, unit=True)
        readings.append(f"{units.show(found.nominal, kind.quantity, display)} as drawn")
        readings.append(f"{band} in 90 of 100 copies")
    worst = corner(limit.limit, limit.worst, limit.worst_holds, kind.quantity, display)
    if not math.isnan(limit.worst):
        worst = units.show(limit.worst, kind.quantity, display)
    readings.append(f"{worst} with all tolerances at their worst at once")
    told += ", ".join(readings)
    names = [f"{each.label} {percent(each.share)}" for each in sources(entry, key)[:SOURCES]]
    if why and names:
        told += f"; its spread comes from {', '.join(names)}"
    return f"{told}."
