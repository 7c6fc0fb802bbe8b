"""A comparison for scripts and spreadsheets: JSON and CSV, in base units. Needs no Qt."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict
from typing import Any

from app import report
from app.study_words import TIED
from app.variants.comparison import Comparison, Entry
from app.variants.copies_lines import ALL, best_shares, copies_share, held, share_rows, worst_of
from app.variants.copies_words import tolerances
from app.variants.reasons import answer, in_copies, source_names, source_share, sources, spread_keys
from app.variants.tables import changed, room, table_of
from solver import compare
from solver.model import CompressionSpring, ExtensionSpring, TorsionSpring
from solver.project import Project, Variant

TOLERANCES = (
    ("hole", "holes in x and in y, ±", "mm"),
    ("stop", "rests, ±", "deg"),
    ("rate", "rate, ±", "%"),
    ("free_length", "free length, ±", "mm"),
    ("free_angle", "free angle, ±", "deg"),
    ("initial_tension", "initial tension, ±", "%"),
    ("friction_least", "friction from ×", ""),
    ("friction_most", "friction to ×", ""),
    ("load", "loads and weights, ±", "%"),
)
"""The numbers of `solver.model.Tolerances` with their names and units in a table."""
_OF_SPRINGS = (
    ("rate", CompressionSpring | ExtensionSpring | TorsionSpring),
    ("free_length", CompressionSpring | ExtensionSpring),
    ("free_angle", TorsionSpring),
    ("initial_tension", ExtensionSpring),
)
_NOISE = 1e-9
"""Differences smaller than this share of the numbers come of rounding."""


def as_json(comparison: Comparison) -> str:
    """Everything in base units: for each variant what `throwover check --json` prints, and more."""
    table = table_of(comparison)
    told = {entry.number: sentences for entry, sentences in changed(comparison)}
    names = [entry.name for entry in comparison.entries]
    record = {
        "title": comparison.title,
        "against": comparison.base.name,
        "variants": [
            {
                **_checked(entry, comparison),
                "parts": _parts(entry),
                "copies": _copies(entry),
                "answer": answer(entry, comparison),
                "different": list(told.get(entry.number, ())),
            }
            for entry in comparison.entries
        ],
        "best": {row.key: [names[index] for index in row.best] for row in table.readings},
    }
    return json.dumps(record, indent=2, ensure_ascii=False) + "\n"


def _checked(entry: Entry, comparison: Comparison) -> dict[str, Any]:
    if entry.analysis is None:
        return {"variant": entry.name, "problem": entry.outcome.problem}
    variant = Variant(entry.name, entry.outcome.design)
    project = Project(comparison.title, (variant,), display=comparison.display)
    record: dict[str, Any] = json.loads(report.as_json(project, entry.analysis))
    return record


def _copies(entry: Entry) -> dict[str, Any] | None:
    """Shares of copies, 0 to 1; None where they are not known."""
    if entry.copies is None:
        return None
    keys = dict.fromkeys(each.limit.reading for each in entry.copies.limits)
    return {
        "of": entry.copies.copies,
        "all_limits": copies_share(entry, ALL),
        "limits": {key: copies_share(entry, key) for key in keys},
        "conditions": {each.label: each.holds.share for each in entry.copies.conditions},
        "worst_holds": {key: found.worst_holds for key in keys if (found := worst_of(entry, key))},
        "readings": {key: _in_copies(entry, key) for key in keys},
        "spread_comes_from": {
            key: {each.label: each.share for each in sources(entry, key)} for key in keys
        },
        "tolerances": asdict(entry.outcome.design.tolerances),
    }


def _in_copies(entry: Entry, key: str) -> dict[str, float | None]:
    """A limited reading as `throwover spread --json` names it, base units; None where not known."""
    found, worst = in_copies(entry, key), worst_of(entry, key)
    return {
        "percentile_5": None if found is None else _finite(found.low),
        "percentile_95": None if found is None else _finite(found.high),
        "all_at_worst": None if worst is None else _finite(worst.worst),
    }


def _parts(entry: Entry) -> dict[str, int]:
    count = compare.part_count(entry.outcome.design)
    return {**asdict(count), "total": count.total}


def as_csv(comparison: Comparison) -> str:
    """The table in base units: values, differences to the one held against, who is best.

    "holds in" names the variants that hold a limit as drawn, or at the worst of all tolerances.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    entries, base = comparison.entries, comparison.base.number
    writer.writerow(
        [
            *("group", "what", "unit"),
            *(f"{entry.number} {entry.name}" for entry in entries),
            *(f"{entry.number} minus {base}" for entry in comparison.others()),
            *("best", "holds in"),
        ]
    )
    writer.writerows(_rows(comparison))
    return out.getvalue()


def _rows(comparison: Comparison) -> Iterator[list[str]]:
    entries, table = comparison.entries, table_of(comparison)
    for count in table.counts:
        best = _named(entries, count.best)
        yield _row(comparison, "Parts", count.label, "", count.counts, best)
    for limit in table.limits:
        rooms = [math.nan if result is None else room(result) for result in limit.results]
        unit = report.BASE_UNITS[limit.quantity]
        holding = [at for at, result in enumerate(limit.results) if result and result.holds]
        names = _named(entries, holding)
        yield _row(comparison, "Limits, room left", limit.label, unit, rooms, holds=names)
    if any(entry.copies is not None for entry in entries):
        yield from _copies_rows(comparison, table.limits)
    for row in table.readings:
        unit = report.BASE_UNITS[row.quantity]
        best = _named(entries, row.best)
        yield _row(comparison, row.group, row.label, unit, row.values, best)
    for entry, sentences in changed(comparison):
        head = f"Different from {comparison.base.number}: {entry.number} {entry.name}"
        for sentence in sentences:
            yield _worded(comparison, head, sentence)


def _copies_rows(
    comparison: Comparison, limits: tuple[compare.LimitRow, ...]
) -> Iterator[list[str]]:
    """Shares with the ends of their 95 % ranges, then the readings at the worst."""
    entries = comparison.entries
    for key, label in share_rows(comparison, limits):
        shares = [held(entry, key) for entry in entries]
        best = _named(entries, (at for at, each in enumerate(best_shares(comparison, key)) if each))
        for ending, values in (
            ("", [math.nan if share is None else share.share for share in shares]),
            (", 95 % range from", [math.nan if share is None else share.low for share in shares]),
            (", 95 % range to", [math.nan if share is None else share.high for share in shares]),
        ):
            group = "Share of copies that hold"
            yield _row(comparison, group, label + ending, "", values, "" if ending else best)
    for limit in limits:
        worst = [worst_of(entry, limit.key) for entry in entries]
        values = [math.nan if each is None else each.worst for each in worst]
        names = _named(entries, (at for at, each in enumerate(worst) if each and each.worst_holds))
        unit = report.BASE_UNITS[limit.quantity]
        yield _row(comparison, "All tolerances at worst", limit.label, unit, values, holds=names)
    for limit in limits:
        found = [in_copies(entry, limit.key) for entry in entries]
        unit = report.BASE_UNITS[limit.quantity]
        for ending, values in (
            (", 5th percentile", [math.nan if each is None else each.low for each in found]),
            (", 95th percentile", [math.nan if each is None else each.high for each in found]),
        ):
            yield _row(comparison, "Readings of copies", limit.label + ending, unit, values)
    labels = {limit.key: limit.label for limit in limits}
    for key in spread_keys(comparison):
        for name in source_names(comparison, key):
            values = [source_share(entry, key, name) for entry in entries]
            yield _row(comparison, f"Share of the spread of: {labels[key]}", name, "", values)
    yield from _made_rows(comparison)


def _made_rows(comparison: Comparison) -> Iterator[list[str]]:
    """How many copies were made, and what they are off by: numbers, then in the display's words."""
    entries = comparison.entries
    made = [math.nan if each.copies is None else each.copies.copies for each in entries]
    yield _row(comparison, "Copies", "copies made", "", made)
    given = [entry.outcome.design.tolerances for entry in entries]
    idle = {
        field
        for field, kind in _OF_SPRINGS
        if not any(isinstance(s, kind) for entry in entries for s in entry.outcome.design.springs)
    }
    for field, label, unit in (row for row in TOLERANCES if row[0] not in idle):
        values = [getattr(each, field) for each in given]
        yield _row(comparison, "Tolerances of copies", label, unit, values)
    for entry in comparison.solved():
        words = tolerances(entry.outcome.design, comparison.display).replace(TIED, " ")
        yield _worded(comparison, f"Tolerances in words: {entry.number} {entry.name}", words)
    for entry in entries:
        told = answer(entry, comparison)
        yield _worded(comparison, f"In words: {entry.number} {entry.name}", told)


def _worded(comparison: Comparison, group: str, words: str) -> list[str]:
    return [group, words, "", *[""] * (2 * len(comparison.entries) - 1), "", ""]


def _row(
    comparison: Comparison,
    group: str,
    label: str,
    unit: str,
    values: Sequence[float],
    best: str = "",
    holds: str = "",
) -> list[str]:
    base = values[comparison.against]
    more = [_gap(each, base) for at, each in enumerate(values) if at != comparison.against]
    unit = "" if unit == "1" else unit
    return [group, label, unit, *map(_plain, values), *map(_plain, more), best, holds]


def _gap(value: float, base: float) -> float:
    """What a variant has more than the one held against; what rounding leaves is none."""
    gap = value - base
    return 0.0 if abs(gap) <= _NOISE * max(abs(value), abs(base)) else gap


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _plain(number: float) -> str:
    return f"{number:.9g}" if math.isfinite(number) else ""


def _named(entries: tuple[Entry, ...], indices: Iterable[int]) -> str:
    return "; ".join(entries[index].name for index in indices)
