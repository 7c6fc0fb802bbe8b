"""Tables as lines and texts."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate

from app.drawing.metrics import cut, text_width
from app.drawing.model import Across, Line, Place, Table, Text

PADDING = 1.2
"""Between a cell's text and its rules, mm."""


LINE = 3.7
"""What each further line of a row takes, mm."""


def row_height(row: tuple[str, ...], height: float) -> float:
    """What a row takes (mm) whose first lines take `height`: cells may have several lines."""
    return height + LINE * max((cell.count("\n") for cell in row), default=0)


def table_size(table: Table) -> tuple[float, float]:
    """Width and height of a table, mm."""
    return sum(table.widths), sum(row_height(row, table.row_height) for row in table.rows)


def fitting_widths(
    rows: tuple[tuple[str, ...], ...], height: float, headers: int = 1
) -> tuple[float, ...]:
    """The width of each column (mm) that shows every cell whole."""
    widths = [0.0] * (len(rows[0]) if rows else 0)
    for index, row in enumerate(rows):
        for column, cell in enumerate(row):
            lines = cell.split("\n")
            needed = max(text_width(line, height, bold=index < headers) for line in lines)
            widths[column] = max(widths[column], needed + 2.0 * PADDING)
    return tuple(widths)


def parts_of_table(table: Table) -> Iterator[Line | Text]:
    """The rules and the texts of a table, row by row."""
    left, top = table.at
    width, height = table_size(table)
    heights = [row_height(row, table.row_height) for row in table.rows]
    tops = [top - taken for taken in accumulate(heights, initial=0.0)]
    for y in tops:
        yield Line(table.layer, (left, y), (left + width, y))
    x = left
    for step in (0.0, *table.widths):
        x += step
        yield Line(table.layer, (x, top), (x, top - height))
    for index, (row, y) in enumerate(zip(table.rows, tops, strict=False)):
        yield from _row(table, row, (left, y - table.row_height / 2.0), index < table.headers)


def _row(table: Table, row: tuple[str, ...], start: Place, bold: bool) -> Iterator[Text]:
    x, y = start
    for column, (cell, width) in enumerate(zip(row, table.widths, strict=True)):
        side: Across = table.aligned[column] if column < len(table.aligned) else "left"
        at = {"left": x + PADDING, "middle": x + width / 2.0, "right": x + width - PADDING}[side]
        for index, line in enumerate(cell.split("\n")):
            shown = cut(line, table.height, width - 2.0 * PADDING + 0.01, bold)
            if shown:
                place = (at, y - LINE * index)
                yield Text(shown, place, table.height, side, "middle", bold=bold, layer=table.layer)
        x += width
