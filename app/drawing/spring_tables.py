"""Spring data in the order of ISO 2162-1: wire, coils, ends, lengths with their loads, rate."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.drawing.blocks import Block, Row, table_block
from app.drawing.dimensioning import legs_angle
from app.drawing.figures import SheetUnits, angle, reading, trimmed, with_unit
from app.drawing.metrics import plain
from app.drawing.poses import Posed, place_of
from solver.guide_rod import rod_rows
from solver.model import CompressionSpring, Design, ExtensionSpring, Spring, TorsionSpring
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
from solver.torsion_data import free_angle_off, held_rows, torsion_rows
from solver.wire_data import stresses, wire_words
from solver.wording import capital

_ACTS = {"both": "both ways", "below": "below its free angle", "above": "above its free angle"}
_SAME = 0.05
"""mm; a shortest or longest length that is that of a pose but for so much is not told again."""


def spring_tables(
    posed: Posed, units: SheetUnits, displays: Sequence[Display], width: float
) -> Iterator[Block]:
    """For each spring one table of what it is, how it works and how it is held.

    `displays` are those of the sheet's units.
    """
    design = posed.analysis.design
    for spring, work in zip(design.springs, posed.analysis.springs, strict=True):
        rows: list[Row] = [
            ("Quantity", "Value"),
            *_looks(design, spring, displays),
            *_works(posed, spring, work, units, displays),
            *_stresses(spring, work, units),
            *_held(design, spring, units, displays),
        ]
        name = f"{spring.name}, {SPRING_WORDS[type(spring)]}"
        yield table_block(name, rows, width, ("left", "right"))


def _looks(design: Design, spring: Spring, displays: Sequence[Display]) -> Iterator[Row]:
    """Wire, diameters, coils; what is not known is left out, and a row says so."""
    if steel := wire_words(design, spring):
        yield "Wire, assumed", steel
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
        yield capital(lacking), ""
    if spring.order_note:
        yield "Order number, note", plain(spring.order_note)


def _works(
    posed: Posed,
    spring: Spring,
    work: SpringWork,
    units: SheetUnits,
    displays: Sequence[Display],
) -> Iterator[Row]:
    """Lengths (twists) with their loads (moments), from free to solid, and the rate."""
    design = posed.analysis.design
    if isinstance(spring, TorsionSpring):
        for label, value in torsion_rows(design, spring, work.length, displays):
            yield label, plain(value)
        off = free_angle_off(design, spring)
        yield "Free angle, axis to the pins", f"{angle(spring.free_angle)}{off}"
        at = dict(_placed(posed))
        for pose, twist, moment in _poses(work):
            told = f"{reading(twist, 'angle', units)}, {with_unit(moment, 'torque', units)}"
            pins = angle(legs_angle(at[pose], spring))
            yield f"{capital(pose)}: axis to pins, twist, moment", f"{pins}, {told}"
        if spring.most_twist is not None:
            most = with_unit(spring.most_twist * spring.rate, "torque", units)
            yield "Greatest twist allowed", f"{angle(spring.most_twist)}, {most}"
        yield "Rate at the pins, legs included", with_unit(spring.rate, "angular_rate", units)
        yield "Pushes", _ACTS[spring.acts]
        return
    yield "Free length", with_unit(spring.free_length, "length", units)
    poses = list(_poses(work))
    for pose, placed in _placed(posed) if spring.fittings else ():
        apart = math.dist(place_of(placed, spring.a), place_of(placed, spring.b))
        yield f"Pin to pin at {pose}", with_unit(apart, "length", units)
    for pose, long, force in poses:
        load = with_unit(force, "force", units)
        yield f"Length at {pose}", f"{with_unit(long, 'length', units)}, {load}"
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
        yield "Solid length", f"{solid}, {with_unit(force, 'force', units)}"
        yield "Sum of least gaps", with_unit(spring.least_gaps, "length", units)
        return
    if spring.longest is not None:
        pull = spring.initial_tension + spring.rate * (spring.longest - spring.free_length)
        longest = with_unit(spring.longest, "length", units)
        yield "Longest length allowed", f"{longest}, {with_unit(pull, 'force', units)}"
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


def _placed(posed: Posed) -> Iterator[tuple[str, Design]]:
    """The poses of the sheet, as the lever passes them."""
    yield "rest A", posed.at_a
    yield from reversed(posed.others())


def _stresses(spring: Spring, work: SpringWork, units: SheetUnits) -> Iterator[Row]:
    """What the wire bears, for the maker to judge."""
    found = [(words, reading(size, "stress", units)) for words, size in stresses(spring, work)]
    yield from found
    if found:
        yield "Stress allowed", "ask the maker"


def _held(
    design: Design, spring: Spring, units: SheetUnits, displays: Sequence[Display]
) -> Iterator[Row]:
    """What the spring hangs on or lies against, and how it is held and guided."""
    if isinstance(spring, TorsionSpring):
        yield from ((label, plain(value)) for label, value in held_rows(design, spring))
        return
    yield "Between", plain(f"{spring.a}, {spring.b}")
    if isinstance(spring, CompressionSpring):
        yield "Ends", "held at both ends" if spring.captive else "free past free length"
        yield from rod_rows(spring, displays)
    if spring.fittings:
        yield "End fittings, both together", with_unit(spring.fittings, "length", units)
    if spring.end_pin_diameter:
        yield "Pins at its ends", f"⌀{with_unit(spring.end_pin_diameter, 'length', units)}"
    yield "Friction at its ends", trimmed(spring.end_friction, 3)
