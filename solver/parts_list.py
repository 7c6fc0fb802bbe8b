"""The parts list: what to cut, buy and fetch from the drawer for one linkage or a row of them.

The rules are simple. One plate for each link; one pin for each joint and each spring end or leg
that has one, with rings, washers and spacers as they lie along it (`stack`); the springs with
their guide rods; two stop pins; a knob (unless a weight at the grip is the knob); the screws with
their washers and, where they go through a plate alone, nuts; the weights. Like parts stand in
one row, and everything is counted once for each lever of a row.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from solver.guide_rod import greatest_diameter, rod_words
from solver.holes import PIN, clearance_hole, whole_plate
from solver.layers import up_to_half
from solver.materials import materials, plate_mass
from solver.model import (
    CompressionSpring,
    Design,
    Plate,
    Spring,
    TorsionSpring,
)
from solver.outlines import layer_of, section_of
from solver.project import Display, Sheet
from solver.screws import (
    Thread,
    all_screws,
    countersunk,
    occupied,
    screw_at,
    screw_length,
    taken_by,
    threads,
)
from solver.spring_data import to_buy
from solver.stack import RING_WIDTH, PinKind, Stack, stack
from solver.torsion_data import order_words
from solver.units import Quantity, number, show_each, unit_of

PartKind = Literal[
    "plate",
    "pin",
    "ring",
    "washer",
    "spacer",
    "spring",
    "rod",
    "stop",
    "knob",
    "screw",
    "nut",
    "weight",
]


@dataclass(frozen=True, slots=True)
class PartRow:
    """One row. Sizes in mm, mass of one piece in kg; None where it does not apply or is unknown.

    length and width are those of the stock that a plate is cut from; a round part has its
    diameter as width; `bore` is that of a washer or spacer, or the shaft of a retaining ring.
    Washers and spacers have the holes of ISO 273, fine series: so have those of ISO 7089, both
    from memory.
    `material` is the name to print. `item` counts the rows from 1.
    """

    item: int
    name: str
    kind: PartKind
    count: int
    material: str = ""
    thickness: float | None = None
    length: float | None = None
    width: float | None = None
    bore: float | None = None
    mass: float | None = None
    note: str = ""


def parts_list(
    design: Design, sheet: Sheet | None = None, displays: Sequence[Display] = (Display(),)
) -> tuple[PartRow, ...]:
    """The rows for all levers of the sheet (one without a sheet), plates first.

    Notes, such as what spring to buy, are in the units of the displays.

    Every number follows from the design as drawn; nothing is raised for one that does not move,
    but it has to pass the static checks.
    """
    levers = max(sheet.levers, 1) if sheet is not None else 1
    found: dict[tuple[object, ...], PartRow] = {}
    for row in _rows(design, displays):
        key = (row.kind, row.name, row.width, row.bore, row.length, row.thickness, row.material)
        if key in found:
            known = found[key]
            said = dict.fromkeys(note for note in (known.note, row.note) if note)
            note = ", ".join(said)
            found[key] = replace(known, count=known.count + row.count, note=note)
        else:
            found[key] = row
    return tuple(
        replace(row, item=place, count=row.count * levers)
        for place, row in enumerate(found.values(), start=1)
    )


def piece_count(rows: Sequence[PartRow]) -> int:
    """How many pieces there are in all."""
    return sum(row.count for row in rows)


def total_mass(rows: Sequence[PartRow]) -> float:
    """What all pieces weigh together, as far as it is known (kg)."""
    return sum(row.count * row.mass for row in rows if row.mass is not None)


def _rows(design: Design, displays: Sequence[Display]) -> Iterator[PartRow]:
    yield from _plates(design)
    heights = stack(design)
    yield from _pins(heights, "joint", "spring")
    yield from _fittings(heights)
    for spring in design.springs:
        yield from _spring(design, spring, displays)
    yield from _pins(heights, "stop")
    if not any(weight.point == design.grip for weight in design.weights):
        yield PartRow(0, "knob", "knob", 1, note=design.grip)
    yield from _screws(design, displays)
    for weight in design.weights:
        held = "how it is fastened is not settled"
        if occupied(design, weight.point):
            held = "on the pin there"
        elif screw_at(design, weight.point):
            held = "on the screw there"
        note = f"centre of mass at {weight.point}, size free, {held}"
        yield PartRow(0, weight.name, "weight", 1, mass=weight.mass, note=note)


def _screws(design: Design, displays: Sequence[Display]) -> Iterator[PartRow]:
    """Screws with washers and the nuts of those that neither wall nor knob takes.

    A washer lies under each nut and under each head that is not countersunk.
    """
    alike: dict[tuple[float, float | None, str, bool], list[str]] = {}
    for screw in all_screws(design):
        made = (screw.thread, screw_length(design, screw), taken_by(design, screw))
        alike.setdefault((*made, countersunk(design, screw)), []).append(screw.point)
    for (size, long, into, sunk), points in alike.items():
        thread, count, note = threads()[size], len(points), ", ".join(points)
        plate = design.plate_of(design.links_at(points[0])[0])
        name = f"{'countersunk ' if sunk else ''}screw {thread.name}"
        if long is not None:
            name = f"{name} × {long:g}"
        else:
            note = f"to suit the {'plate' if into == 'nut' else into} ({note})"
        if into == "knob" and long is not None and plate is not None:
            deep = up_to_half(long - plate.thickness + thread.pitch)
            note = f"{note}, in a thread {show_each(deep, 'length', displays)} deep or more"
        yield PartRow(0, name, "screw", count, "Steel", None, long, size, note=note)
        nuts = count if sunk and into in ("nut", "weight") else 0
        washers = nuts if sunk else count
        if washers:
            yield _washer(thread, washers)
        if nuts:
            yield PartRow(0, f"nut {thread.name}", "nut", nuts, "Steel", width=size)


def _washer(thread: Thread, count: int) -> PartRow:
    """Washers for a screw."""
    bore, high = clearance_hole(thread.diameter, "fine"), thread.washer_height
    return PartRow(
        0, f"washer {thread.name}", "washer", count, "Steel", high, None, thread.washer, bore=bore
    )


def _plates(design: Design) -> Iterator[PartRow]:
    for link in design.links:
        plate = design.plate_of(link.name)
        if plate is None:
            yield PartRow(0, link.name, "plate", 1, note="plate not settled")
        else:
            yield _plate(design, plate)


def _plate(design: Design, plate: Plate) -> PartRow:
    shape = whole_plate(design, plate.link)
    corners = list(shape.minimum_rotated_rectangle.exterior.coords)
    sides = sorted(math.dist(a, b) for a, b in pairwise(corners[:3]))
    mass = plate_mass(section_of(shape).area, plate.thickness, plate.material)
    return PartRow(
        0,
        plate.link,
        "plate",
        1,
        materials()[plate.material].title,
        plate.thickness,
        round(sides[1], 1),
        round(sides[0], 1),
        None,
        mass,
        f"layer {layer_of(design, plate.link)}",
    )


def _round(name: str, kind: PartKind, diameter: float, length: float, note: str) -> PartRow:
    """A parallel pin, held fast."""
    mass = plate_mass(math.pi / 4.0 * diameter**2, length, "steel")
    return PartRow(0, f"{name} {PIN}", kind, 1, "Steel", None, length, diameter, None, mass, note)


_PIN_NAMES: Mapping[PinKind, tuple[str, PartKind]] = {
    "joint": ("pin", "pin"),
    "spring": ("anchor pin", "pin"),
    "stop": ("stop pin", "stop"),
}


def _pins(heights: Stack, *kinds: PinKind) -> Iterator[PartRow]:
    for kind in kinds:
        for pin in (pin for pin in heights.pins if pin.kind == kind):
            yield _round(*_PIN_NAMES[kind], pin.diameter, pin.length, pin.name)


_RING = "DIN 471 or like"


def _fittings(heights: Stack) -> Iterator[PartRow]:
    """Retaining rings, washers and spacers of all pins."""
    for pin in heights.pins:
        bore, wide = clearance_hole(pin.diameter, "fine"), RING_WIDTH * pin.diameter
        for _ in pin.of("end"):
            yield PartRow(0, "retaining ring", "ring", 1, "Steel", bore=pin.diameter, note=_RING)
        for piece in pin.of("washer"):
            size = round(piece.long, 2)
            yield PartRow(0, "pivot washer", "washer", 1, "Steel", size, None, wide, bore)
        for piece in pin.of("spacer"):
            size = round(piece.long, 2)
            yield PartRow(0, "spacer", "spacer", 1, "Steel", None, size, wide, bore, note=pin.name)


def _spring(design: Design, spring: Spring, displays: Sequence[Display]) -> Iterator[PartRow]:
    coiled = order_words(design, spring) if isinstance(spring, TorsionSpring) else ()
    yield PartRow(
        0,
        spring.name,
        "spring",
        1,
        length=None if isinstance(spring, TorsionSpring) else spring.free_length,
        width=spring.outside_diameter,
        note=to_buy(spring, displays, coiled),
    )
    if isinstance(spring, CompressionSpring) and spring.rod is not None:
        note = rod_words(spring, displays)
        most = greatest_diameter(spring)
        yield PartRow(0, "guide rod", "rod", 1, length=spring.rod.closed, width=most, note=note)


_SIZES = ("Thickness", "Length", "Width or diameter", "Bore or shaft")


def as_csv(rows: Sequence[PartRow], displays: Sequence[Display] = (Display(),)) -> str:
    """The list as CSV text with a head row that names the units, and a last row with the sums.

    Sizes and masses have a column for each of the displays.
    """

    def each(value: float | None, quantity: Quantity) -> list[str]:
        return ["" if value is None else number(value, quantity, shown) for shown in displays]

    sizes = [f"{size} ({unit_of('length', shown)})" for size in _SIZES for shown in displays]
    masses = [f"Mass of one ({unit_of('mass', shown)})" for shown in displays]
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["Item", "Part", "Count", "Material", *sizes, *masses, "Note"])
    for row in rows:
        written = (row.thickness, row.length, row.width, row.bore)
        writer.writerow(
            [
                row.item,
                _harmless(row.name),
                row.count,
                row.material,
                *(cell for size in written for cell in each(size, "length")),
                *each(row.mass, "mass"),
                _harmless(row.note),
            ]
        )
    empty = [""] * (1 + len(sizes))
    together = each(total_mass(rows), "mass")
    writer.writerow(["", "all together", piece_count(rows), *empty, *together, ""])
    return text.getvalue()


def _harmless(text: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
