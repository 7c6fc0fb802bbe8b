"""What a report says, as plain values: sections of numbers and sentences, and two pictures.

The PDF and the web page are made from these. Needs no Qt.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from app.cautions import cautions
from app.drawing.metrics import plain
from app.drawing.model import Across
from app.whereabouts import place
from app.workshop.gap_words import heading
from solver import units
from solver.analysis import Analysis
from solver.clearance import Clearance
from solver.model import (
    CompressionSpring,
    ExtensionSpring,
    Spring,
    TorsionSpring,
)
from solver.project import Display, Project
from solver.remark import Remark
from solver.results import Reading
from solver.spring_data import (
    SPRING_WORDS,
    coil_size,
    coils_text,
    not_given_words,
    working_coils,
)
from solver.spring_work import SpringWork
from solver.torsion_data import torsion_rows
from solver.units import Quantity
from solver.wire_data import stresses, wire_words

Row = tuple[str, ...]
Shown = Sequence[Display]

CURVE_NOTE = (
    "Hatched: the hang zone, where friction can hold the lever still. "
    "Below zero effort the lever pulls by itself."
)

ASSUMPTIONS: tuple[str, ...] = (
    "Links and pins are rigid, holes are round and lie where their numbers say. What a hole, "
    "spring or stop is off by is not in these readings: Study ▸ Copies tells what it does.",
    "The lever is moved slowly: the readings leave out inertia, impact and bounce.",
    "Friction is dry and the same at every speed. At each pin it is the coefficient times the "
    "pin's radius times the force there, and that force is taken without friction: about 1 % "
    "too much at a coefficient of 0.15, 4 % at 0.3.",
    "Springs follow a straight line from their free length on. They do not buckle, rub, set or "
    "tire; torsion springs bear on their legs alone.",
    "Plates weigh what their outline, thickness and material say; links without a plate weigh "
    "nothing. Holes are taken as filled by their pins.",
)


@dataclass(frozen=True, slots=True)
class Section:
    """A headed table, its first row of heads, or headed sentences where it has no rows.

    `lines` are its rows as sentences, for where the table is too wide.
    """

    heading: str
    rows: tuple[Row, ...] = ()
    notes: tuple[str, ...] = ()
    aligned: tuple[Across, ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Report:
    """A report without its pictures."""

    title: str
    subtitle: str
    verdict: str
    good: bool
    sections: tuple[Section, ...]


def report_of(
    project: Project,
    analysis: Analysis,
    remarks: Sequence[Remark],
    found: Clearance,
    today: date,
) -> Report:
    """What the report of the current variant says, in the sheet's units."""
    shown = project.paper_displays
    said = [remark.sentence for remark in remarks]
    facts = [
        f"Variant “{plain(project.variant.name)}”",
        *(f"{word} {plain(text)}" for word, text in _named_fields(project) if plain(text)),
        plain(project.sheet.date) or today.isoformat(),
    ]
    return Report(
        plain(project.title) or "Lever",
        " · ".join(facts),
        analysis.verdict,
        analysis.good,
        tuple(
            section
            for section in (
                Section("Remarks", notes=analysis.notes),
                _limits(analysis),
                *_readings(analysis, shown),
                *_springs(analysis, shown),
                Section(
                    "Plates and gaps",
                    notes=(heading(found, remarks, project.paper_wording), *said),
                ),
                Section("Notes", notes=_lines(analysis.design.notes)),
                Section("What is assumed", notes=(*ASSUMPTIONS, *found.notes)),
                Section("Cautions", notes=cautions(shown)),
            )
            if section.rows or section.notes
        ),
    )


def _named_fields(project: Project) -> tuple[tuple[str, str], ...]:
    sheet = project.sheet
    return (("No.", sheet.number), ("revision", sheet.revision), ("by", sheet.creator))


def _lines(text: str) -> tuple[str, ...]:
    return tuple(plain(line) for line in text.splitlines() if plain(line))


def _limits(analysis: Analysis) -> Section:
    rows = tuple(("holds" if one.holds else "FAILS", one.sentence) for one in analysis.limits)
    if not rows:
        return Section("Limits", notes=("None are set.",))
    lines = tuple(sentence if word == "holds" else f"{word}: {sentence}" for word, sentence in rows)
    return Section("Limits", (("State", "Limit"), *rows), lines=lines)


def _readings(analysis: Analysis, shown: Shown) -> Iterator[Section]:
    """A table for each group; what is read at either rest alike stands in a table of its own."""
    groups = dict.fromkeys(reading.group for reading in analysis.readings.values())
    for group in groups:
        held = [reading for reading in analysis.readings.values() if reading.group == group]
        alone = [reading for reading in held if _base(reading) is None]
        places = [_where(reading, analysis) for reading in alone]
        rows: list[Row] = [("Reading", "Value", "Where")]
        for reading, where in zip(alone, places, strict=True):
            rows.append((reading.label, _value(reading, shown), where))
        columns = 3 if any(places) else 2
        if alone:
            yield Section(group, tuple(row[:columns] for row in rows), aligned=_NUMBERS[:columns])
        twice = [reading for reading in held if _base(reading) is not None]
        if twice:
            yield Section(
                f"{group}, at the rests", tuple(_at_rests(twice, shown)), aligned=_AT_RESTS
            )


_NUMBERS: tuple[Across, ...] = ("left", "right", "left")
_AT_RESTS: tuple[Across, ...] = ("left", "right", "right")


def _base(reading: Reading) -> str | None:
    """What a reading at one of the rests is called without the rest; None for any other."""
    for rest in ("a", "b"):
        if reading.key.startswith(f"advantage_{rest}:"):
            return reading.label.removesuffix(f", rest {rest.upper()}")
    return None


def _at_rests(twice: Sequence[Reading], shown: Shown) -> Iterator[Row]:
    yield ("Reading", "Rest A", "Rest B")
    for base in dict.fromkeys(_base(reading) for reading in twice):
        values = (_value(reading, shown) for reading in twice if _base(reading) == base)
        yield (base or "", *values)


def _value(reading: Reading, shown: Shown) -> str:
    return units.show_each(reading.value, reading.quantity, shown)


def _where(reading: Reading, analysis: Analysis) -> str:
    where = reading.where
    if where is None or not math.isfinite(where) or where == reading.value:
        return ""
    return place(where, analysis)


# ---- springs ----------------------------------------------------------------------------


def _springs(analysis: Analysis, shown: Shown) -> Iterator[Section]:
    """Each spring's own numbers, and what it does at the places that matter."""
    works = {work.name: work for work in analysis.springs}
    for spring in analysis.design.springs:
        work = works[spring.name]
        told = [*_facts(spring, shown)]
        if isinstance(spring, TorsionSpring):
            rows = torsion_rows(analysis.design, spring, work.length, shown)
            told += [(label[:1].lower() + label[1:], plain(value)) for label, value in rows]
        if steel := wire_words(analysis.design, spring):
            told.append(("wire, assumed", steel))
        for label, size in stresses(spring, work):
            told.append((label[:1].lower() + label[1:], units.show_each(size, "stress", shown)))
        facts = " · ".join(f"{label} {value}".strip() for label, value in told)
        called = f"“{plain(spring.name)}”, {SPRING_WORDS[type(spring)]}"
        yield Section(called, notes=(facts, *_margins(work, analysis, shown)))
        yield Section(
            f"“{plain(spring.name)}” over the throw",
            tuple(_states(work, shown)),
            aligned=("left", "right", "right"),
        )


def _facts(spring: Spring, shown: Shown) -> Iterator[tuple[str, str]]:
    def say(value: float, quantity: Quantity) -> str:
        return units.show_each(value, quantity, shown)

    yield from _bought(spring, shown)
    if isinstance(spring, TorsionSpring):
        yield "rate", say(spring.rate, "angular_rate")
        yield "free angle", say(spring.free_angle, "angle")
        yield "around", plain(spring.pivot)
        yield "legs towards", f"{plain(spring.leg_a)} and {plain(spring.leg_b)}"
        return
    yield "from", f"{plain(spring.a)} to {plain(spring.b)}"
    yield "free length", say(spring.free_length, "length")
    if isinstance(spring, CompressionSpring):
        yield "solid length", _solid(spring, shown)
        yield "least gaps", say(spring.least_gaps, "length")
        if spring.rod is not None:
            yield "guide rod closes at", say(spring.rod.closed, "length")
            yield "and comes out at", say(spring.rod.reach, "length")
    if isinstance(spring, ExtensionSpring):
        yield "initial tension", say(spring.initial_tension, "force")
        if spring.longest is not None:
            yield "longest", say(spring.longest, "length")
    if spring.fittings:
        yield "end fittings", say(spring.fittings, "length")
    yield "rate", say(spring.rate, "rate")


def _bought(spring: Spring, shown: Shown) -> Iterator[tuple[str, str]]:
    """What it looks like, as far as it is known, and what is not."""
    if spring.wire is not None:
        yield "wire diameter", coil_size(spring.wire, shown)
    if spring.outside_diameter is not None:
        yield "outside diameter", coil_size(spring.outside_diameter, shown)
    if spring.coils is not None:
        working = working_coils(spring) or 0.0
        some = isinstance(spring, CompressionSpring) and working > 0.0
        yield "coils", coils_text(spring.coils) + f", {coils_text(working)} of them working" * some
    if lacking := not_given_words(spring):
        yield lacking, ""
    if spring.order_note:
        yield "order number", plain(spring.order_note)


def _solid(spring: CompressionSpring, shown: Shown) -> str:
    """The solid length with its load."""
    load = spring.rate * (spring.free_length - spring.solid_length)
    solid = units.show_each(spring.solid_length, "length", shown)
    return f"{solid} with {units.show_each(load, 'force', shown)}"


def _margins(work: SpringWork, analysis: Analysis, shown: Shown) -> Iterator[str]:
    quantity: Quantity = "angle" if work.kind == "torsion" else "length"
    margins = (
        ("Slack margin", work.slack_margin, work.slack_at),
        ("Bottoming margin", work.bottoming_margin, work.bottoming_at),
    )
    for label, value, where in margins:
        if math.isfinite(value):
            at = place(where, analysis)
            yield f"{label} {units.show_each(value, quantity, shown)}, least at {at}."


def _states(work: SpringWork, shown: Shown) -> Iterator[Row]:
    coiled = work.kind == "torsion"
    lengths: Quantity = "angle" if coiled else "length"
    forces: Quantity = "torque" if coiled else "force"
    yield ("At", "Twist" if coiled else "Length", "Moment" if coiled else "Force")
    for name, length, force in (
        ("rest A", work.at_rest_a, work.force_a),
        ("dead centre", work.at_dead_centre, work.force_dead_centre),
        ("rest B", work.at_rest_b, work.force_b),
    ):
        if length is not None and force is not None:
            yield (
                name,
                units.show_each(length, lengths, shown),
                units.show_each(force, forces, shown),
            )
