"""The parts list as a table of the sheet: an item list by the manner of ISO 7573."""

from __future__ import annotations

from app.drawing.blocks import Block, Row, wrapping_table
from app.drawing.figures import length
from app.drawing.metrics import plain
from app.drawing.model import Across
from solver.parts_list import PartRow, parts_list
from solver.project import Project, Sheet

_HEADS = ("Item", "Count", "Name", "Size", "Material")
_REMARK = 30.0
"""Width (mm) that remarks get at the least before they wrap."""


def parts_table(project: Project, width: float) -> Block:
    """Items with their counts, names, sizes and materials, as in the parts list on its own."""
    sheet = project.sheet
    parts = parts_list(project.design, sheet, project.paper_displays)
    rows: list[Row] = [(*_HEADS, "Remark")]
    rows += [_cells(part, sheet) for part in parts]
    levers = f", for all {sheet.levers} levers of the row" if sheet.levers > 1 else ""
    unit = {"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units]
    sides: list[Across] = ["right", "right", "left", "left", "left", "left"]
    heading = (
        f"Parts list, sizes in {unit}{levers}; plates: smallest blank; washers: ⌀ outside/bore"
    )
    return wrapping_table(heading, rows, width, sides, _REMARK)


def _cells(part: PartRow, sheet: Sheet) -> Row:
    """A row; what makes a screw's name long is in the remark, which wraps."""
    name, size, note = part.name, _size(part, sheet), part.note
    if part.kind == "screw":  # its size is that of its thread, in any units
        kind, name, thread = name.rpartition("screw")
        size, note = thread.strip(), f"{kind.strip()}, {note}" if kind else note
    counted = str(part.item), str(part.count)
    return (*counted, plain(name), size, plain(part.material), plain(note))


def _size(part: PartRow, sheet: Sheet) -> str:
    """Length × width × thickness of a plate, diameter × length of a round part."""
    if part.kind == "plate":
        sizes = (part.length, part.width, part.thickness)
        return " × ".join(length(size, sheet.units) for size in sizes if size is not None)
    along = part.thickness if part.length is None else part.length
    round_size = across(part, sheet) and f"⌀{across(part, sheet)}"
    said = None if along is None else length(along, sheet.units)
    if not round_size and said is not None:
        return f"{said} long"
    return " × ".join(word for word in (round_size, said) if word)


def across(part: PartRow, sheet: Sheet) -> str:
    """Width, or outside diameter and bore, such as 12/6; "" where neither is known."""
    sizes = (size for size in (part.width, part.bore) if size is not None)
    return "/".join(length(size, sheet.units) for size in sizes)
