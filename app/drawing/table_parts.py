"""Tables as lines and texts."""

from __future__ import annotations

from collections.abc import Iterator

from app.drawing.metrics import cut, text_width
from app.drawing.model import Across, Line, Place, Table, Text

PADDING = 1.2
"""Between a cell's text and its rules, mm."""


def table_size(table: Table) -> tuple[float, float]:
    """Width and height of a table, mm."""
    return sum(table.widths), table.row_height * len(table.rows)


def fitting_widths(
    rows: tuple[tuple[str, ...], ...], height: float, headers: int = 1
) -> tuple[float, ...]:
    """The width of each column (mm) that shows every cell whole."""
    widths = [0.0] * (len(rows[0]) if rows else 0)
    for index, row in enumerate(rows):
        for column, cell in enumerate(row):
            needed = text_width(cell, height, bold=index < headers) + 2.0 * PADDING
            widths[column] = max(widths[column], needed)
    return tuple(widths)


def parts_of_table(table: Table) -> Iterator[Line | Text]:
    """The rules and the texts of a table, row by row."""
    left, top = table.at
    width, height = table_size(table)
    for index in range(len(table.rows) + 1):
        y = top - index * table.row_height
        yield Line(table.layer, (left, y), (left + width, y))
    x = left
    for step in (0.0, *table.widths):
        x += step
        yield Line(table.layer, (x, top), (x, top - height))
    for index, row in enumerate(table.rows):
        middle = top - (index + 0.5) * table.row_height
        yield from _row(table, row, (left, middle), index < table.headers)


def _row(table: Table, row: tuple[str, ...], start: Place, bold: bool) -> Iterator[Text]:
    x, y = start
    for column, (cell, width) in enumerate(zip(row, table.widths, strict=True)):
        side: Across = table.aligned[column] if column < len(table.aligned) else "left"
        at = {"left": x + PADDING, "middle": x + width / 2.0, "right": x + width - PADDING}[side]
        shown = cut(cell, table.height, width - 2.0 * PADDING + 0.01, bold)
        if shown:
            yield Text(shown, (at, y), table.height, side, "middle", bold=bold, layer=table.layer)
        x += width
