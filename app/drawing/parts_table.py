"""The parts list as a table of the sheet: an item list by the manner of ISO 7573."""

from __future__ import annotations

from app.drawing.blocks import Block, Row, table_block
from app.drawing.figures import length
from app.drawing.metrics import plain, text_width, wrap
from app.drawing.model import LEAST_TEXT, Across
from app.drawing.table_parts import PADDING
from solver.model import Design
from solver.parts_list import PartRow, parts_list
from solver.project import Sheet

_REMARK = 44.0
"""Width (mm) at which remarks go on in a further row."""


def parts_table(design: Design, sheet: Sheet, width: float) -> Block:
    """Items with their counts, names, sizes and materials, as in the parts list on its own."""
    rows: list[Row] = [("Item", "Count", "Name", "Size", "Material", "Remark")]
    for part in parts_list(design, sheet):
        first, *more = _lines(part)
        size, material = _size(part, sheet), plain(part.material)
        rows.append((str(part.item), str(part.count), plain(part.name), size, material, first))
        rows += [("", "", "", "", "", line) for line in more]
    levers = f", for all {sheet.levers} levers of the row" if sheet.levers > 1 else ""
    unit = {"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units]
    sides: list[Across] = ["right", "right", "left", "left", "left", "left"]
    return table_block(f"Parts list, sizes in {unit}{levers}", rows, width, sides)


def _lines(part: PartRow) -> list[str]:
    """The remark, broken between words; a long word keeps its row to itself."""
    room = max(_REMARK, *(text_width(word, LEAST_TEXT) for word in (*part.note.split(), "")))
    return wrap(part.note, LEAST_TEXT, room + 2.0 * PADDING) or [""]


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
