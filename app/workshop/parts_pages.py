"""The parts list on paper: one table with a title block, on as many pages as it takes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.drawing.blocks import Block, Row, flow, notes_block, wrapping_table
from app.drawing.figures import length, with_unit
from app.drawing.metrics import plain
from app.drawing.model import Across, Drawing
from app.drawing.paper import Area, border, drawing_area, sheet_size
from app.drawing.parts_table import across
from app.drawing.title_block import HEIGHT, TitleFields, title_block
from solver.checks import check
from solver.parts_list import PartRow, parts_list, piece_count, total_mass
from solver.project import Project, Sheet

_ALIGNED: tuple[Across, ...] = (
    *("right", "left", "right", "left", "right", "right", "right", "right", "left"),
)
_GAP = 4.0
_LEAST_NOTE = 24.0
"""Width (mm) that notes get at the least."""


def parts_pages(project: Project, today: date) -> tuple[Drawing, ...]:
    """The parts list of a project's current variant; DesignProblem for a broken design."""
    check(project.design)
    sheet = project.sheet
    size = sheet_size("Letter" if sheet.size in ("Letter", "Tabloid") else "A4", landscape=False)
    inside = drawing_area(size)
    area = Area(
        inside.left + _GAP / 2.0,
        inside.bottom + HEIGHT + _GAP,
        inside.right - _GAP / 2.0,
        inside.top - _GAP,
    )
    left: list[Block] = list(_blocks(project, area.width))
    pages = []
    while left:
        filled, rest = flow(left, [area])
        if not filled[0]:
            break
        pages.append(filled[0])
        left = rest
    date_shown = sheet.date or today.isoformat()
    corner = (inside.right, inside.bottom)
    return tuple(
        Drawing(
            size,
            (
                *border(size),
                *elements,
                *title_block(
                    _fields(project, date_shown, f"{number} / {len(pages)}"),
                    corner,
                ),
            ),
            title=plain(project.title) or "Parts list",
            name=str(number) if len(pages) > 1 else "",
        )
        for number, elements in enumerate(pages, start=1)
    )


def _blocks(project: Project, width: float) -> tuple[Block, Block]:
    sheet = project.sheet
    rows = parts_list(project.design, sheet, project.paper_displays)
    table = _table([_row(row, sheet) for row in rows], sheet, width)
    mass = with_unit(total_mass(rows), "mass", sheet.units)
    levers = max(sheet.levers, 1)
    told = [f"{piece_count(rows)} pieces in all; those of known mass weigh {mass} together."]
    if levers > 1:
        pitch = with_unit(sheet.pitch, "length", sheet.units)
        told.append(f"Counted for {levers} levers in a row, {pitch} apart along the shaft.")
    if any(row.kind == "plate" and row.thickness is None for row in rows):
        told.append(
            "Of a plate that is not settled neither size nor mass is known: select the link and "
            "give it a plate."
        )
    return table, notes_block("All together", told, width)


def _table(rows: Sequence[Row], sheet: Sheet, width: float) -> Block:
    """The table; a long note goes on in further lines of its row."""
    unit = {"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units]
    heads = ("Item", "Part", "Count", "Material", "Thick", "Long", "Wide, ⌀", "Mass", "Note")
    heading, told = f"Parts list, sizes in {unit}", (heads, *rows)
    return wrapping_table(heading, told, width, _ALIGNED, _LEAST_NOTE).stretched(width)


def _row(row: PartRow, sheet: Sheet) -> Row:
    sizes = (row.thickness, row.length)
    return (
        str(row.item),
        plain(row.name),
        str(row.count),
        plain(row.material),
        *("" if size is None else length(size, sheet.units) for size in sizes),
        across(row, sheet),
        "" if row.mass is None else with_unit(row.mass, "mass", sheet.units),
        plain(row.note),
    )


def _fields(project: Project, shown: str, page: str) -> TitleFields:
    sheet = project.sheet
    title = project.title or "Untitled"
    return TitleFields(
        title=f"{title}, {project.variant.name}" if len(project.variants) > 1 else title,
        owner=sheet.owner,
        number=sheet.number,
        revision=sheet.revision,
        date=shown,
        creator=sheet.creator,
        approver=sheet.approver,
        document_type="Parts list",
        scale="–",
        units={"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units],
        tolerances="–",
        sheet=page,
    )
