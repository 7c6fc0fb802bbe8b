"""A comparison in numbers and words: as lines for screen and paper, as text, JSON and CSV.

Needs no Qt.
"""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any, Literal

from app import report
from app.study_words import CORNER, corner, percent
from app.variants.comparison import Comparison, Entry
from app.variants.copies_words import copies_words, share_words
from solver import compare, units
from solver.changes import changes
from solver.project import Display, Project, Variant
from solver.quantiles import Share
from solver.results import LimitResult
from solver.units import Quantity

if TYPE_CHECKING:
    from solver.spread import LimitSpread

State = Literal["", "good", "bad"]

BEST = "◆"
"""What stands before the best of a row, besides bold type."""
LIMITS_HEAD = "Limits: room left (✓ holds, ✕ fails)"
COPIES_HEAD = "Of many copies, each off by its tolerances, hold (95 % range)"
WORST_HEAD = f"With {CORNER}"
_SAME = "Nothing that counts is different."


@dataclass(frozen=True, slots=True)
class Cell:
    """One variant's entry in a line: value, difference to the base, whether it is the best.

    state tells of a limit whether it holds, tip by how much in a sentence.
    """

    value: str
    difference: str = ""
    best: bool = False
    state: State = ""
    tip: str = ""

    def text(self) -> str:
        """All of it in a few characters."""
        mark = f"{BEST} " if self.best else ""
        after = f" ({self.difference})" if self.difference else ""
        return f"{mark}{self.value}{after}"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table; `cells` is empty for the heading of a group.

    It is empty too for `remark`s, words below a heading.
    """

    key: str
    label: str
    unit: str = ""
    cells: tuple[Cell, ...] = ()
    remark: bool = False


def legend(comparison: Comparison) -> str:
    """What the marks in the table mean."""
    number = comparison.base.number
    return f"{BEST} and bold: best of the row. In brackets: difference to {number}."


def lines(comparison: Comparison) -> tuple[Line, ...]:
    """The whole table, group by group, in the display's units."""
    table, display = table_of(comparison), comparison.display
    made = [Line("parts", "Parts"), *(_count_line(row, comparison) for row in table.counts)]
    if table.limits:
        made.append(Line("limits", LIMITS_HEAD))
        made += [_limit_line(row, comparison) for row in table.limits]
    made += _copies_lines(comparison, table.limits)
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
        more = count - base
        difference = f"{more:+d}".replace("-", "−") if more else ""
        cells.append(Cell(str(count), difference, index in row.best))
    return Line(f"count {row.label}", row.label, "", tuple(cells))


def _limit_line(row: compare.LimitRow, comparison: Comparison) -> Line:
    display = comparison.display
    bounds = [_bounds(result, display) for result in row.results]
    known = {bound for bound in bounds if bound}
    asked = known.pop() if len(known) == 1 else "each its own limit"
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


def _copies_lines(comparison: Comparison, limits: tuple[compare.LimitRow, ...]) -> list[Line]:
    """How many copies hold all limits and each of them, and what the worst copy does.

    Empty while nothing is known of copies.
    """
    if all(entry.copies is None for entry in comparison.entries):
        return []
    rows = [("all", "All limits hold"), *((row.key, row.label) for row in limits)]
    told = enumerate(copies_words(comparison))
    made = [Line("shares", COPIES_HEAD)]
    made += [Line(f"tolerances {at}", words, remark=True) for at, words in told]
    made += [
        Line(f"copies {key}", label, "", _copies_cells(comparison, key)) for key, label in rows
    ]
    if limits:
        made.append(Line("worst", WORST_HEAD))
        made += [_worst_line(comparison, row) for row in limits]
    return made


def _copies_cells(comparison: Comparison, key: str) -> tuple[Cell, ...]:
    held = [_held(entry, key) for entry in comparison.entries]
    shares = [percent(copies_share(entry, key)) for entry in comparison.entries]
    texts = [
        "…" if entry.copies is None and entry.analysis else share_words(each) if each else "–"
        for entry, each in zip(comparison.entries, held, strict=True)
    ]
    known = [copies_share(entry, key) for entry in comparison.entries if _held(entry, key)]
    top = percent(max(known)) if len(known) > 1 else ""
    best = [share == top for share in shares]
    some = sum(best) < len(known)
    return tuple(Cell(text, best=some and each) for text, each in zip(texts, best, strict=True))


def copies_share(entry: Entry, key: str) -> float:
    """The share of copies that hold the limit on a reading, or "all" limits; NaN: not known."""
    held = _held(entry, key)
    return math.nan if held is None else held.share


def _held(entry: Entry, key: str) -> Share | None:
    """How many copies hold the limit on a reading, or "all" limits."""
    if entry.copies is None:
        return None
    if key == "all":
        return entry.copies.all_limits
    held = [each.holds for each in entry.copies.limits if each.limit.reading == key]
    return min(held, key=lambda share: share.share, default=None)


def _worst(entry: Entry, key: str) -> LimitSpread | None:
    """A limit over all copies, with the reading where all tolerances are at their worst."""
    limits = () if entry.copies is None else entry.copies.limits
    found = [each for each in limits if each.limit.reading == key]
    failing = [each for each in found if not each.worst_holds]
    return next(iter((*failing, *found)), None)


def _worst_line(comparison: Comparison, row: compare.LimitRow) -> Line:
    cells = []
    for entry in comparison.entries:
        worst = _worst(entry, row.key)
        if worst is None:
            cells.append(Cell("…" if entry.copies is None and entry.analysis else "–"))
            continue
        display = comparison.display
        told = corner(worst.limit, worst.worst, worst.worst_holds, row.quantity, display)
        value = units.show(worst.worst, row.quantity, display)
        cells.append(Cell(told if math.isnan(worst.worst) else f"{value}, {told}"))
    return Line(f"worst {row.key}", row.label, "", tuple(cells))


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
        cells.append(Cell(shown, _difference(more, row.quantity, display), index in row.best))
    unit = units.unit_of(row.quantity, display)
    return Line(row.key, row.label, unit, tuple(cells))


def _difference(more: float, quantity: Quantity, display: Display) -> str:
    """With its sign, in the display's units; empty where there is none to show."""
    if math.isnan(more):
        return ""
    shown = units.number(more, quantity, display)
    if not any(digit in shown for digit in "123456789∞"):
        return ""
    return shown if shown.startswith("−") else f"+{shown}"


# ---- text ------------------------------------------------------------------------------


def as_text(comparison: Comparison) -> str:
    """The comparison for a terminal: verdicts, the table, what changed; ends in a newline."""
    out = [comparison.title, ""]
    for entry in comparison.entries:
        out.append(f"{entry.number}  {entry.name}")
        out.append(f"   {entry.outcome.words}. {entry.outcome.sentence}")
    rows = lines(comparison)
    width = max(len(row.label) for row in rows if row.cells) + 2
    column = max(14, *(len(_full(row, cell)) + 2 for row in rows for cell in row.cells))
    out += ["", " " * width + "".join(f"{e.number:>{column}}" for e in comparison.entries)]
    for row in rows:
        if not row.cells:
            out += [f"  {row.label}"] if row.remark else ["", row.label]
            continue
        cells = "".join(f"{_full(row, cell):>{column}}" for cell in row.cells)
        out.append(f"  {row.label:<{width - 2}}{cells}")
    out += ["", legend(comparison).replace(" and bold", "")]
    for entry, sentences in changed(comparison):
        base = comparison.base.number
        out += ["", f"What is different in {entry.number}, {entry.name}, from {base}:"]
        out += [f"  {sentence}" for sentence in sentences]
    return "\n".join(out) + "\n"


def _full(row: Line, cell: Cell) -> str:
    """A cell with its unit, as `throwover check` writes the number."""
    known = cell.value[-1].isdigit() and row.unit
    unit = ("" if row.unit == "°" else " ") + row.unit if known else ""
    mark = f"{BEST} " if cell.best else ""
    after = f" ({cell.difference})" if cell.difference else ""
    return f"{mark}{cell.value}{unit}{after}"


# ---- for scripts -----------------------------------------------------------------------


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
        "all_limits": copies_share(entry, "all"),
        "limits": {key: copies_share(entry, key) for key in keys},
        "worst_holds": {key: worst.worst_holds for key in keys if (worst := _worst(entry, key))},
    }


def _parts(entry: Entry) -> dict[str, int]:
    count = compare.part_count(entry.outcome.design)
    return {**asdict(count), "total": count.total}


def as_csv(comparison: Comparison) -> str:
    """The table in base units: values, differences to the first, the names of the best."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    entries, base = comparison.entries, comparison.base.number
    writer.writerow(
        [
            *("group", "what", "unit"),
            *(f"{entry.number} {entry.name}" for entry in entries),
            *(f"{entry.number} minus {base}" for entry in comparison.others()),
            "best",
        ]
    )
    writer.writerows(_csv_rows(comparison))
    return out.getvalue()


def _csv_rows(comparison: Comparison) -> Iterator[list[str]]:
    entries, table = comparison.entries, table_of(comparison)
    for count in table.counts:
        more = [f"{gap:.0f}" for gap in _gaps(comparison, count.counts)]
        best = _named(entries, count.best)
        yield ["Parts", count.label, "1", *map(str, count.counts), *more, best]
    for limit in table.limits:
        rooms = [math.nan if result is None else room(result) for result in limit.results]
        unit = report.BASE_UNITS[limit.quantity]
        holding = [at for at, result in enumerate(limit.results) if result and result.holds]
        yield [
            *("Limits, room left", limit.label, unit),
            *map(_plain, rooms),
            *map(_plain, _gaps(comparison, rooms)),
            f"held by: {_named(entries, holding)}",
        ]
    yield from _csv_copies(comparison, table.limits)
    for row in table.readings:
        unit = report.BASE_UNITS[row.quantity]
        numbers = map(_plain, (*row.values, *_gaps(comparison, row.values)))
        yield [row.group, row.label, unit, *numbers, _named(entries, row.best)]
    for entry, sentences in changed(comparison):
        for sentence in sentences:
            empty = [""] * (2 * len(entries) - 1)
            yield [f"Different from {comparison.base.number}", sentence, "", *empty, entry.name]


def _csv_copies(
    comparison: Comparison, limits: tuple[compare.LimitRow, ...]
) -> Iterator[list[str]]:
    entries = comparison.entries
    shown = _copies_lines(comparison, limits)
    for line in (each for each in shown if each.key.startswith("copies ")):
        shares = [copies_share(entry, line.key.removeprefix("copies ")) for entry in entries]
        more = _gaps(comparison, shares)
        best = [index for index, cell in enumerate(line.cells) if cell.best]
        yield [
            *("Share of copies that hold", line.label, "1"),
            *map(_plain, shares),
            *map(_plain, more),
            _named(entries, best),
        ]


def _gaps(comparison: Comparison, values: Sequence[float]) -> list[float]:
    """What every variant but the one held against has more than that one."""
    base = comparison.against
    return [value - values[base] for at, value in enumerate(values) if at != base]


def _plain(number: float) -> str:
    return f"{number:.9g}" if math.isfinite(number) else ""


def _named(entries: tuple[Entry, ...], indices: Iterable[int]) -> str:
    return "; ".join(entries[index].name for index in indices)
