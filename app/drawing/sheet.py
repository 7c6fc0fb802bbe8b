"""The dimensioned sheet: view, tables and title block composed into pages."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

from app.drawing import bench_tables, hole_tables, pose_tables, spring_tables
from app.drawing.arranging import as_chosen
from app.drawing.blocks import Block
from app.drawing.chosen import Choice, choices, wanted
from app.drawing.columns import columns_width
from app.drawing.crossed import interrupted
from app.drawing.design_notes import design_notes
from app.drawing.fitting import Fitted, fitted, whole_page
from app.drawing.laying import laid
from app.drawing.metrics import plain
from app.drawing.model import Drawing, Element
from app.drawing.paper import border, drawing_area, scale_name, sheet_size
from app.drawing.parts_table import parts_table
from app.drawing.poses import Posed, posed
from app.drawing.section_block import section_block
from app.drawing.title_block import TitleFields, title_block
from solver.analysis import Analysis, analyse
from solver.project import Project, Sheet


def compose(
    project: Project,
    analysis: Analysis | None = None,
    *,
    remarks: Sequence[str] = (),
    blocks: Sequence[Block] = (),
    today: datetime.date | None = None,
    view: Fitted | None = None,
) -> tuple[Drawing, ...]:
    """The pages of a project's dimensioned sheet.

    `analysis` is that of the current variant; it is made where none is given. `remarks` are
    sentences that join the notes (gaps, collisions), `blocks` further tables; `view` is what
    `viewed` made of this project or one with the `same_view`. Raises DesignProblem for a design
    that cannot be solved.
    """
    solved = analysis if analysis is not None else analyse(project.design)
    poses = posed(solved)
    sheet = project.sheet
    found = view or viewed(project, solved)
    told = [*_blocks(project, poses, [*remarks, *found.notices]), *blocks]
    pages = list(laid(told, found.tables, whole_page(sheet), _LEADING).pages)
    shown = as_chosen(found.view.elements, sheet.dimensions)
    pages[0] = [*interrupted(shown), *pages[0]]
    date = (today or datetime.date.today()).isoformat()
    return tuple(
        _page(project, elements, found, (index, len(pages)), date)
        for index, elements in enumerate(pages)
    )


def viewed(project: Project, analysis: Analysis) -> Fitted:
    """The view of a project's sheet with its dimensions, in its place on the first page.

    Dimensions that the builder hid or moved are there as if he had not.
    """
    poses = posed(analysis)
    return fitted(poses, project.sheet, wanted(poses, project.sheet, project.display))


def same_view(one: Project, other: Project) -> bool:
    """Whether two projects are `viewed` alike, whatever else their sheets say."""
    return _viewed_of(one) == _viewed_of(other)


def _viewed_of(project: Project) -> tuple[object, ...]:
    """All of a project that its view depends on."""
    ticked = {choice.key for choice in project.sheet.dimensions if choice.shown}
    sheet = replace(project.sheet, **_BESIDE_THE_VIEW)
    return project.design, project.display, ticked, sheet


_BESIDE_THE_VIEW: Mapping[str, Any] = {
    field.name: field.default
    for field in fields(Sheet)
    if field.name
    in {
        *("owner", "number", "revision", "date", "creator", "approver"),
        *("tolerance_class", "holes", "levers", "pitch", "parts", "dimensions"),
    }
}
"""Fields of a sheet that its view does not show, with what they are by default."""


def dimension_choices(project: Project, analysis: Analysis) -> tuple[Choice, ...]:
    """Every dimension that the project's sheet can show, and whether it does."""
    return choices(posed(analysis), project.sheet, project.display)


# ---- tables and title block ------------------------------------------------------------


_LEADING = 2
"""The tables of holes and of links come before all others: without them nothing is drilled."""


def _blocks(project: Project, poses: Posed, remarks: Sequence[str]) -> Iterator[Block]:
    sheet, analysis, design = project.sheet, poses.analysis, poses.design
    units, width = sheet.units, columns_width(whole_page(sheet).width)
    every: list[Block | None] = [
        hole_tables.holes_table(poses, sheet, width),
        hole_tables.links_table(poses, sheet, width),
        pose_tables.rests_table(poses, project.display, width),
        *spring_tables.spring_tables(poses, units, project.paper_displays, width),
        bench_tables.readings_table(analysis, units, width),
        bench_tables.limits_table(analysis, units, width),
        bench_tables.loads_table(design, units, project.display, width),
        bench_tables.plates_table(poses, sheet, width),
        section_block(poses, sheet, width),
        parts_table(project, width) if sheet.parts else None,
        bench_tables.tolerances_table(sheet, width),
        design_notes(design, width),
        *bench_tables.notes(project, analysis, width, remarks),
    ]
    yield from (block for block in every if block is not None)


def _page(
    project: Project,
    elements: list[Element],
    found: Fitted,
    number: tuple[int, int],
    date: str,
) -> Drawing:
    index, count = number
    sheet, view = project.sheet, found.view
    size = sheet_size(sheet.size, sheet.landscape)
    area = drawing_area(size)
    fields = TitleFields(
        title=_title(project),
        owner=sheet.owner,
        number=sheet.number,
        revision=sheet.revision,
        date=sheet.date or date,
        creator=sheet.creator,
        approver=sheet.approver,
        document_type="Dimensioned sketch" if index == 0 else "Tables to the sketch",
        scale=scale_name(view.scale) if index == 0 else "–",
        units={"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units],
        tolerances=f"ISO 2768-1 {sheet.tolerance_class}",
        sheet=f"{index + 1} / {count}",
    )
    return Drawing(
        size,
        (*border(size), *elements, *title_block(fields, (area.right, area.bottom))),
        view.scale if index == 0 else 1.0,
        view.origin if index == 0 else (0.0, 0.0),
        plain(project.title) or "Untitled",
        str(index + 1) if count > 1 else "",
        found.notices if index == 0 else (),
    )


def _title(project: Project) -> str:
    title = project.title or "Untitled"
    return f"{title}, {project.variant.name}" if len(project.variants) > 1 else title
