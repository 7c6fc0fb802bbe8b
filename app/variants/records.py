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
from app.variants.comparison import Comparison, Entry
from app.variants.copies_lines import ALL, best_shares, copies_share, held, share_rows, worst_of
from app.variants.tables import changed, room, table_of
from solver import compare
from solver.project import Project, Variant

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
        for sentence in sentences:
            empty = [""] * (2 * len(entries) - 1)
            head = f"Different from {comparison.base.number}: {entry.number} {entry.name}"
            yield [head, sentence, "", *empty, "", ""]


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


def _plain(number: float) -> str:
    return f"{number:.9g}" if math.isfinite(number) else ""


def _named(entries: tuple[Entry, ...], indices: Iterable[int]) -> str:
    return "; ".join(entries[index].name for index in indices)
