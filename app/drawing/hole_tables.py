"""Tables of holes: all at rest A from the datum, and each link's in its own axes."""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.drawing.blocks import Block, Row, table_block
from app.drawing.dimensioning import holes_of
from app.drawing.figures import NOTHING, SheetUnits, length, trimmed
from app.drawing.model import LEAST_TEXT, Across
from app.drawing.names import hole_numbers
from app.drawing.poses import Posed, datum_of, place_of
from app.drawing.table_parts import fitting_widths
from solver.holes import Hole, holes, slots
from solver.model import FRAME, Design, Link, TorsionSpring
from solver.project import Sheet
from solver.stop_pins import stop_pins


def holes_table(posed: Posed, sheet: Sheet, width: float) -> Block:
    """Every hole at rest A: its number, pin, what each link is drilled to, x and y, friction.

    Where that is too wide, each link has a row of its own, and what is countersunk another.
    """
    design, datum = posed.design, datum_of(posed.design, sheet.datum)
    drilled: dict[str, list[Hole]] = {}
    for link in design.links:
        for hole in holes(design, link.name, sheet.holes):
            drilled.setdefault(hole.point, []).append(hole)
    for made in drilled.values():
        made.sort(key=lambda hole: hole.fit == "turns")  # the link that holds the pin comes first
    slotted = _slots(design, sheet)
    stops = {pin.name: (pin.x, pin.y) for pin in stop_pins(design)}
    zero = place_of(design, datum)
    rows: list[Row] = [("No.", "Hole", "Pin ⌀", "Drill ⌀", "x", "y", "Friction")]
    one_each = list(rows)
    for name, number in hole_numbers(posed, datum).items():
        x, y = stops.get(name) or place_of(design, name)
        made = drilled.get(name, [])
        pin = _pin(made[0], sheet.units) if made else NOTHING
        at = (length(x - zero[0], sheet.units), length(y - zero[1], sheet.units))
        drills = [part for hole in made for part in _drill(hole, sheet.units)]
        drills += slotted.get(name, ())
        first, *more = drills or [NOTHING]
        rubs = _friction(design, name)
        rows.append((str(number), name, pin, ", ".join(drills) or NOTHING, *at, rubs))
        one_each.append((str(number), name, pin, first, *at, rubs))
        one_each += [("", "", "", other, "", "", "") for other in more]
    heading = (
        f"Holes at rest A, from hole 1 ({datum}): x to the right, y up; of moving links a check "
        "only"
    )
    sides: list[Across] = ["right", "left", "right", "left", "right", "right", "right"]
    fits = sum(fitting_widths(tuple(rows), LEAST_TEXT)) <= width
    return table_block(heading, rows if fits else one_each, width, sides)


def _slots(design: Design, sheet: Sheet) -> dict[str, list[str]]:
    """What is milled at each end of a slot, by the point's name."""
    found: dict[str, list[str]] = {}
    ends = {slider.name: slider.along for slider in design.sliders}
    for link in design.links:
        for slot in slots(design, link.name, sheet.holes):
            for name in ends[slot.slider]:
                said = f"{link.name} slot {length(slot.width, sheet.units)} wide"
                found.setdefault(name, []).append(said)
    return found


def _drill(hole: Hole, units: SheetUnits) -> Iterator[str]:
    """What a link is drilled to, and from which side it is countersunk."""
    yield f"{hole.link} {length(hole.diameter, units)} {hole.tolerance}".rstrip()
    if hole.sunk:
        yield f"countersunk from {hole.sunk}"


def _pin(hole: Hole, units: SheetUnits) -> str:
    """The diameter of a pin; a screw by its thread."""
    return f"M{hole.pin:g}" if hole.fit == "screw" else length(hole.pin, units)


def _friction(design: Design, name: str) -> str:
    turns = len(design.links_at(name)) > 1 or any(s.point == name for s in design.sliders)
    ends = [
        spring.end_friction
        for spring in design.springs
        if not isinstance(spring, TorsionSpring) and name in (spring.a, spring.b)
    ]
    if turns:
        return trimmed(design.pivot_at(name).friction, 3)
    return trimmed(max(ends), 3) if ends else NOTHING


def links_table(posed: Posed, sheet: Sheet, width: float) -> Block | None:
    """Each moving link on its own; None where no link moves on two holes or more."""
    design = posed.design
    numbers = hole_numbers(posed, datum_of(design, sheet.datum))
    rows: list[Row] = [("Link", "No.", "Hole", "Along", "Across")]
    for link in design.links:
        if link.name != FRAME and len(link.points) > 1:
            rows += _link_rows(design, link, numbers, sheet.units)
    # Rounded places give distances that may differ in the last digit: one table has to govern.
    heading = (
        "Each link on its own, which its holes are drilled to: along the line from its first hole, "
        "across to the left of it"
    )
    if len(rows) == 1:
        return None
    return table_block(heading, rows, width, ("left", "right", "left", "right", "right"))


def _link_rows(
    design: Design, link: Link, numbers: dict[str, int], units: SheetUnits
) -> Iterator[Row]:
    names = holes_of(design, link)
    zero = place_of(design, names[0])
    far = max(names, key=lambda name: math.dist(zero, place_of(design, name)))
    end = place_of(design, far)
    size = math.dist(zero, end) or 1.0
    ux, uy = (end[0] - zero[0]) / size, (end[1] - zero[1]) / size
    for index, name in enumerate(names):
        x, y = place_of(design, name)
        x, y = x - zero[0], y - zero[1]
        yield (
            link.name if index == 0 else "",
            str(numbers[name]),
            name,
            length(x * ux + y * uy, units),
            length(y * ux - x * uy, units),
        )
