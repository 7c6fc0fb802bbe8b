"""Projects and pages that the tests of drawings share."""

import datetime
from dataclasses import replace
from functools import cache
from pathlib import Path

from app.drawing.model import Drawing, Table
from app.drawing.sheet import compose
from solver import edit
from solver.analysis import Analysis, analyse
from solver.files import load
from solver.project import Project
from solver.screws import fixing_holes

DAY = datetime.date(2026, 5, 1)


@cache
def solved(path: Path) -> tuple[Project, Analysis]:
    """An example with its analysis; both are values and may be shared."""
    project = load(path)
    return project, analyse(project.design)


def sheet_of(path: Path, **changes: object) -> tuple[Drawing, ...]:
    """The pages of an example whose sheet is changed so."""
    return _composed(path, tuple(sorted(changes.items())))


def unfixed_sheet_of(path: Path, **changes: object) -> tuple[Drawing, ...]:
    """The same without the holes that the frame is fastened by, and their dimensions."""
    return _composed(path, tuple(sorted(changes.items())), fixed=False)


@cache
def _composed(
    path: Path, changes: tuple[tuple[str, object], ...], fixed: bool = True
) -> tuple[Drawing, ...]:
    project, analysis = solved(path)
    if not fixed:
        design = project.design
        for point in fixing_holes(design):
            design = edit.remove(design, "point", point)
        project, analysis = project.with_design(design), analyse(design)
    # What the fields of a sheet may be, its own constructor knows; mypy cannot see it here.
    sheet = replace(project.sheet, **dict(changes))  # type: ignore[arg-type]
    return compose(replace(project, sheet=sheet), analysis, today=DAY)


def rows_under(pages: tuple[Drawing, ...], head: str) -> list[dict[str, str]]:
    """The rows, as printed, of every table that has a column of that name."""
    return [
        dict(zip(table.rows[0], row, strict=True))
        for page in pages
        for table in page.elements
        if isinstance(table, Table) and head in table.rows[0]
        for row in table.rows[1:]
    ]


def with_spring(project: Project, **changes: object) -> Project:
    """The project with its only spring changed so."""
    (spring,) = project.design.springs
    changed = replace(spring, **changes)  # type: ignore[arg-type]  # fields of the spring
    return project.with_design(replace(project.design, springs=(changed,)))
