"""What the bench needs beside the drawing: plates, loads, readings, limits, tolerances, notes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from app.cautions import short_cautions
from app.drawing.blocks import Block, Row, notes_block, table_block
from app.drawing.figures import (
    INCH,
    NOTHING,
    SheetUnits,
    direction,
    length,
    origin_words,
    reading,
    rounded_down,
    trimmed,
    with_unit,
    zero_words,
)
from app.drawing.making import making
from app.drawing.model import Across
from app.drawing.names import hole_numbers
from app.drawing.poses import Posed, datum_of
from solver.analysis import Analysis
from solver.bars import runs
from solver.materials import materials
from solver.model import FRAME, Design, Force, Plate, TorsionSpring
from solver.outlines import inner_radius
from solver.parts_list import parts_list
from solver.project import Display, Project, Sheet
from solver.results import Reading
from solver.screws import screw_at
from solver.tables import table

_BENCH = (
    ("holding_force_a", "Holding force at rest A"),
    ("holding_force_b", "Holding force at rest B"),
    ("peak_effort_to_b", "Peak effort, A to B"),
    ("peak_effort_to_a", "Peak effort, B to A"),
    ("throw", "Throw"),
    ("travel_at_grip", "Travel at the grip, along its arc"),
    ("dead_centre", "Dead centre, from rest A"),
    ("hang_zone", "Hang zone, all together"),
    ("hang_zone_mm", "Hang zone at the grip"),
    ("commit_from_a", "Commit point, thrown from A"),
    ("commit_from_b", "Commit point, thrown from B"),
)
_OUTPUTS = ("output_travel:", "output_turn:")


def readings_table(analysis: Analysis, units: SheetUnits, width: float) -> Block:
    """The readings to check on the bench, forces by a pull scale."""
    rows: list[Row] = [("At the bench", "Value")]
    readings = analysis.readings
    for key, label in _BENCH:
        if key in readings:
            rows.append((label, _told(readings[key], units)))
    rows += [
        (one.label, _told(one, units)) for key, one in readings.items() if key.startswith(_OUTPUTS)
    ]
    heading = "Readings: pull scale at the grip, square to the lever"
    return table_block(heading, rows, width, ("left", "right"))


def _told(one: Reading, units: SheetUnits) -> str:
    return reading(one.value, one.quantity, units)


def limits_table(analysis: Analysis, units: SheetUnits, width: float) -> Block | None:
    """The limits, what was read, and whether they hold; None where none is set."""
    if not analysis.limits:
        return None
    rows: list[Row] = [("Limit", "Allowed", "Read", "")]
    for result in analysis.limits:
        low, high = result.limit.at_least, result.limit.at_most
        quantity = result.reading.quantity
        allowed = " ".join(
            f"{sign} {with_unit(bound, quantity, units)}"
            for sign, bound in (("≥", low), ("≤", high))
            if bound is not None
        )
        read = _told(result.reading, units)
        rows.append((result.reading.label, allowed, read, "ok" if result.holds else "FAILS"))
    return table_block("Limits", rows, width, ("left", "right", "right", "left"))


_SHAPE = ("Along holes", "Width", "Inner R")


def _along(design: Design, plate: Plate, numbers: Mapping[str, int]) -> str:
    """The holes that a plate's bars join by their numbers, such as 13–2–14, or what else it is."""
    if plate.outline:
        return NOTHING
    if plate.link == FRAME:
        return "solid board round all"
    names = {(p.x, p.y): p.name for p in map(design.point, design.link(plate.link).points)}
    return ", ".join(
        "–".join(str(numbers[names[place]]) for place in run) for run in runs(list(names))
    )


def plates_table(posed: Posed, sheet: Sheet, width: float) -> Block | None:
    """What each link is cut from, along which holes, its inner corners and mass.

    None where that is settled for none.

    The mass is that of the parts list: of one plate before drilling.
    """
    design = posed.design
    if not design.plates:
        return None
    units, numbers = sheet.units, hole_numbers(posed, datum_of(design, sheet.datum))
    masses = {part.name: part.mass for part in parts_list(design, sheet) if part.kind == "plate"}
    rows: list[Row] = [("Link", "Material", "Thickness", *_SHAPE, "Layer", "Mass")]
    for plate in design.plates:
        known = materials().get(plate.material)
        own = "own outline" if plate.outline else length(plate.width, units)
        inner = None if plate.link == FRAME else inner_radius(design, plate.link)
        rows.append(
            (
                *(plate.link, known.title if known is not None else plate.material),
                *(length(plate.thickness, units), _along(design, plate, numbers), own),
                NOTHING if inner is None else length(inner, units),
                "0" if plate.link == FRAME else str(plate.layer),
                reading(masses.get(plate.link), "mass", units),
            )
        )
    heading = (
        "Plates, edges half their width from the lines along holes; R: inner corners; layer 0 is "
        "the frame's face; mass before drilling"
    )
    sides: list[Across] = ["left", "left", "right", "left", "right", "right", "right", "right"]
    return table_block(heading, rows, width, sides)


def loads_table(design: Design, units: SheetUnits, display: Display, width: float) -> Block | None:
    """Weights, forces, torques and steady drags; None where nothing of the kind is there."""
    rows: list[Row] = [("Load", "At", "Size", "Direction")]
    for weight in design.weights:
        mass, way = with_unit(weight.mass, "mass", units), design.gravity.direction
        down = direction(way, display) if design.gravity.strength else "lies flat"
        rows.append((weight.name, f"centre at {weight.point}", mass, down))
    for load in design.loads:
        if isinstance(load, Force):
            size = with_unit(math.hypot(load.x, load.y), "force", units)
            pull = direction(math.degrees(math.atan2(load.y, load.x)), display)
            rows.append((load.name, load.point, size, pull))
        else:
            size = with_unit(abs(load.torque), "torque", units)
            turning = "counter-clockwise" if load.torque >= 0.0 else "clockwise"
            rows.append((load.name, load.link, size, turning))
    for pivot in design.pivots:
        if pivot.drag:
            drag = with_unit(pivot.drag, "torque", units)
            rows.append(("drag of the pivot", pivot.point, drag, "against turning"))
    for slider in design.sliders:
        rubs = f"friction {trimmed(slider.friction, 3)}"
        if slider.drag:
            rubs = f"{with_unit(slider.drag, 'force', units)}, {rubs}"
        rows.append((slider.name, slider.point, rubs, "against sliding"))
    if len(rows) == 1:
        return None
    heading = f"Loads; directions from {origin_words(display)}"
    return table_block(heading, rows, width, ("left", "left", "right", "right"))


def tolerances_table(sheet: Sheet, width: float) -> Block:
    """The general tolerances of ISO 2768-1 in the chosen class, in the sheet's units."""
    content = table("iso2768")
    values = content["plus_minus"][sheet.tolerance_class][:6]
    rows: list[Row] = [("Sizes over, up to", "Allowed")]
    for (low, high), value in zip(content["ranges"], values, strict=False):
        allowed = "–" if value is None else _off(value, sheet.units)
        rows.append((_range(low, high, sheet.units), allowed))
    unit = {"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units]
    heading = f"General tolerances in {unit}: ISO 2768-1, class {sheet.tolerance_class}"
    return table_block(heading, rows, width, ("left", "right"))


def _range(low: float, high: float, units: SheetUnits) -> str:
    metric = f"{low:g} to {high:g}"
    inch = f"{length(low, 'inch')} to {length(high, 'inch')}"
    return {"mm": metric, "inch": inch, "both": f"{metric} [{inch}]"}[units]


def _off(value: float, units: SheetUnits) -> str:
    metric, inch = f"±{value:g}", f"±{rounded_down(value / INCH, 4)}"
    return {"mm": metric, "inch": inch, "both": f"{metric} [{inch}]"}[units]


def notes(
    project: Project, analysis: Analysis, width: float, remarks: Sequence[str] = ()
) -> Iterator[Block]:
    """What the sheet says in sentences, how it is made and fitted, and the cautions."""
    said = list(_said(project, analysis))
    yield notes_block("Notes", [*said, *remarks], width)
    yield notes_block("Making and fitting", list(making(project)), width)
    yield notes_block("Cautions", short_cautions(project.paper_displays), width)


def _said(project: Project, analysis: Analysis) -> Iterator[str]:
    sheet, gravity = project.sheet, analysis.design.gravity
    yield (
        "Drawn at rest A in full line, at rest B in phantom outline, at dead centre by the axes of "
        "its links alone."
    )
    if screw_at(analysis.design, analysis.design.grip) is not None:
        yield "The thin circle at the grip stands for the knob, around the hole for its screw."
    if any(not isinstance(spring, TorsionSpring) for spring in analysis.design.springs):
        yield "Spring lengths in the view are measured pin to pin."
    if any(isinstance(spring, TorsionSpring) for spring in analysis.design.springs):
        yield (
            "Legs are counted counter-clockwise from the one named first to the other; a twist is "
            "that angle less the free one, below zero where they are pressed together."
        )
    if any(key.startswith("output_travel:") for key in analysis.readings):
        yield "A point's travel is its whole path: where it turns back, both ways count."
    if analysis.design.weights:
        yield "Of a weight the mass counts, its centre at the point named; its size is free."
    if gravity.strength:
        strength = with_unit(gravity.strength, "acceleration", sheet.units)
        way = f"{direction(gravity.direction, project.display)} from {zero_words(project.display)}"
        yield f"Gravity {strength} at {way}; counted in every reading."
    else:
        yield "The linkage lies flat: gravity is not counted."
    if sheet.levers > 1:
        pitch = with_unit(sheet.pitch, "length", sheet.units)
        yield f"A row of {sheet.levers} such levers along the shaft, at a pitch of {pitch}."
    yield analysis.verdict
    yield from analysis.notes
