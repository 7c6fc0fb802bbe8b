"""Spring data in the order of ISO 2162-1: wire, coils, ends, lengths with their loads, rate."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.drawing.blocks import Block, Row, table_block
from app.drawing.figures import SheetUnits, angle, reading, trimmed, with_unit
from app.drawing.metrics import plain
from solver.analysis import Analysis
from solver.model import CompressionSpring, ExtensionSpring, Spring, TorsionSpring
from solver.project import Display
from solver.spring_data import (
    SPRING_WORDS,
    coil_size,
    coils_text,
    mean_diameter,
    not_given_words,
    working_coils,
)
from solver.spring_work import SpringWork
from solver.torsion_data import held_rows, torsion_rows

_ACTS = {"both": "both ways", "below": "below its free angle", "above": "above its free angle"}
_CELLS = 3
"""Quantity, value, load."""
_SAME = 0.05
"""mm; a shortest or longest length that is that of a pose but for so much is not told again."""


def spring_tables(
    analysis: Analysis, units: SheetUnits, displays: Sequence[Display], width: float
) -> Iterator[Block]:
    """For each spring a table of what it is and how it works, and one of how it is held.

    `displays` are those of the sheet's units.
    """
    for spring, work in zip(analysis.design.springs, analysis.springs, strict=True):
        coiled = isinstance(spring, TorsionSpring)
        rows: list[Row] = [("Quantity", "Value", "Moment" if coiled else "Load")]
        for row in (*_looks(spring, displays), *_works(spring, work, units)):
            rows.append((*row, *("" for _ in range(_CELLS - len(row)))))
        name = f"{spring.name}, {SPRING_WORDS[type(spring)]}"
        yield table_block(name, rows, width, ("left", "right", "right"))
        held: list[Row] = [("Quantity", "Value")]
        if isinstance(spring, TorsionSpring):
            told = torsion_rows(analysis.design, spring, work.length, displays)
            pinned = held_rows(analysis.design, spring)
            held += [(label, plain(value)) for label, value in (*told, *pinned)]
        else:
            held += _held(spring, units)
        ends = "legs" if coiled else "ends"
        yield table_block(f"{spring.name}, its {ends}", held, width, ("left", "right"))


def _looks(spring: Spring, displays: Sequence[Display]) -> Iterator[Row]:
    """Wire, diameters, coils; what is not known is left out, and a row says so."""
    if spring.wire is not None:
        yield "Wire diameter", coil_size(spring.wire, displays)
    if spring.outside_diameter is not None:
        yield "Outside diameter", f"⌀{coil_size(spring.outside_diameter, displays)}"
    mean = mean_diameter(spring)
    if mean is not None:
        yield "Mean diameter", f"⌀{coil_size(mean, displays)}"
    if spring.coils is not None:
        working = working_coils(spring) or 0.0
        closed = isinstance(spring, CompressionSpring)
        yield "Coils in all" if closed else "Coils", coils_text(spring.coils)
        if closed and working > 0.0:
            yield "Coils that work, ends closed", coils_text(working)
    if lacking := not_given_words(spring):
        yield lacking[:1].upper() + lacking[1:], ""
    if spring.order_note:
        yield "Order number, note", plain(spring.order_note)


def _works(spring: Spring, work: SpringWork, units: SheetUnits) -> Iterator[Row]:
    """Lengths (twists) with their loads (moments), from free to solid, and the rate."""
    if isinstance(spring, TorsionSpring):
        yield "Free angle of the legs", angle(spring.free_angle)
        for pose, twist, moment in _poses(work):
            yield (
                f"Twist at {pose}",
                reading(twist, "angle", units),
                with_unit(moment, "torque", units),
            )
        if spring.most_twist is not None:
            most = with_unit(spring.most_twist * spring.rate, "torque", units)
            yield "Greatest twist allowed", angle(spring.most_twist), most
        yield "Rate", with_unit(spring.rate, "angular_rate", units)
        yield "Pushes", _ACTS[spring.acts]
        return
    yield "Free length", with_unit(spring.free_length, "length", units)
    poses = list(_poses(work))
    for pose, long, force in poses:
        load = with_unit(force, "force", units)
        yield f"Length at {pose}", with_unit(long, "length", units), load
    for words, extreme in (("Shortest", work.shortest), ("Longest", work.longest)):
        if all(abs(extreme - long) > _SAME for _, long, _ in poses):
            yield f"{words} over the throw", reading(extreme, "length", units)
    yield from _end_of_travel(spring, units)
    yield "Rate", with_unit(spring.rate, "rate", units)


def _end_of_travel(spring: CompressionSpring | ExtensionSpring, units: SheetUnits) -> Iterator[Row]:
    """The solid length of a compression spring, the longest of an extension spring."""
    if isinstance(spring, CompressionSpring):
        force = spring.rate * (spring.free_length - spring.solid_length)
        solid = with_unit(spring.solid_length, "length", units)
        yield "Solid length", solid, with_unit(force, "force", units)
        yield "Sum of least gaps", with_unit(spring.least_gaps, "length", units)
        return
    if spring.longest is not None:
        pull = spring.initial_tension + spring.rate * (spring.longest - spring.free_length)
        longest = with_unit(spring.longest, "length", units)
        yield "Longest length allowed", longest, with_unit(pull, "force", units)
    yield "Initial tension", with_unit(spring.initial_tension, "force", units)


def _poses(work: SpringWork) -> Iterator[tuple[str, float, float | None]]:
    """The poses that the throw has, with length or twist and load or moment."""
    for pose, size, load in (
        ("rest A", work.at_rest_a, work.force_a),
        ("dead centre", work.at_dead_centre, work.force_dead_centre),
        ("rest B", work.at_rest_b, work.force_b),
    ):
        if size is not None:
            yield pose, size, load


def _held(spring: CompressionSpring | ExtensionSpring, units: SheetUnits) -> Iterator[Row]:
    """How the spring is held and guided."""
    if isinstance(spring, CompressionSpring):
        yield "Ends", "held at both ends" if spring.captive else "free past free length"
        if spring.rod is not None:
            yield "Guide rod closed, pin to pin", with_unit(spring.rod.closed, "length", units)
            yield "Guide rod out at, pin to pin", with_unit(spring.rod.reach, "length", units)
    if spring.fittings:
        yield "End fittings, both together", with_unit(spring.fittings, "length", units)
    yield "Pins at its ends", f"⌀{with_unit(spring.end_pin_diameter, 'length', units)}"
    yield "Friction at its ends", trimmed(spring.end_friction, 3)
