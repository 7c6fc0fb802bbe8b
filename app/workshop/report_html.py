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

_SKETCH, _PLOT = (180.0, 76.0), (88.0, 50.0)
"""Sizes of the pictures (mm), about those that they have in print: so are their texts."""

_STYLE = """
:root { color-scheme: light dark; --paper: #fff; --ink: #1d1c1a; --quiet: #5a564e;
  --rule: #bdb6a8; --good: #1d6a52; --bad: #b0281f; }
@media screen and (prefers-color-scheme: dark) {
  :root { --paper: #201f1c; --ink: #ebe7de; --quiet: #b5afa2; --rule: #5c574d;
    --good: #6cc3a4; --bad: #ff8f82; }
  figure svg { filter: invert(.92); }
}
body { margin: 2rem auto; max-width: 60rem; padding: 0 1rem; background: var(--paper);
  color: var(--ink); font: 15px/1.45 system-ui, "DejaVu Sans", Verdana, sans-serif; }
h1 { font-size: 1.7em; line-height: 1.25; margin: 0 0 .2rem; overflow-wrap: anywhere; }
h2 { font-size: 1.1em; margin: 0 0 .4rem; overflow-wrap: anywhere; }
.facts { color: var(--quiet); margin: 0 0 1rem; overflow-wrap: anywhere; }
.verdict { border-left: .35rem solid var(--good); padding: .3rem .8rem; font-weight: 600; }
.verdict.bad { border-color: var(--bad); }
figure { margin: 1.2rem 0; }
figure svg { display: block; width: 100%; height: auto; }
figcaption { color: var(--quiet); font-size: .9em; margin-top: .4rem; }
.pair { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(20rem, 100%), 1fr));
  gap: 0 1rem; }
.pair figure { margin: .4rem 0; }
.sections { columns: 2 25rem; column-gap: 2rem; margin-top: 1.6rem; }
section { break-inside: avoid; margin: 0 0 1.6rem; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 1px solid var(--rule); padding: .2rem .5rem; text-align: left;
  vertical-align: top; overflow-wrap: break-word; }
.right { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
td.fails { font-weight: 700; color: var(--bad); }
ul { margin: 0; padding-left: 1.2rem; }
li { margin: .2rem 0; overflow-wrap: anywhere; }
@page { margin: 12mm; }
@media print {
  body { margin: 0; padding: 0; max-width: none; font-size: 8pt; line-height: 1.35; }
  .sections { columns: 2; column-gap: 5mm; }
  section { margin-bottom: 3.5mm; }
  h2 { margin-bottom: 1mm; }
  li { margin: .2mm 0; }
  th, td { padding: .1mm 1mm; }
  .verdict, figure, .pair figure { margin: 0 0 2mm; }
  .pair { grid-template-columns: 1fr 1fr; }
  .pair + p { margin: 0; }
  .sections { margin-top: 4mm; }
  .told { break-inside: auto; }
  figure, tr, li { break-inside: avoid; }
  h2 { break-after: avoid; }
}
"""


def report_html(project: Project, analysis: Analysis, report: Report) -> str:
    """The report as HTML; what people have written in the project is text in it, never markup."""
    display = project.paper_displays[0]
    drawn = sketch(project, analysis, _SKETCH)
    plots = (
        energy_plot(analysis, display, _PLOT),
        effort_plot(analysis, display, _PLOT),
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
        _figure(drawn, f"<figcaption>{escape(drawn.caption)}</figcaption>"),
        '<div class="pair">',
        *(_figure(plot) for plot in plots),
        "</div>",
        f"<p>{escape(CURVE_NOTE)}</p>",
        '<div class="sections">',
        *(part for section in report.sections for part in _section(section)),
        "</div>",
        "</body>",
        "</html>",
    ]
    return "\n".join(parts) + "\n"


def _figure(picture: Picture, under: str = "") -> str:
    page = Drawing(picture.size, picture.elements, title=picture.caption)
    text = as_svg(page).decode("utf-8", "replace")
    told = f'role="img" aria-label="{escape(picture.caption)}"'
    inside = text[text.index("<svg") :].strip().replace("<svg", f"<svg {told}", 1)
    return f"<figure>{inside}{under}</figure>"


def _section(section: Section) -> Iterator[str]:
    yield "<section>" if section.rows else '<section class="told">'
    yield f'<h2 dir="auto">{escape(section.heading)}</h2>'
    if section.rows:
        yield "<table>"
        yield from _rows(section)
        yield "</table>"
    if section.notes:
        yield "<ul>"
        yield from (f'<li dir="auto">{escape(note)}</li>' for note in section.notes)
        yield "</ul>"
    yield "</section>"


def _rows(section: Section) -> Iterator[str]:
    for index, row in enumerate(section.rows):
        tag, scope = ("td", "") if index else ("th", ' scope="col"')
        cells = "".join(
            f"<{tag}{scope}{_class(section, column, cell)}>{escape(cell)}</{tag}>"
            for column, cell in enumerate(row)
        )
        yield f"<tr>{cells}</tr>"


def _class(section: Section, column: int, cell: str) -> str:
    if column < len(section.aligned) and section.aligned[column] == "right":
        return ' class="right"'
    return ' class="fails"' if cell == "FAILS" else ""
