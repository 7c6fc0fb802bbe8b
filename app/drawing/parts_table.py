"""The parts list as a table of the sheet: an item list by the manner of ISO 7573."""

from __future__ import annotations

from app.drawing.blocks import Block, Row, table_block
from app.drawing.figures import length
from app.drawing.metrics import plain, wrap
from app.drawing.model import LEAST_TEXT, Across
from app.drawing.table_parts import PADDING, fitting_widths
from solver.parts_list import PartRow, parts_list
from solver.project import Project, Sheet

_HEADS = ("Item", "Count", "Name", "Size", "Material")
_REMARK, _LEAST_REMARK = 44.0, 20.0
"""Width (mm) at which remarks go on in a further row, and what it is narrowed to."""


def parts_table(project: Project, width: float) -> Block:
    """Items with their counts, names, sizes and materials, as in the parts list on its own."""
    sheet = project.sheet
    parts = parts_list(project.design, sheet, project.paper_displays)
    known = [_HEADS, *(_cells(part, sheet) for part in parts)]
    others = sum(fitting_widths(tuple(known), LEAST_TEXT))
    room = min(max(width - others - 2.0 * PADDING, _LEAST_REMARK), _REMARK)
    rows: list[Row] = [(*_HEADS, "Remark")]
    for part, cells in zip(parts, known[1:], strict=True):
        first, *more = wrap(part.note, LEAST_TEXT, room) or [""]
        rows.append((*cells, first))
        rows += [(*("" for _ in cells), line) for line in more]
    levers = f", for all {sheet.levers} levers of the row" if sheet.levers > 1 else ""
    unit = {"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units]
    sides: list[Across] = ["right", "right", "left", "left", "left", "left"]
    return table_block(f"Parts list, sizes in {unit}{levers}", rows, width, sides)


def _cells(part: PartRow, sheet: Sheet) -> Row:
    """All of a row but its remark."""
    counted = str(part.item), str(part.count)
    return (*counted, plain(part.name), _size(part, sheet), plain(part.material))


def _size(part: PartRow, sheet: Sheet) -> str:
    """Length × width × thickness of a plate, diameter × length of a round part."""
    if part.kind == "plate":
        sizes = (part.length, part.width, part.thickness)
        return " × ".join(length(size, sheet.units) for size in sizes if size is not None)
    along = part.thickness if part.length is None else part.length
    round_size = None if part.width is None else f"⌀{length(part.width, sheet.units)}"
    said = None if along is None else length(along, sheet.units)
    if round_size is None and said is not None:
        return f"{said} long"
    return " × ".join(word for word in (round_size, said) if word is not None)
