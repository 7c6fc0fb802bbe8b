"""The report on paper: pages of the drawing model."""

from __future__ import annotations

from collections.abc import Iterator

from app.drawing.blocks import Block, flow, notes_block, table_block
from app.drawing.metrics import cut, wrap
from app.drawing.model import LEAST_TEXT, Drawing, Element, Layer, Line, Text
from app.drawing.paper import Area, drawing_area, sheet_size
from app.drawing.shifting import shifted
from app.workshop.pictures import Picture, effort_plot, energy_plot, sketch
from app.workshop.report_parts import CURVE_NOTE, Report, Section
from solver.analysis import Analysis
from solver.project import Project

_TITLE, _BODY = 5.0, 3.0
"""Heights of the title and of the verdict, mm."""
_SKETCH, _PLOT = 96.0, 54.0
"""Heights of the pictures, mm."""
_FOOT = 7.0
_AFTER = 1.4
"""Between title, facts and verdict, mm."""
_MOST_PAGES = 40


def report_pages(project: Project, analysis: Analysis, report: Report) -> tuple[Drawing, ...]:
    """The report on A4, or on Letter where the sheets are inch sizes."""
    inch = project.sheet.size in ("Letter", "Tabloid")
    size = sheet_size("Letter" if inch else "A4", landscape=False)
    inside = drawing_area(size)
    area = Area(inside.left, inside.bottom + _FOOT, inside.right, inside.top)
    head, top = _head(report, area)
    pictures, top = _pictures(project, analysis, Area(area.left, area.bottom, area.right, top))
    rest = Area(area.left, area.bottom, area.right, top - 6.0)
    filled, left = flow(list(_blocks(report, area.width)), [rest])
    pages = [[*head, *pictures, *filled[0]]]
    while left and len(pages) < _MOST_PAGES:
        before = len(left)
        filled, left = flow(left, [area])
        pages.append(filled[0])
        if not filled[0] and len(left) == before:
            break  # a block that fits on no page
    return tuple(
        Drawing(
            size,
            (*elements, *_foot(report, inside, number, len(pages))),
            title=report.title,
            name=f"page {number}",
        )
        for number, elements in enumerate(pages, start=1)
    )


def _head(report: Report, area: Area) -> tuple[list[Element], float]:
    """Title, facts and verdict; and where they end."""
    elements: list[Element] = []
    y = area.top - _TITLE
    parts = (
        (wrap(report.title, _TITLE, area.width, bold=True)[:2], _TITLE, True),
        (wrap(report.subtitle, LEAST_TEXT, area.width)[:2], LEAST_TEXT, False),
        (wrap(report.verdict, _BODY, area.width, bold=True), _BODY, True),
    )
    for lines, height, bold in parts:
        for line in lines:
            elements.append(Text(line, (area.left, y), height, bold=bold))
            y -= height + 2.6
        y -= _AFTER
    return elements, y


def _pictures(project: Project, analysis: Analysis, area: Area) -> tuple[list[Element], float]:
    """The sketch, and under it the two plots side by side; and where they end."""
    half = (area.width - 6.0) / 2.0
    drawn = sketch(project, analysis, (area.width, _SKETCH))
    bottom = area.top - _SKETCH
    elements = [
        *_placed(drawn, area.left, bottom),
        Text(drawn.caption, (area.left, bottom - 3.4), LEAST_TEXT),
    ]
    bottom -= _PLOT + 8.0
    display = project.paper_displays[0]
    elements += _placed(energy_plot(analysis, display, (half, _PLOT)), area.left, bottom)
    elements += _placed(
        effort_plot(analysis, display, (half, _PLOT)), area.left + half + 6.0, bottom
    )
    elements.append(Text(CURVE_NOTE, (area.left, bottom - 2.4), LEAST_TEXT))
    return elements, bottom - 3.4


def _placed(picture: Picture, x: float, y: float) -> list[Element]:
    return shifted(picture.elements, x, y)


def _blocks(report: Report, width: float) -> Iterator[Block]:
    for section in report.sections:
        yield _block(section, width)


def _block(section: Section, width: float) -> Block:
    if not section.rows:
        return notes_block(cut(section.heading, LEAST_TEXT, width, bold=True), section.notes, width)
    return table_block(
        cut(section.heading, LEAST_TEXT, width, bold=True),
        section.rows,
        width,
        section.aligned,
    )


def _foot(report: Report, area: Area, number: int, count: int) -> Iterator[Element]:
    y = area.bottom
    page = f"page {number} of {count}"
    yield Line(Layer.HATCH, (area.left, y + 4.6), (area.right, y + 4.6))
    yield Text(cut(report.title, LEAST_TEXT, area.width - 40.0), (area.left, y), LEAST_TEXT)
    yield Text(page, (area.right, y), LEAST_TEXT, "right")
