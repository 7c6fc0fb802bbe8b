"""The report as one web page: pictures inside, nothing fetched, readable when printed."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from app.drawing.model import Drawing
from app.drawing.svg import as_svg
from app.workshop.pictures import Picture, effort_plot, energy_plot, sketch
from app.workshop.report_parts import CURVE_NOTE, Report, Section
from solver.analysis import Analysis
from solver.project import Project

_STYLE = """
:root { color-scheme: light; }
body { margin: 2rem auto; max-width: 60rem; padding: 0 1rem; background: #fff; color: #1d1c1a;
  font: 15px/1.45 system-ui, "DejaVu Sans", Verdana, sans-serif; }
h1 { font-size: 1.6rem; margin: 0 0 .2rem; overflow-wrap: anywhere; }
h2 { font-size: 1.05rem; margin: 1.6rem 0 .4rem; overflow-wrap: anywhere; }
.facts { color: #5a564e; margin: 0 0 1rem; overflow-wrap: anywhere; }
.verdict { border-left: .35rem solid #1d6a52; padding: .3rem .8rem; font-weight: 600; }
.verdict.bad { border-color: #b0281f; }
figure { margin: 1.2rem 0; }
figure svg { width: 100%; height: auto; }
figcaption { color: #5a564e; font-size: .9em; }
.pair { display: grid; grid-template-columns: repeat(auto-fit, minmax(20rem, 1fr)); gap: 1rem; }
table { border-collapse: collapse; }
th, td { border: 1px solid #bdb6a8; padding: .2rem .6rem; text-align: left;
  overflow-wrap: anywhere; }
.right { text-align: right; font-variant-numeric: tabular-nums; }
td.fails { font-weight: 700; color: #b0281f; }
li { margin: .2rem 0; }
@page { margin: 15mm; }
@media print {
  body { margin: 0; max-width: none; font-size: 10pt; }
  figure, table, li { break-inside: avoid; }
  h2 { break-after: avoid; }
}
"""


def report_html(project: Project, analysis: Analysis, report: Report) -> str:
    """The report as HTML; what people have written in the project is text in it, never markup."""
    display = project.paper_displays[0]
    drawn = sketch(project, analysis, (180.0, 100.0))
    plots = (
        energy_plot(analysis, display, (88.0, 58.0)),
        effort_plot(analysis, display, (88.0, 58.0)),
    )
    parts = [
        "<!DOCTYPE html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(report.title)}</title>",
        f"<style>{_STYLE}</style>",
        "</head>",
        "<body>",
        f'<h1 dir="auto">{escape(report.title)}</h1>',
        f'<p class="facts">{escape(report.subtitle)}</p>',
        f'<p class="verdict{"" if report.good else " bad"}">{escape(report.verdict)}</p>',
        _figure(drawn),
        '<div class="pair">',
        *(_figure(plot) for plot in plots),
        "</div>",
        f"<p>{escape(CURVE_NOTE)}</p>",
        *(part for section in report.sections for part in _section(section)),
        "</body>",
        "</html>",
    ]
    return "\n".join(parts) + "\n"


def _figure(picture: Picture) -> str:
    page = Drawing(picture.size, picture.elements, title=picture.caption)
    text = as_svg(page).decode("utf-8", "replace")
    inside = text[text.index("<svg") :].strip()
    caption = escape(picture.caption)
    return f"<figure>{inside}<figcaption>{caption}</figcaption></figure>"


def _section(section: Section) -> Iterator[str]:
    yield f"<h2>{escape(section.heading)}</h2>"
    if section.rows:
        yield "<table>"
        yield from _rows(section)
        yield "</table>"
    if section.notes:
        yield "<ul>"
        yield from (f"<li>{escape(note)}</li>" for note in section.notes)
        yield "</ul>"


def _rows(section: Section) -> Iterator[str]:
    for index, row in enumerate(section.rows):
        tag = "td" if index else "th"
        cells = "".join(
            f"<{tag}{_class(section, column, cell)}>{escape(cell)}</{tag}>"
            for column, cell in enumerate(row)
        )
        yield f"<tr>{cells}</tr>"


def _class(section: Section, column: int, cell: str) -> str:
    if column < len(section.aligned) and section.aligned[column] == "right":
        return ' class="right"'
    return ' class="fails"' if cell == "FAILS" else ""
