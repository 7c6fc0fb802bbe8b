"""A comparison in numbers and words: as lines for screen and paper, and as text.

Needs no Qt. For JSON and CSV see `app.variants.records`.
"""

from __future__ import annotations

import math

from app.variants.comparison import Comparison, Entry
from app.variants.copies_lines import copies_lines
from app.variants.lines import BEST, Cell, Line, State
from app.variants.reasons import answer, reason_lines
from solver import compare, units
from solver.changes import changes
from solver.project import Display
from solver.results import LimitResult

LIMITS_HEAD = "Limits: room left (✓ holds, ✕ fails)"
OF_SHOWN = "of the numbers as shown (exact in the CSV)"
"""What the differences in brackets are of, so that they are what a reader finds by subtracting."""
EACH_ITS_OWN = "each its own limit"
_SAME = "Nothing that counts is different."


def legend(comparison: Comparison) -> str:
    """What the marks in the table mean."""
    number = comparison.base.number
    return f"{BEST} and bold: best of the row. In brackets: difference to {number}, {OF_SHOWN}."


def lines(comparison: Comparison) -> tuple[Line, ...]:
    """The whole table, group by group, in the display's units."""
    table, display = table_of(comparison), comparison.display
    made = [Line("parts", "Parts"), *(_count_line(row, comparison) for row in table.counts)]
    if table.limits:
        made.append(Line("limits", LIMITS_HEAD))
        made += [_limit_line(row, comparison) for row in table.limits]
    made += copies_lines(comparison, table.limits)
    made += reason_lines(comparison, table.limits)
    group = ""
    for row in table.readings:
        if row.group != group:
            group = row.group
            made.append(Line(f"group {group}", group))
        made.append(_reading_line(row, display))
    return tuple(made)


def table_of(comparison: Comparison) -> compare.Table:
    """The table in base units."""
    return compare.table(
        [entry.outcome.design for entry in comparison.entries],
        [entry.analysis for entry in comparison.entries],
        comparison.display,
        comparison.against,
    )


def changed(comparison: Comparison) -> tuple[tuple[Entry, tuple[str, ...]], ...]:
    """For every variant but the one held against, what is different in it, one sentence each."""
    base = comparison.base.outcome.design
    return tuple(
        (
            other,
            changes(base, other.outcome.design, comparison.display) or (_SAME,),
        )
        for other in comparison.others()
    )


def room(result: LimitResult) -> float:
    """What is left to a limit in base units, negative where it fails; NaN without the reading."""
    low, high, value = result.limit.at_least, result.limit.at_most, result.reading.value
    left = [value - low] if low is not None else []
    left += [high - value] if high is not None else []
    return math.nan if math.isnan(value) else min(left, default=math.inf)


def _count_line(row: compare.CountRow, comparison: Comparison) -> Line:
    base = row.counts[comparison.against]
    cells = []
    for index, count in enumerate(row.counts):
        more = f"{count - base:+d}".replace("-", "−") if count != base else compare.SAME
        more = "" if index == comparison.against else more
        cells.append(Cell(str(count), more, index in row.best))
    return Line(f"count {row.label}", row.label, "", tuple(cells))


def _limit_line(row: compare.LimitRow, comparison: Comparison) -> Line:
    display = comparison.display
    bounds = [_bounds(result, display) for result in row.results]
    known = {bound for bound in bounds if bound}
    asked = known.pop() if len(known) == 1 else EACH_ITS_OWN
    cells = []
    for entry, result in zip(comparison.entries, row.results, strict=True):
        if result is None:
            cells.append(Cell("–" if entry.analysis is None else "no limit"))
            continue
        left = units.number(room(result), row.quantity, display)
        sign = "✓ +" if result.holds else "✕ "
        state: State = "good" if result.holds else "bad"
        cells.append(Cell(f"{sign}{left}", state=state, tip=result.sentence))
    label = f"{row.label}: {asked}"
    unit = units.unit_of(row.quantity, display)
    return Line(f"limit {row.key}", label, unit, tuple(cells))


def _bounds(result: LimitResult | None, display: Display) -> str:
    if result is None:
        return ""
    limit, quantity = result.limit, result.reading.quantity
    told = [
        f"{sign} {units.show(bound, quantity, display)}"
        for sign, bound in (("≥", limit.at_least), ("≤", limit.at_most))
        if bound is not None
    ]
    return ", ".join(told)


def _reading_line(row: compare.ReadingRow, display: Display) -> Line:
    cells = []
    for index, (value, more) in enumerate(zip(row.values, row.differences, strict=True)):
        shown = units.number(value, row.quantity, display)
        cells.append(Cell(shown, more, index in row.best))
    unit = units.unit_of(row.quantity, display)
    return Line(row.key, row.label, unit, tuple(cells))


# ---- text ------------------------------------------------------------------------------


def as_text(comparison: Comparison) -> str:
    """The comparison for a terminal: verdicts, the table, what changed; ends in a newline."""
    out = [comparison.title, ""]
    for entry in comparison.entries:
        out.append(f"{entry.number}  {entry.name}")
        out.append(f"   {entry.outcome.words}. {entry.outcome.sentence}")
        if entry.copies is not None:
            out.append(f"   {answer(entry, comparison)}")
    rows = [row for row in lines(comparison) if row.key != "range"]  # shares have theirs
    width = max(len(row.label) for row in rows if row.cells) + 2
    column = max(14, *(len(_full(row, cell)) + 2 for row in rows for cell in row.cells))
    out += ["", " " * width + "".join(f"{e.number:>{column}}" for e in comparison.entries)]
    for row in rows:
        if not row.cells:
            out += [f"  {row.label}"] if row.remark else ["", row.label]
            continue
        cells = "".join(f"{_full(row, cell):>{column}}" for cell in row.cells)
        out.append(f"  {row.label:<{width - 2}}{cells}")
    told = legend(comparison).replace(" and bold", "")
    if any(entry.copies is not None for entry in comparison.entries):
        told += " After the colon: 95 % range, of all copies that could be made."
    out += ["", told]
    for entry, sentences in changed(comparison):
        base = comparison.base.number
        out += ["", f"What is different in {entry.number}, {entry.name}, from {base}:"]
        out += [f"  {sentence}" for sentence in sentences]
    return "\n".join(out) + "\n"


def _full(row: Line, cell: Cell) -> str:
    """A cell with its unit, as `throwover check` writes the number."""
    mark = f"{BEST} " if cell.best else ""
    if cell.full:
        return f"{mark}{cell.full}"
    known = cell.value[-1].isdigit() and row.unit
    unit = ("" if row.unit == "°" else " ") + row.unit if known else ""
    after = f" ({cell.difference})" if cell.difference else ""
    return f"{mark}{cell.value}{unit}{after}"
