"""The report on paper: pages of the drawing model."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.drawing.blocks import Block, notes_block, table_block
from app.drawing.columns import column_width, fill
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
_SKETCHES, _PLOT = (96.0, 88.0, 80.0, 72.0, 64.0), 54.0
"""Heights that the sketch may have, and that of the plots, mm."""
_FEWEST = 2
"""For so few pages at the least the sketch is made smaller."""
_STEP, _LEAST_FILLED = 10, 60
"""Steps in which pages are evened, and how much of them is filled at the least, mm."""
_FOOT = 7.0
_AROUND = 17.4
"""What the captions of the pictures and the air under them take, mm."""
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
    under = Area(area.left, area.bottom, area.right, top)
    blocks = list(_blocks(report, area.width))
    laid = {height: _laid(blocks, _room(under, height), area) for height in _SKETCHES}
    height = min(laid, key=lambda one: max(len(laid[one]), _FEWEST))
    first, *others = _evened(laid[height], blocks, _room(under, height), area)
    pages = [[*head, *_pictures(project, analysis, under, height), *first], *others]
    return tuple(
        Drawing(
            size,
            (*elements, *_foot(report, inside, number, len(pages))),
            title=report.title,
            name=f"page {number}",
        )
        for number, elements in enumerate(pages, start=1)
    )


def _room(under: Area, height: float) -> Area:
    """What a sketch so high (mm) and the plots leave of the first page."""
    return Area(under.left, under.bottom, under.right, under.top - height - _PLOT - _AROUND)


def _laid(blocks: Sequence[Block], first: Area, area: Area) -> list[list[Element]]:
    """The blocks on each page; none begins on the first page that has no room for it whole."""
    width = column_width(first.width)
    low = [block for block in blocks if block.stretched(width).height <= first.height]
    filled, put_off = fill(low, first)
    waiting = {id(block) for block in put_off}
    left = [block for block in blocks if block not in low or id(block) in waiting]
    pages = [filled]
    while left and len(pages) < _MOST_PAGES:
        filled, left = fill(left, area)
        if not filled:
            break  # a block that fits on no page
        pages.append(filled)
    return pages


def _evened(
    pages: list[list[Element]], blocks: Sequence[Block], first: Area, area: Area
) -> list[list[Element]]:
    """The same number of pages, those after the first filled alike: none has a lone leftover."""
    if len(pages) <= _FEWEST:
        return pages
    for raised in range(_STEP, int(area.height) - _LEAST_FILLED, _STEP):
        lower = Area(area.left, area.bottom + raised, area.right, area.top)
        tried = _laid(blocks, first, lower)
        if len(tried) > len(pages):
            break
        pages = tried
    return pages


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


def _pictures(project: Project, analysis: Analysis, area: Area, height: float) -> list[Element]:
    """The sketch, so high (mm), and under it the two plots side by side."""
    half = column_width(area.width)
    drawn = sketch(project, analysis, (area.width, height))
    bottom = area.top - height
    elements = [
        *_placed(drawn, area.left, bottom),
        Text(f"{drawn.caption}; scale {drawn.scale}", (area.left, bottom - 3.4), LEAST_TEXT),
    ]
    bottom -= _PLOT + 8.0
    display = project.paper_displays[0]
    elements += _placed(energy_plot(analysis, display, (half, _PLOT)), area.left, bottom)
    elements += _placed(effort_plot(analysis, display, (half, _PLOT)), area.right - half, bottom)
    elements.append(Text(CURVE_NOTE, (area.left, bottom - 2.4), LEAST_TEXT))
    return elements


def _placed(picture: Picture, x: float, y: float) -> list[Element]:
    return shifted(picture.elements, x, y)


def _blocks(report: Report, width: float) -> Iterator[Block]:
    for section in report.sections:
        yield _block(section, width)


def _block(section: Section, width: float) -> Block:
    """A section's block; a table of limits that is wider than a column becomes lines."""
    column = column_width(width)
    heading = cut(section.heading, LEAST_TEXT, column, bold=True)
    if not section.rows:
        return notes_block(heading, section.notes, column)
    table = table_block(heading, section.rows, width, section.aligned)
    if section.lines and table.least_width > column:
        return notes_block(heading, section.lines, column)
    return table


def _foot(report: Report, area: Area, number: int, count: int) -> Iterator[Element]:
    y = area.bottom
    page = f"page {number} of {count}"
    yield Line(Layer.HATCH, (area.left, y + 4.6), (area.right, y + 4.6))
    yield Text(cut(report.title, LEAST_TEXT, area.width - 40.0), (area.left, y), LEAST_TEXT)
    yield Text(page, (area.right, y), LEAST_TEXT, "right")
