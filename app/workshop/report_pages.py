"""The report on paper: pages of the drawing model."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.drawing.blocks import Block, Row, notes_block, table_block
from app.drawing.columns import column_width
from app.drawing.laying import Laid, laid
from app.drawing.metrics import cut, wrap
from app.drawing.model import LEAST_TEXT, Drawing, Element, Layer, Line, Text
from app.drawing.paper import Area, drawing_area, sheet_size
from app.drawing.shifting import shifted
from app.drawing.table_parts import PADDING, fitting_widths
from app.workshop.pictures import Picture, effort_plot, energy_plot, sketch
from app.workshop.report_parts import CURVE_NOTE, Report, Section
from solver.analysis import Analysis
from solver.project import Project

_TITLE, _BODY = 5.0, 3.0
"""Heights of the title and of the verdict, mm."""
_PICTURES = (
    *((96.0, 54.0), (88.0, 54.0), (80.0, 54.0), (72.0, 54.0), (64.0, 54.0)),
    *((64.0, 48.0), (56.0, 48.0), (56.0, 44.0)),
)
"""Heights (mm) that the sketch and the plots may have, the best first."""
_FEWEST = 2
"""For so few pages at the least the pictures are made smaller."""
_FOOT = 7.0
_AROUND = 17.4
"""What the captions of the pictures and the air under them take, mm."""
_LEAST_WORDS = 24.0
"""Names of readings are not broken for a column that leaves them less, mm."""
_AFTER = 1.4
"""Between title, facts and verdict, mm."""


def report_pages(project: Project, analysis: Analysis, report: Report) -> tuple[Drawing, ...]:
    """The report on A4, or on Letter where the sheets are inch sizes."""
    inch = project.sheet.size in ("Letter", "Tabloid")
    size = sheet_size("Letter" if inch else "A4", landscape=False)
    inside = drawing_area(size)
    area = Area(inside.left, inside.bottom + _FOOT, inside.right, inside.top)
    head, top = _head(report, area)
    under = Area(area.left, area.bottom, area.right, top)
    blocks = list(_blocks(report, area.width))
    tried = {heights: laid(blocks, [_room(under, *heights)], area) for heights in _PICTURES}
    heights = min(tried, key=lambda one: _worse(tried[one]))
    first, *others = tried[heights].pages
    pages = [[*head, *_pictures(project, analysis, under, *heights), *first], *others]
    return tuple(
        Drawing(
            size,
            (*elements, *_foot(report, inside, number, len(pages))),
            title=report.title,
            name=f"page {number}",
        )
        for number, elements in enumerate(pages, start=1)
    )


def _worse(found: Laid) -> tuple[int, bool]:
    """What is to be as small as can be, first things first."""
    return max(len(found.pages), _FEWEST), found.reordered


def _room(under: Area, sketch: float, plot: float) -> Area:
    """What a sketch and plots so high (mm) leave of the first page."""
    return Area(under.left, under.bottom, under.right, under.top - sketch - plot - _AROUND)


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


def _pictures(
    project: Project, analysis: Analysis, area: Area, high: float, plot: float
) -> list[Element]:
    """The sketch, so high (mm), and under it the two plots side by side."""
    half = column_width(area.width)
    drawn = sketch(project, analysis, (area.width, high))
    bottom = area.top - high
    elements = [
        *_placed(drawn, area.left, bottom),
        Text(f"{drawn.caption}; scale {drawn.scale}", (area.left, bottom - 3.4), LEAST_TEXT),
    ]
    bottom -= plot + 8.0
    display = project.paper_displays[0]
    elements += _placed(energy_plot(analysis, display, (half, plot)), area.left, bottom)
    elements += _placed(effort_plot(analysis, display, (half, plot)), area.right - half, bottom)
    elements.append(Text(CURVE_NOTE, (area.left, bottom - 2.4), LEAST_TEXT))
    return elements


def _placed(picture: Picture, x: float, y: float) -> list[Element]:
    return shifted(picture.elements, x, y)


def _blocks(report: Report, width: float) -> Iterator[Block]:
    for section in report.sections:
        yield _block(section, width)


def _block(section: Section, width: float) -> Block:
    """A section's block; a table that is wider than a column is narrowed to one if it can be."""
    column = column_width(width)
    heading = cut(section.heading, LEAST_TEXT, column, bold=True)
    if not section.rows:
        return notes_block(heading, section.notes, column)
    table = table_block(heading, section.rows, width, section.aligned)
    if table.least_width <= column:
        return table
    if section.lines:
        return notes_block(heading, section.lines, column)
    return table_block(heading, _folded(section.rows, column), width, section.aligned)


def _folded(rows: Sequence[Row], width: float) -> tuple[Row, ...]:
    """The rows with their first cells broken into lines, so that a table is so wide (mm)."""
    room = width - sum(fitting_widths(tuple(rows), LEAST_TEXT)[1:]) - 2.0 * PADDING
    if room < _LEAST_WORDS:
        return tuple(rows)
    return tuple(("\n".join(wrap(row[0], LEAST_TEXT, room)), *row[1:]) for row in rows)


def _foot(report: Report, area: Area, number: int, count: int) -> Iterator[Element]:
    y = area.bottom
    page = f"page {number} of {count}"
    yield Line(Layer.HATCH, (area.left, y + 4.6), (area.right, y + 4.6))
    yield Text(cut(report.title, LEAST_TEXT, area.width - 40.0), (area.left, y), LEAST_TEXT)
    yield Text(page, (area.right, y), LEAST_TEXT, "right")
