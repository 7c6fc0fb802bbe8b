"""The dimensioned sheet: view, tables and title block composed into pages."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from app.drawing import bench_tables, hole_tables, spring_tables
from app.drawing.blocks import Block, flow
from app.drawing.dimensioning import Choice, Measure, choices, measures
from app.drawing.metrics import plain
from app.drawing.model import Drawing, Element
from app.drawing.paper import (
    Area,
    border,
    drawing_area,
    scale_name,
    scale_of,
    scales,
    sheet_size,
)
from app.drawing.poses import Posed, posed
from app.drawing.title_block import HEIGHT, WIDTH, TitleFields, title_block
from app.drawing.view_block import ViewBlock, bare_size, view_block
from solver.analysis import Analysis, analyse
from solver.project import Project, Sheet

_GAP = 6.0
"""Between the border and what stands inside it, and between view and tables, mm."""
_COLUMN = 180.0 - 4.0
"""Width of a column of tables, mm: that of the title block on the narrowest sheet, less air."""
_DIMENSION_ROOM = 24.0
"""What dimensions take of the view's room at the least, mm."""
_LEAST_VIEW = 150.0
"""A view beside or above tables gets at least so much width and height, mm."""


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where the view goes on the first page, and where tables go there."""

    view: Area
    tables: tuple[Area, ...]


def compose(
    project: Project,
    analysis: Analysis | None = None,
    *,
    remarks: Sequence[str] = (),
    blocks: Sequence[Block] = (),
    today: datetime.date | None = None,
) -> tuple[Drawing, ...]:
    """The pages of a project's dimensioned sheet.

    `analysis` is that of the current variant; it is made where none is given. `remarks` are
    sentences that join the notes (gaps, collisions), `blocks` further tables. Raises DesignProblem
    for a design that cannot be solved.
    """
    solved = analysis if analysis is not None else analyse(project.design)
    poses = posed(solved)
    sheet = project.sheet
    wanted = _wanted(poses, project)
    layout, view, asked_too_much = _fitted(poses, sheet, wanted)
    said = list(remarks)
    if asked_too_much:
        said.append(
            f"Scale {sheet.scale} does not fit on this sheet; drawn {scale_name(view.scale)}."
        )
    every = [*_blocks(project, poses, said), *blocks]
    first, rest = flow(every, layout.tables)
    pages = [[*view.placed(layout.view).elements, *(e for part in first for e in part)]]
    area = _whole_page(drawing_area(sheet_size(sheet.size, sheet.landscape)))
    while rest:
        filled, left = flow(rest, (area,))
        if len(left) == len(rest) and left[0] == rest[0]:
            break  # a block that no page can hold
        pages.append([element for part in filled for element in part])
        rest = left
    date = (today or datetime.date.today()).isoformat()
    origin = view.placed(layout.view).origin
    return tuple(
        _page(project, elements, view.scale, origin, (index, len(pages)), date)
        for index, elements in enumerate(pages)
    )


def dimension_choices(project: Project, analysis: Analysis) -> tuple[Choice, ...]:
    """Every dimension that the project's sheet can show, and whether it does."""
    return choices(posed(analysis), project.sheet, project.display)


def _wanted(poses: Posed, project: Project) -> list[Measure]:
    shown = {
        choice.key for choice in choices(poses, project.sheet, project.display) if choice.shown
    }
    every = measures(poses, project.sheet, project.display)
    return [one for one in every if one.key in shown]


# ---- the view --------------------------------------------------------------------------


def _fitted(poses: Posed, sheet: Sheet, wanted: list[Measure]) -> tuple[_Layout, ViewBlock, bool]:
    """The layout and scale that show the linkage largest, and whether a wished scale was given up.

    At one scale the layout with tables beside the view is taken first: it needs fewer pages.
    """
    layouts = list(_layouts(sheet))
    wished = scale_of(sheet.scale)
    for scale in (*((wished,) if wished else ()), *scales()):
        width, height = bare_size(poses, scale)
        roomy = [
            layout
            for layout in layouts
            if width + _DIMENSION_ROOM <= layout.view.width
            and height + _DIMENSION_ROOM <= layout.view.height
        ]
        for terse in (False, True):
            for layout in roomy:
                made = view_block(poses, sheet, wanted, scale, layout.view, terse=terse)
                if made.fits(layout.view):
                    return layout, made, wished is not None and scale != wished
    layout = layouts[-1]
    smallest = view_block(poses, sheet, wanted, scales()[-1], layout.view, terse=True)
    return layout, smallest, wished is not None


def _layouts(sheet: Sheet) -> Iterator[_Layout]:
    size = sheet_size(sheet.size, sheet.landscape)
    area = drawing_area(size)
    inner = Area(area.left + _GAP, area.bottom + _GAP, area.right - _GAP, area.top - _GAP)
    over_title = area.bottom + HEIGHT + _GAP
    column = Area(area.right - _COLUMN - 2.0, over_title, area.right - 2.0, area.top - 3.0)
    if column.left - _GAP - inner.left >= _LEAST_VIEW:
        view = replace(inner, right=area.right - WIDTH - _GAP)
        yield _Layout(view, (column,))
    middle = over_title + 0.4 * (inner.top - over_title)
    if inner.width >= WIDTH + 60.0 and inner.top - middle >= _LEAST_VIEW:
        tables = Area(area.left + 3.0, over_title, area.right - 3.0, middle)
        yield _Layout(replace(inner, bottom=middle + _GAP), (tables,))
    yield _Layout(replace(inner, bottom=over_title), ())


def _whole_page(area: Area) -> Area:
    """The room for tables on a page without a view, over the title block."""
    return Area(area.left + 3.0, area.bottom + HEIGHT + _GAP, area.right - 1.0, area.top - 3.0)


# ---- tables and title block ------------------------------------------------------------


def _blocks(project: Project, poses: Posed, remarks: Sequence[str]) -> Iterator[Block]:
    sheet, analysis, design = project.sheet, poses.analysis, poses.design
    units, width = sheet.units, _COLUMN
    every: list[Block | None] = [
        hole_tables.holes_table(poses, sheet, width),
        hole_tables.links_table(poses, sheet, width),
        *spring_tables.spring_tables(analysis, units, width),
        bench_tables.readings_table(analysis, units, width),
        bench_tables.limits_table(analysis, units, width),
        bench_tables.loads_table(design, units, width),
        bench_tables.plates_table(design, units, width),
        bench_tables.tolerances_table(sheet, width),
        *bench_tables.notes(project, analysis, width, remarks),
    ]
    yield from (block for block in every if block is not None)


def _page(
    project: Project,
    elements: list[Element],
    scale: float,
    origin: tuple[float, float],
    number: tuple[int, int],
    date: str,
) -> Drawing:
    index, count = number
    sheet = project.sheet
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
        scale=scale_name(scale) if index == 0 else "–",
        units={"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units],
        tolerances=f"ISO 2768-1 {sheet.tolerance_class}",
        sheet=f"{index + 1} / {count}",
    )
    return Drawing(
        size,
        (*border(size), *elements, *title_block(fields, (area.right, area.bottom))),
        scale if index == 0 else 1.0,
        origin if index == 0 else (0.0, 0.0),
        plain(project.title) or "Untitled",
        str(index + 1) if count > 1 else "",
    )


def _title(project: Project) -> str:
    title = project.title or "Untitled"
    return f"{title}, {project.variant.name}" if len(project.variants) > 1 else title
