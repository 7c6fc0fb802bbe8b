"""The lines of the comparison on many copies of each variant. Needs no Qt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from app.study_words import CORNER, corner, percent
from app.variants.comparison import Comparison, Entry
from app.variants.copies_words import copies_words, ends, share_words
from app.variants.lines import Cell, Line
from solver import compare, units
from solver.quantiles import Share

if TYPE_CHECKING:
    from solver.spread import LimitSpread

COPIES_HEAD = "Of many copies, each off by its tolerances, hold"
RANGE = "All limits hold, 95 % range"
WORST_HEAD = f"With {CORNER}"
ALL = "all"
"""The key of the share of copies that hold all limits."""


def copies_lines(comparison: Comparison, limits: Sequence[compare.LimitRow]) -> list[Line]:
    """How many copies hold all limits, each of them and what every lever must do besides.

    Also what the worst copy does. Empty while nothing is known of copies.
    """
    if all(entry.copies is None for entry in comparison.entries):
        return []
    told = enumerate(copies_words(comparison))
    made = [Line("shares", COPIES_HEAD)]
    made += [Line(f"tolerances {at}", words, remark=True) for at, words in told]
    for key, label in share_rows(comparison, limits):
        made.append(Line(f"copies {key}", label, "", _share_cells(comparison, key)))
        if key == ALL:
            made.append(Line("range", RANGE, "", _range_cells(comparison)))
    if limits:
        made.append(Line("worst", WORST_HEAD))
        made += [_worst_line(comparison, row) for row in limits]
    return made


def share_rows(
    comparison: Comparison, limits: Sequence[compare.LimitRow]
) -> tuple[tuple[str, str], ...]:
    """The key and the label of every share: all limits, each limit, each condition."""
    known = [entry.copies for entry in comparison.entries if entry.copies is not None]
    conditions = dict.fromkeys(each.label for spread in known for each in spread.conditions)
    return (
        (ALL, "All limits hold"),
        *((row.key, row.label) for row in limits),
        *((f"condition {label}", label) for label in conditions),
    )


def held(entry: Entry, key: str) -> Share | None:
    """How many copies hold what a row of `share_rows` is about; None: not known."""
    if entry.copies is None:
        return None
    if key == ALL:
        return entry.copies.all_limits
    found = [each.holds for each in entry.copies.limits if each.limit.reading == key]
    found += [each.holds for each in entry.copies.conditions if f"condition {each.label}" == key]
    return min(found, key=lambda share: share.share, default=None)


def copies_share(entry: Entry, key: str) -> float:
    """The share of copies that hold it; NaN: not known."""
    share = held(entry, key)
    return math.nan if share is None else share.share


def worst_of(entry: Entry, key: str) -> LimitSpread | None:
    """A limit over all copies, with the reading where all tolerances are at their worst."""
    limits = () if entry.copies is None else entry.copies.limits
    found = [each for each in limits if each.limit.reading == key]
    failing = [each for each in found if not each.worst_holds]
    return next(iter((*failing, *found)), None)


def best_shares(comparison: Comparison, key: str) -> list[bool]:
    """Of each variant whether more of its copies hold than of another, as shares are printed."""
    known = [copies_share(entry, key) for entry in comparison.entries]
    shown = [percent(share) for share in known]
    sure = [share for share in known if not math.isnan(share)]
    top = percent(max(sure)) if len(sure) > 1 else ""
    best = [text == top for text in shown]
    return [each and sum(best) < len(sure) for each in best]


def _share_cells(comparison: Comparison, key: str) -> tuple[Cell, ...]:
    """The shares; their 95 % ranges stand in the tips, and behind them where there is room."""
    cells = []
    for entry, best in zip(comparison.entries, best_shares(comparison, key), strict=True):
        share = held(entry, key)
        if share is None:
            cells.append(Cell(_unknown(entry), best=best))
            continue
        tip = f"95 % range: {ends(share)} % of all copies that could be made"
        shown = percent(share.share)
        cells.append(Cell(shown, best=best, tip=tip, full=share_words(share)))
    return tuple(cells)


def _range_cells(comparison: Comparison) -> tuple[Cell, ...]:
    shares = [held(entry, ALL) for entry in comparison.entries]
    return tuple(
        Cell(_unknown(entry) if share is None else f"{ends(share)} %")
        for entry, share in zip(comparison.entries, shares, strict=True)
    )


def _unknown(entry: Entry) -> str:
    return "…" if entry.copies is None and entry.analysis else "–"


def _worst_line(comparison: Comparison, row: compare.LimitRow) -> Line:
    cells = []
    unit = units.unit_of(row.quantity, comparison.display)
    after = unit if unit == "°" else f" {unit}"
    for entry in comparison.entries:
        worst = worst_of(entry, row.key)
        if worst is None:
            cells.append(Cell(_unknown(entry)))
            continue
        display = comparison.display
        told = corner(worst.limit, worst.worst, worst.worst_holds, row.quantity, display)
        value = units.show(worst.worst, row.quantity, display)
        full = told if math.isnan(worst.worst) else f"{value}, {told}"
        cells.append(Cell(full.replace(after, "") if unit else full, full=full))
    return Line(f"worst {row.key}", row.label, unit, tuple(cells))
