"""The settings of the sheet as a form: paper, title block, row of levers. Edits as projects."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any, cast

from app.drawing.paper import scale_name, scales
from app.inspect.form import Options
from app.inspect.rows import Choice, Flag, Heading, Number, Row, Text, Value
from solver.project import Project, Sheet
from solver.ranges import Range

MOST_LEVERS = 100

ROWS: tuple[Row, ...] = (
    Heading("paper", "Paper"),
    Choice(
        "size",
        "Sheet",
        "The paper that is drawn on.",
        (("A4", "A4"), ("A3", "A3"), ("Letter", "Letter"), ("Tabloid", "Tabloid (11 × 17 in)")),
    ),
    Flag("landscape", "Long side across", "Otherwise the sheet stands upright."),
    Choice(
        "scale",
        "Scale",
        "One of the preferred scales of ISO 5455; what does not fit is drawn smaller.",
        (("", "as large as fits"), *((scale_name(one), scale_name(one)) for one in scales())),
    ),
    Choice(
        "units",
        "Dimensions in",
        "The unit of all papers; the window keeps its own.",
        (("mm", "mm"), ("inch", "inches"), ("both", "mm [inches]")),
    ),
    Heading("making", "Making"),
    Choice(
        "tolerance_class",
        "Tolerances",
        "General tolerances of ISO 2768-1 for what has none of its own.",
        (
            ("fine", "ISO 2768-1 fine (f)"),
            ("medium", "ISO 2768-1 medium (m)"),
            ("coarse", "ISO 2768-1 coarse (c)"),
            ("very coarse", "ISO 2768-1 very coarse (v)"),
        ),
    ),
    Choice(
        "holes",
        "Holes on pins",
        "How much wider than its pin a hole is that turns on it (ISO 273).",
        (("fine", "fine fit"), ("medium", "medium fit"), ("coarse", "coarse fit")),
    ),
    Choice("datum", "Count from", "The hole that all positions count from."),
    Number(
        "levers",
        "Row of levers",
        "count",
        "How many of this lever stand along one shaft; the parts list counts them all.",
        Range(1.0, MOST_LEVERS),
    ),
    Number(
        "pitch",
        "Pitch of the row",
        "length",
        "From one lever to the next along the shaft.",
        Range(0.0, 1e4, above=True),
    ),
    Flag("parts", "Parts list on the sheet", "Otherwise it is only on a paper of its own."),
    Heading("block", "Title block"),
    Text("owner", "Owner", "Whose drawing it is."),
    Text("number", "Number", "The number of the drawing."),
    Text("revision", "Revision", "Which state of the drawing this is."),
    Text("date", "Date", "Empty: the day on which it is drawn."),
    Text("creator", "Drawn by", "Who made it."),
    Text("approver", "Approved by", "Who looked it over."),
)

_LABELS = {row.key: row.label for row in ROWS if not isinstance(row, Heading)}


def values(sheet: Sheet) -> Mapping[str, Value]:
    """What the rows show; the pitch only where there is a row."""
    shown: dict[str, Value] = {
        field.name: getattr(sheet, field.name) for field in fields(sheet) if field.name in _LABELS
    }
    if sheet.levers < 2:
        del shown["pitch"]
    return shown


def offers(project: Project) -> Mapping[str, Options]:
    """What can be chosen where it depends on the design."""
    points = tuple((point.name, point.name) for point in project.design.points)
    return {"datum": (("", "the lever's pivot"), *points)}


def changed(project: Project, key: str, value: Value) -> tuple[Project, str]:
    """The project with one row's value, and what was done, for the undo menu."""
    taken = round(cast(float, value)) if key == "levers" else value
    sheet = replace(project.sheet, **cast(dict[str, Any], {key: taken}))
    label = _LABELS[key]
    return replace(project, sheet=sheet), f"Set {label[:1].lower()}{label[1:]} of the sheet"
