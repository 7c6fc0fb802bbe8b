"""The command that sweeps. Needs no Qt."""

from __future__ import annotations

import argparse
import csv
import io
import math
from dataclasses import replace
from typing import TYPE_CHECKING

from app.studies import cli_words, reports
from app.studies.sweep_words import coarse, meetings, met
from solver import units
from solver.errors import DesignProblem
from solver.project import Display, Project
from solver.sweep import Values, map_csv, sweep, sweep_csv, sweep_map
from solver.sweep_copies import COPIES, HOLD_ALL, sweep_copies

if TYPE_CHECKING:
    from app.studies.sweep_words import Meeting
    from solver.number_names import NamedNumber
    from solver.sweep import Sweep

Outcome = tuple[str, bool]
Range = tuple["NamedNumber", Values]

_UNKNOWN = (math.nan, math.nan)
_IN_ALL = 100_000
"""Copies of all values together that are made where the user does not say how many."""


def run(project: Project, parsed: argparse.Namespace, reading: str) -> Outcome:
    """A reading over the range of one number or two, and of one the share of copies too."""
    over, *by = (
        cli_words.named_range(text, project.design, project.display, parsed.steps)
        for text in (parsed.over, parsed.by)
        if text is not None
    )
    if by:
        return _map(project, parsed, reading, over, by[0]), True
    return _curve(project, parsed, reading, over), True


def _curve(project: Project, parsed: argparse.Namespace, reading: str, over: Range) -> str:
    design, display = project.design, project.display
    number, values = over
    swept = sweep(design, number.path, values, [reading])
    copies: int | None = parsed.copies
    if copies is None:
        copies = min(COPIES, _IN_ALL // len(values)) if design.limits else 0
    if copies:
        shares = sweep_copies(design, number.path, values, copies)
        both = {**swept.readings, **shares.readings}
        kinds = (*swept.kinds, *shares.kinds)
        swept = replace(swept, kinds=kinds, readings=both, copies=copies)
    if parsed.json:
        return _curve_json(project, swept, reading)
    if parsed.csv:
        return sweep_csv(swept, display) + _met_csv(project, swept)
    sure = coarse(swept) if copies else ""
    told = [text for text in (met(swept, design, display), sure) if text]
    return _text(project, sweep_csv(swept, display), told)


def _curve_json(project: Project, swept: Sweep, reading: str) -> str:
    shares = swept.readings.get(HOLD_ALL.key)
    of_copies = None if shares is None else [reports.finite(share) for share in shares]
    return reports.dumped(
        {
            "numbers": [swept.number.path],
            "values": swept.values.tolist(),
            "reading": reading,
            "rows": [reports.finite(value) for value in swept.readings[reading]],
            "copies": swept.copies,
            HOLD_ALL.key: of_copies,
            "meets": [
                {
                    "reading": found.kind.key,
                    found.bound.side: found.bound.size,
                    "at": list(found.at),
                    **({"range_95": _ranges(found)} if found.sure else {}),
                }
                for found in meetings(swept, project.design, project.display)
            ],
        }
    )


def _ranges(found: Meeting) -> list[list[float | None]]:
    """Between which values each crossing lies, None for an end beyond the values swept."""
    return [[reports.finite(end) for end in ends] for ends in found.sure]


def _met_csv(project: Project, swept: Sweep) -> str:
    """A second table under an empty line: where a reading meets a limit; "" where none does."""
    display, number = project.display, swept.number
    found = meetings(swept, project.design, display)
    if not found:
        return ""
    unit = units.unit_of(number.quantity, display)
    where = f"at {number.label} ({unit})" if unit else f"at {number.label}"
    return "\n" + reports.table(
        [
            ("reading", "meets", where, "95 % range from", "95 % range to"),
            *(
                (
                    *(one.kind.label, one.bound.words),
                    *(_shown(each, number.quantity, display) for each in (at, *ends)),
                )
                for one in found
                for at, ends in zip(one.at, one.sure or [_UNKNOWN] * len(one.at), strict=True)
            ),
        ]
    )


def _shown(value: float, quantity: units.Quantity, display: Display) -> float | str:
    return units.displayed(value, quantity, display) if math.isfinite(value) else ""


def _map(project: Project, parsed: argparse.Namespace, reading: str, over: Range, by: Range) -> str:
    if parsed.copies:
        raise DesignProblem("Copies are swept over one number: leave out --by, or --copies.")
    mapped = sweep_map(project.design, (over[0].path, over[1]), (by[0].path, by[1]), [reading])
    if parsed.json:
        return reports.dumped(
            {
                "numbers": [over[0].path, by[0].path],
                "values": mapped.across.tolist(),
                "values_by": mapped.up.tolist(),
                "reading": reading,
                "rows": [[reports.finite(one) for one in row] for row in mapped.readings[reading]],
            }
        )
    told = map_csv(mapped, project.display)
    return told if parsed.csv else _text(project, told, [])


def _text(project: Project, table: str, told: list[str]) -> str:
    """A table of CSV in columns under the project's name, and sentences under that."""
    head, *rows = csv.reader(io.StringIO(table))
    wide = [len(cell) for cell in head]
    shown = [
        [_short(cell).rjust(size) for cell, size in zip(row, wide, strict=True)] for row in rows
    ]
    lines = [reports.heading(project), "", "  ".join(head), *("  ".join(row) for row in shown)]
    return "\n".join([*lines, *(line for text in told for line in ("", text))]) + "\n"


def _short(cell: str) -> str:
    """A number to read: six digits of it, a dash for none."""
    return f"{float(cell):.6g}".replace("-", "−") if cell else "–"
