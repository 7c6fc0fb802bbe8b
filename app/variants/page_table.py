"""The table of the comparison's printed page: large enough to be read on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from app.study_words import percent
from app.theme import Theme
from app.variants.comparison import Comparison, Entry
from app.variants.copies_lines import ALL, copies_share, held, worst_of
from app.variants.lines import Cell, Line
from app.variants.marks import DISC, mark, paint_disc
from app.variants.names import two_lines
from app.variants.tables import EACH_ITS_OWN, legend, lines

SIZES = (14, 13, 12)
"""Heights of the table's type in units of `page.DOTS`, the largest that fits is taken.

The least is 7.2 pt; what does not fit then is left out rather than made smaller.
"""
_PITCH, _AIRY = 1.19, 1.4
"""Height of a row for each unit of its type: at least, and where there is room."""
_HEAD = 32.0
_GAP = 10.0
_FOOT_SIZE, _ABOVE_FOOT = 12, 6.0
_WRAPPED = int(Qt.TextFlag.TextWordWrap)
_LONGEST_LABEL = 300.0
_SHARES = "shares of copies after the dot"
_WORST_HEAD = "With all tolerances at their worst at once (hardly ever so)"
_NONE_LEFT = "With all tolerances at their worst at once every limit holds."


@dataclass(frozen=True, slots=True)
class PageTable:
    """What the page shows of the table, and how: type size and widths in units of the page."""

    rows: tuple[Line, ...]
    size: int
    label: float
    column: float
    words: str
    names: tuple[str, ...] = ()
    """Over the columns, in up to two lines; empty where one is too long for that."""

    @property
    def width(self) -> float:
        """Of the whole table."""
        count = max((len(row.cells) for row in self.rows), default=0)
        return self.label + count * self.column

    @property
    def foot(self) -> float:
        """Height of what the marks mean, below the rows."""
        room, metrics = QRectF(0.0, 0.0, self.width, 1e4), QFontMetricsF(page_font(_FOOT_SIZE))
        return _ABOVE_FOOT + metrics.boundingRect(room, _WRAPPED, self.words).height()

    @property
    def height(self) -> float:
        """Of all of it, with the rows as near to each other as they may be."""
        return _HEAD + len(self.rows) * _PITCH * self.size + self.foot


def page_table(comparison: Comparison, height: float, sources: bool = True) -> PageTable:
    """The table for a page with that room; `sources`: with what spreads the tightest limits."""
    table = _fitted(comparison, height, sources)
    return replace(table, names=_names(comparison, table))


def _fitted(comparison: Comparison, height: float, sources: bool) -> PageTable:
    """The rows in the largest type in which they fit, or as many as there is room for."""
    whole = tuple(
        line
        for line in _page_lines(comparison)
        if sources or not line.key.startswith(("source ", "sources "))
    )
    words = legend(comparison)
    for size in SIZES:
        table = _measured(whole, size, words)
        if table.height <= height:
            return table
    unlike = _headed(_without_repeats(row for row in whole if not _alike(row)))
    words += " Rows alike in all, or that repeat another row, are left out."
    table = _measured(unlike, SIZES[-1], words)
    for end in range(len(unlike) - 1, 0, -1):
        if table.height <= height:
            break
        left_out = sum(bool(row.cells) for row in unlike[end:])
        told = f"{words} {left_out} more rows are in the CSV."
        table = _measured(_headed(iter(unlike[:end])), SIZES[-1], told)
    return table


def _names(comparison: Comparison, table: PageTable) -> tuple[str, ...]:
    """The variants' names for the heads of the columns, where each fits whole into two lines."""
    metrics = QFontMetricsF(page_font(SIZES[-1], heavy=True))
    width = table.column - DISC - 10.0
    made = [two_lines(entry.name, metrics, width) for entry in comparison.entries]
    whole = all(
        text.replace("\n", " ") == entry.name
        for text, entry in zip(made, comparison.entries, strict=True)
    )
    return tuple(made) if whole else ()


def _measured(rows: Sequence[Line], size: int, words: str) -> PageTable:
    plain, bold = (QFontMetricsF(page_font(size, heavy)) for heavy in (False, True))
    labels = [plain.horizontalAdvance(_label(row)) for row in rows if row.cells]
    cells = [
        (bold if cell.best else plain).horizontalAdvance(cell.text())
        for row in rows
        for cell in row.cells
    ]
    label = min(max(labels, default=0.0), _LONGEST_LABEL * size / SIZES[-1])
    return PageTable(tuple(rows), size, label + 4.0, max(cells, default=0.0) + _GAP, words)


def page_font(pixels: int, heavy: bool = False) -> QFont:
    """The type of the page."""
    font = QFont("DejaVu Sans")
    font.setPixelSize(pixels)
    font.setWeight(QFont.Weight.Bold if heavy else QFont.Weight.Normal)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


# ---- what it says ----------------------------------------------------------------------


def _page_lines(comparison: Comparison) -> Iterator[Line]:
    """The lines of the window, with a limit's room and its share of copies in one line."""
    known = any(entry.copies is not None for entry in comparison.entries)
    for line in lines(comparison):
        kind, _, key = line.key.partition(" ")
        if not known or kind not in ("limits", "limit", "copies", "worst", "band"):
            yield line
        elif kind == "limits":
            yield replace(line, label=f"{line.label} · {_SHARES}")
        elif kind == "limit":
            yield replace(line, cells=_with_shares(line, comparison, key))
        elif kind == "copies" and (key == ALL or _tells(comparison, key)):
            yield line
        elif kind == "worst":
            yield from _worst(line, comparison, key)
        elif kind == "band":
            yield from _band(line, comparison, key)


def _with_shares(line: Line, comparison: Comparison, key: str) -> tuple[Cell, ...]:
    return tuple(
        cell
        if held(entry, key) is None
        else replace(cell, value=f"{cell.value} · {_share(entry, key)}")
        for entry, cell in zip(comparison.entries, line.cells, strict=True)
    )


def _share(entry: Entry, key: str) -> str:
    return percent(copies_share(entry, key))


def _tells(comparison: Comparison, key: str) -> bool:
    """Whether it is a condition that some copy does not hold; limits have their shares above."""
    if not key.startswith("condition "):
        return False
    shares = [held(entry, key) for entry in comparison.entries]
    return not all(each is None or each.count == each.of for each in shares)


def _worst(line: Line, comparison: Comparison, key: str) -> Iterator[Line]:
    """The limits that some variant does not hold with all tolerances at their worst."""
    found = [worst_of(entry, key) for entry in comparison.entries]
    if key and any(each is not None and not each.worst_holds for each in found):
        yield line
    elif not key and not _can_fail(comparison):
        yield replace(line, label=_NONE_LEFT, remark=True)
    elif not key:
        yield replace(line, label=_WORST_HEAD)


def _band(line: Line, comparison: Comparison, key: str) -> Iterator[Line]:
    """How far the readings of these limits go in copies."""
    found = [worst_of(entry, key) for entry in comparison.entries]
    fails = any(each is not None and not each.worst_holds for each in found)
    if fails or (not key and _can_fail(comparison)):
        yield line


def _can_fail(comparison: Comparison) -> bool:
    """Whether some limit of some variant fails with all tolerances at their worst."""
    limits = [each for entry in comparison.entries if entry.copies for each in entry.copies.limits]
    return not all(each.worst_holds for each in limits)


_KEPT = ("limit ", "copies ", "range", "worst ", "band ", "source ")
"""How the keys of rows begin that stay even where all variants have the same."""


def _alike(row: Line) -> bool:
    return not row.key.startswith(_KEPT) and len({cell.value for cell in row.cells}) == 1


def _without_repeats(rows: Iterator[Line]) -> Iterator[Line]:
    """The rows but those whose every number stands in a row of the same group above.

    Such are a rest's holding force where that rest is the weaker one in all variants.
    """
    above: set[tuple[str, tuple[Cell, ...]]] = set()
    for row in rows:
        if not row.cells:
            above = set()
        elif not row.key.startswith(_KEPT):
            if (row.unit, row.cells) in above:
                continue
            above.add((row.unit, row.cells))
        yield row


def _headed(rows: Iterator[Line]) -> list[Line]:
    """The rows without headings that have nothing below them any more."""
    kept: list[Line] = []
    for row in rows:
        if not (row.cells or row.remark) and kept and not (kept[-1].cells or kept[-1].remark):
            kept.pop()
        kept.append(row)
    return kept[:-1] if kept and not (kept[-1].cells or kept[-1].remark) else kept


# ---- painting --------------------------------------------------------------------------


def paint_table(
    painter: QPainter, box: QRectF, table: PageTable, comparison: Comparison, theme: Theme
) -> None:
    """Paint the table into a box that is at least as wide as it."""
    painter.setFont(page_font(table.size, heavy=True))
    first = box.right() - len(comparison.entries) * table.column
    for at, entry in enumerate(comparison.entries):
        right = first + (at + 1) * table.column
        middle = QPointF(right - DISC / 2.0 - 1.0, box.top() + 0.5 * (_HEAD - 4.0))
        paint_disc(painter, middle, mark(entry.number, theme), theme)
        if table.names:
            painter.setFont(page_font(SIZES[-1], heavy=True))
            painter.setPen(theme.ink)
            place = QRectF(right - table.column, box.top(), table.column - DISC - 6.0, _HEAD - 4.0)
            flags = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(place, int(flags), table.names[at])
    room = (box.height() - _HEAD - table.foot) / max(len(table.rows), 1)
    top, high = box.top() + _HEAD, max(min(room, _AIRY * table.size), _PITCH * table.size)
    for row in table.rows:
        _paint_row(painter, QRectF(box.left(), top, box.width(), high), row, table, theme)
        top += high
    painter.setFont(page_font(_FOOT_SIZE))
    painter.setPen(theme.faint_ink)
    words = QRectF(box.left(), top + _ABOVE_FOOT, box.width(), table.foot)
    painter.drawText(words, _WRAPPED, table.words)


def _label(row: Line) -> str:
    told = row.key.startswith("limit ") and not row.label.endswith(EACH_ITS_OWN)
    return f"{row.label}, {row.unit}" if row.unit and not told else row.label


def _paint_row(painter: QPainter, box: QRectF, row: Line, table: PageTable, theme: Theme) -> None:
    middle, right = int(Qt.AlignmentFlag.AlignVCenter), int(Qt.AlignmentFlag.AlignRight)
    painter.setPen(QPen(theme.grid_major, 0.6))
    painter.drawLine(box.bottomLeft(), box.bottomRight())
    first = box.right() - len(row.cells) * table.column
    font = page_font(table.size, heavy=not (row.cells or row.remark))
    painter.setFont(font)
    painter.setPen(theme.ink)
    label = QRectF(box.left(), box.top(), first - box.left(), box.height())
    text = QFontMetricsF(font).elidedText(_label(row), Qt.TextElideMode.ElideMiddle, label.width())
    painter.drawText(label, middle, text)
    for at, cell in enumerate(row.cells):
        place = QRectF(first + at * table.column, box.top(), table.column, box.height())
        painter.setFont(page_font(table.size, cell.best))
        painter.setPen({"good": theme.good, "bad": theme.bad}.get(cell.state, theme.ink))
        painter.drawText(place, middle | right, cell.text())
