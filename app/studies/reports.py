"""What studies say, as text for people, as JSON and CSV for scripts. Needs no Qt."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Sequence
from typing import Any

from app import study_words as words
from app.report import BASE_UNITS
from app.tolerance_words import holes_alone
from solver import units
from solver.project import Project
from solver.quantiles import Share
from solver.readings import ReadingKind, catalogue
from solver.sensitivity import Sensitivities
from solver.spread import LimitSpread, Spread
from solver.wording import capital

Cell = str | float | int | None
_LEAST = 0.005


def heading(project: Project) -> str:
    """The project and the variant that a report is of."""
    return f"{project.title}, variant {project.variant.name}"


def dumped(record: object) -> str:
    """JSON with a newline at its end."""
    return json.dumps(record, indent=2, ensure_ascii=False) + "\n"


def table(rows: Iterable[Sequence[Cell]]) -> str:
    """CSV; a number that does not exist is left out."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in rows:
        writer.writerow([_cell(cell) for cell in row])
    return out.getvalue()


def _cell(cell: Cell) -> str:
    if cell is None or (isinstance(cell, float) and not math.isfinite(cell)):
        return ""
    return f"{cell + 0.0:.9g}" if isinstance(cell, float) else str(cell)


def finite(value: float) -> float | None:
    """A number for JSON; None for one that does not exist."""
    return float(value) if math.isfinite(value) else None


# ---- copies


def spread_text(project: Project, spread: Spread, reading: str) -> str:
    """Shares of copies that hold, readings over the copies, what spreads one reading."""
    display = project.display
    kinds = {kind.key: kind for kind in catalogue(project.design)}
    share = spread.all_limits if spread.limits else spread.good
    does = "hold all limits" if spread.limits else "work as a throw-over lever"
    alone = holes_alone(project.design, display)
    lines = [
        heading(project),
        *([f"{capital(alone)}."] if alone else []),
        "",
        f"{words.percent(share.share)} of {words.count(spread.copies)} copies {does}; "
        f"of all that could be made, {words.interval(share)} (95 % sure).",
        f"{words.percent(spread.good.share)} hold them and always go home.",
        *spread.notes,
        "",
        f"Copies that hold each limit; behind it {words.CORNER}",
    ]
    asked = (*spread.limits, *spread.conditions)
    names = [_limit_name(each, kinds.get(each.limit.reading), project) for each in asked]
    wide = max(map(len, names), default=0)
    for each, name in zip(asked, names, strict=True):
        line = _limit_line(each, name, wide, kinds.get(each.limit.reading), project)
        lines.append(f"  {line}")
    wide = max(len(kind.label) for kind in kinds.values()) + 1
    lines += ["", f"{'Readings':<{wide + 2}}{'as drawn':>12}{'90 of 100 copies':>26}"]
    for key, kind in kinds.items():
        found = spread.readings.get(key)
        if found is not None:
            drawn, low, high = (
                units.show(value, kind.quantity, display)
                for value in (found.nominal, found.low, found.high)
            )
            lines.append(f"  {kind.label:<{wide}}{drawn:>12}{f'{low} to {high}':>26}")
    lines += ["", f"What spreads “{kinds[reading].label}”"]
    for part in spread.contributions(reading):
        if part.share >= _LEAST:
            lines.append(f"  {words.percent(part.share):>8}  {part.label}")
    rest = spread.remainder(reading)
    if rest >= _LEAST:
        lines.append(f"  {words.percent(rest):>8}  several of them together")
    return "\n".join(lines) + "\n"


def _limit_name(each: LimitSpread, kind: ReadingKind | None, project: Project) -> str:
    wanted = words.bound(each.limit, kind.quantity, project.display) if kind else ""
    return f"{each.label}: {wanted}" if wanted else each.label


def _limit_line(
    each: LimitSpread, name: str, wide: int, kind: ReadingKind | None, project: Project
) -> str:
    quantity = kind.quantity if kind else "ratio"
    corner = words.corner(each.limit, each.worst, each.worst_holds, quantity, project.display)
    if kind is not None and name != each.label and not math.isnan(each.worst):
        corner = f"{units.show(each.worst, kind.quantity, project.display)}, {corner}"
    return f"{words.percent(each.holds.share):>8}  {name:<{wide}}  all at worst: {corner}"


def spread_json(project: Project, spread: Spread, reading: str) -> str:
    """The same in base units, for scripts."""
    kinds = {kind.key: kind for kind in catalogue(project.design)}
    return dumped(
        {
            "title": project.title,
            "variant": project.variant.name,
            "copies": spread.copies,
            "locked": spread.locked,
            "all_limits": _share(spread.all_limits),
            "good": _share(spread.good),
            "limits": [_limit(each) for each in spread.limits],
            "conditions": [_limit(each) for each in spread.conditions],
            "readings": {
                key: {
                    "label": kind.label,
                    "unit": BASE_UNITS[kind.quantity],
                    "as_drawn": finite(found.nominal),
                    "least": finite(found.least),
                    "percentile_5": finite(found.low),
                    "middle": finite(found.middle),
                    "percentile_95": finite(found.high),
                    "most": finite(found.most),
                    "missing": found.missing,
                }
                for key, kind in kinds.items()
                if (found := spread.readings.get(key)) is not None
            },
            "contributions": {
                "reading": reading,
                "shares": {
                    part.label: round(part.share, 6) for part in spread.contributions(reading)
                },
                "together": round(spread.remainder(reading), 6),
            },
            "notes": list(spread.notes),
        }
    )


def _share(share: Share) -> dict[str, Any]:
    return {
        "count": share.count,
        "share": finite(share.share),
        "low": share.low,
        "high": share.high,
    }


def _limit(each: LimitSpread) -> dict[str, Any]:
    return {
        "reading": each.limit.reading,
        "label": each.label,
        "at_least": each.limit.at_least,
        "at_most": each.limit.at_most,
        "holds": _share(each.holds),
        "worst": finite(each.worst),
        "worst_holds": each.worst_holds,
        "offenders": {part.label: round(part.share, 6) for part in each.offenders},
    }


def spread_csv(project: Project, spread: Spread) -> str:
    """One line per reading: as drawn and over the copies, in base units."""
    rows: list[Sequence[Cell]] = [
        ("reading", "unit", "as drawn", "least", "5 %", "middle", "95 %", "most", "missing")
    ]
    for kind in catalogue(project.design):
        found = spread.readings.get(kind.key)
        if found is not None:
            numbers = (found.nominal, found.least, found.low, found.middle, found.high, found.most)
            rows.append((kind.key, BASE_UNITS[kind.quantity], *numbers, found.missing))
    return table(rows)


# ---- effects


def effects_text(project: Project, effects: Sensitivities) -> str:
    """What a reading depends on, the greatest effect first; and where each point should go."""
    display, kind = project.display, effects.reading
    better = {1: ", more is better", -1: ", less is better", 0: ""}[effects.better]
    value = units.show(effects.value, kind.quantity, display)
    lines = [heading(project), "", f"{kind.label}: {value}{better}", ""]
    head = f"{'A little more of':<44}{'that is':>14}{'does':>14}   name of the number"
    lines.append(head)
    for each in effects.ranked:
        step, does = words.step(each, display), words.change(each.rise, kind.quantity, display)
        lines.append(f"  {each.number.label:<42}{step:>14}{does:>14}   {each.number.path}")
    lines += ["", "Points, moved the best way"]
    for arrow in sorted(effects.arrows, key=lambda arrow: -arrow.per_mm):
        if arrow.per_mm > 0.0:
            angle = math.degrees(math.atan2(arrow.y, arrow.x))
            way = units.show(angle, "direction", display)
            gain = words.gain(arrow.per_mm, kind.quantity, display, effects.better)
            lines.append(f"  {arrow.point:<42}{f'to {way}':>14}   {gain}")
    return "\n".join(lines) + "\n"


def effects_json(project: Project, effects: Sensitivities) -> str:
    """The same in base units, for scripts."""
    return dumped(
        {
            "title": project.title,
            "variant": project.variant.name,
            "reading": effects.reading.key,
            "value": finite(effects.value),
            "unit": BASE_UNITS[effects.reading.quantity],
            "better": effects.better,
            "numbers": [
                {
                    "number": each.number.path,
                    "label": each.number.label,
                    "unit": BASE_UNITS[each.number.quantity],
                    "per_unit": finite(each.per_unit),
                    "change": each.typical,
                    "rise": finite(each.rise),
                    "fall": finite(each.fall),
                }
                for each in effects.ranked
            ],
            "points": [
                {"point": arrow.point, "x": arrow.x, "y": arrow.y, "per_mm": finite(arrow.per_mm)}
                for arrow in effects.arrows
            ],
        }
    )


def effects_csv(effects: Sensitivities) -> str:
    """One line per number, in base units."""
    rows: list[Sequence[Cell]] = [("number", "unit", "per unit", "change", "more", "less")]
    for each in effects.ranked:
        unit = BASE_UNITS[each.number.quantity]
        changes = (each.per_unit, each.typical, each.rise, each.fall)
        rows.append((each.number.path, unit, *changes))
    return table(rows)
