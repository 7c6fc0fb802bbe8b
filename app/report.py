"""What an analysis says, as text for people, as JSON for scripts, curves as CSV. Needs no Qt."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solver import units
from solver.analysis import Analysis
from solver.project import Display, Project
from solver.results import LimitResult, Reading
from solver.units import Quantity

BASE_UNITS: dict[Quantity, str] = {
    "length": "mm",
    "diameter": "mm",
    "angle": "deg",
    "direction": "deg",
    "force": "N",
    "torque": "N*mm",
    "energy": "mJ",
    "rate": "N/mm",
    "angular_rate": "N*mm/deg",
    "mass": "kg",
    "ratio": "1",
    "percent": "%",
    "count": "1",
    "coils": "1",
    "acceleration": "m/s^2",
}
"""The units of the JSON output, whatever the project shows."""


def as_text(project: Project, analysis: Analysis) -> str:
    """Verdict, notes, limits and readings in the project's units; lines end in a newline."""
    lines = [f"{project.title}, variant {project.variant.name}", "", analysis.verdict]
    lines += analysis.notes
    if analysis.limits:
        lines += ["", "Limits"]
        lines += [
            f"  {'holds' if limit.holds else 'FAILS'}  {limit.sentence}"
            for limit in analysis.limits
        ]
    wide = max((len(reading.label) for reading in analysis.readings.values()), default=0) + 1
    for group in dict.fromkeys(reading.group for reading in analysis.readings.values()):
        lines += ["", group]
        lines += [
            "  " + _reading_line(reading, project.display, wide)
            for reading in analysis.readings.values()
            if reading.group == group
        ]
    return "\n".join(lines) + "\n"


def _reading_line(reading: Reading, display: Display, wide: int) -> str:
    line = f"{reading.label:<{wide}} {units.show(reading.value, reading.quantity, display):>14}"
    where = reading.where
    # Of a place on the throw, where it is has been said.
    if where is None or not math.isfinite(where) or where == reading.value:
        return line
    return f"{line}   at {units.show(where, 'angle', display)} from rest A"


def as_json(project: Project, analysis: Analysis) -> str:
    """The same in base units with the units named; numbers that do not exist are null."""
    record = {
        "title": project.title,
        "variant": project.variant.name,
        "verdict": analysis.verdict,
        "good": analysis.good,
        "notes": list(analysis.notes),
        "limits": [_limit_record(limit) for limit in analysis.limits],
        "limits_hold": all(limit.holds for limit in analysis.limits),
        "hang_zones": [
            {
                "from_travel": _finite(zone.start),
                "to_travel": _finite(zone.end),
                "from_grip": _finite(zone.start_mm),
                "to_grip": _finite(zone.end_mm),
                "travel_unit": BASE_UNITS["angle"],
                "grip_unit": BASE_UNITS["length"],
            }
            for zone in analysis.hang_zones
        ],
        "readings": {key: _reading_record(reading) for key, reading in analysis.readings.items()},
    }
    return json.dumps(record, indent=2, ensure_ascii=False) + "\n"


def _limit_record(result: LimitResult) -> dict[str, Any]:
    limit = result.limit
    return {
        "reading": limit.reading,
        "at_least": limit.at_least,
        "at_most": limit.at_most,
        "value": _finite(result.reading.value),
        "unit": BASE_UNITS[result.reading.quantity],
        "holds": result.holds,
        "sentence": result.sentence,
    }


def _reading_record(reading: Reading) -> dict[str, Any]:
    return {
        "label": reading.label,
        "value": _finite(reading.value),
        "unit": BASE_UNITS[reading.quantity],
        "at_travel": None if reading.where is None else _finite(reading.where),
    }


def _finite(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


@dataclass(frozen=True, slots=True)
class _Column:
    """One curve over the travel, in base units; as many values as the travel has."""

    name: str
    quantity: Quantity
    values: NDArray[np.float64]


def _curves(analysis: Analysis) -> Iterator[_Column]:
    """Every curve of an analysis, the travel first."""
    yield _Column("travel", "angle", analysis.travel)
    yield _Column("lever direction", "direction", analysis.direction)
    yield _Column("travel at the grip", "length", analysis.grip_travel)
    yield _Column("energy", "energy", analysis.energy)
    yield _Column("torque towards B", "torque", analysis.torque)
    yield _Column("friction", "torque", analysis.friction)
    yield _Column("effort towards B", "force", analysis.effort_to_b)
    yield _Column("effort towards A", "force", analysis.effort_to_a)
    for spring in analysis.springs:
        coiled = spring.kind == "torsion"
        yield _Column(
            f"{spring.name} twist" if coiled else f"{spring.name} length",
            "angle" if coiled else "length",
            spring.length,
        )
        yield _Column(
            f"{spring.name} moment" if coiled else f"{spring.name} force",
            "torque" if coiled else "force",
            spring.force,
        )


def as_csv(analysis: Analysis, display: Display) -> str:
    """The curves as a table: a line of names with units, then one line per lever position."""
    columns = tuple(_curves(analysis))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([f"{one.name} ({units.unit_of(one.quantity, display)})" for one in columns])
    shown = (
        [units.displayed(value, one.quantity, display) for value in one.values.tolist()]
        for one in columns
    )
    for row in zip(*shown, strict=True):
        writer.writerow([f"{value:.9g}" if math.isfinite(value) else "" for value in row])
    return out.getvalue()
