"""Holes and slots in the plates: which link holds a pin, which turns on it, and how wide.

At a joint one link holds the pin fast (`layers.pin_holder`): its hole is drilled to the pin's
size. Every other link there turns on the pin and gets a clearance hole of ISO 273 in the chosen
series. Spring ends and legs sit on pins of their own that the link holds fast. Screws go through
clearance holes of ISO 273; one through the frame fastens it, those through moving links are
countersunk (`screws`).

A hole that holds a pin fast is reamed to H7 for a parallel pin of tolerance m6 (ISO 2338, hardened
ISO 8734): common practice for pins that stay where they are and take blows; from memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Literal

from solver.bars import CUTTER_STEPS, Place
from solver.layers import pin_holder
from solver.model import FRAME, Design, Plate, TorsionSpring
from solver.outlines import half_widths, polygon
from solver.project import Display
from solver.remark import Remark
from solver.screws import countersunk, screw_at, sunk_from, threads
from solver.stop_pins import stop_pins
from solver.tables import table
from solver.torsion_shape import leg_pin, spring_ends
from solver.units import show

if TYPE_CHECKING:
    import shapely

Series = Literal["fine", "medium", "coarse"]
Fit = Literal["held", "turns", "spring", "screw", "stop"]

HELD, PIN = "H7", "m6"
"""Tolerances (ISO 286) of a hole that holds a pin fast, and of the pin."""

EDGE = 1.5
"""Least distance of a hole's centre from the plate's edge, in hole diameters; common practice."""

WEB = 1.0
"""Least width of material between two holes, in diameters of the larger; common practice."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A round hole in a link's plate, drawn pose, mm.

    fit: "held" (the pin sits fast), "turns" (the link turns on it), "spring" (a spring's end pin
    sits fast), "screw" (a screw passes) or "stop" (a stop pin sits fast). `pin` is the
    diameter of what goes through. `sunk` is the side that a screw's is countersunk from.
    """

    link: str
    point: str
    x: float
    y: float
    diameter: float
    pin: float
    fit: Fit
    sunk: Literal["", "behind", "the front"] = ""

    @property
    def tolerance(self) -> str:
        """`HELD` for a hole that holds a pin fast; "" for a clearance hole."""
        return "" if self.fit in ("turns", "screw") else HELD


@dataclass(frozen=True, slots=True)
class Slot:
    """A slot for a slider's pin in a link's plate, from centre to centre; drawn pose, mm."""

    link: str
    slider: str
    a: Place
    b: Place
    width: float


def clearance_hole(pin: float, series: Series = "medium") -> float:
    """Diameter (mm) of the clearance hole for a pin or screw, ISO 273.

    Between the sizes of the standard the play is that of the next larger one; above them, that
    of the largest. The table says how far it can be trusted.
    """
    rows: list[list[float]] = table("clearance_holes")["rows"]
    column = ("fine", "medium", "coarse").index(series) + 1
    row = next((row for row in rows if row[0] >= pin - 1e-9), rows[-1])
    return round(pin + row[column] - row[0], 2)


def holes(design: Design, link: str, series: Series = "medium") -> tuple[Hole, ...]:
    """The holes of a link's plate, in the order of its points; the frame's with the stop pins."""
    found = [
        hole
        for name in design.link(link).points
        if (hole := _hole(design, link, name, series)) is not None
    ]
    if link == FRAME:
        found += [
            Hole(FRAME, pin.name, pin.x, pin.y, pin.diameter, pin.diameter, "stop")
            for pin in stop_pins(design)
        ]
    return tuple(found)


def _hole(design: Design, link: str, name: str, series: Series) -> Hole | None:
    point, carriers = design.point(name), design.links_at(name)
    sliding = any(slider.point == name for slider in design.sliders)
    described = any(pivot.point == name for pivot in design.pivots)
    fit: Fit
    screw = screw_at(design, name)
    if screw is not None:
        pin, fit = screw.thread, "screw"
    elif len(carriers) > 1 or sliding or described:
        pin = design.pivot_at(name).pin_diameter
        fit = "held" if link == pin_holder(design, name) else "turns"
    elif (end := spring_pin(design, name)) is not None:
        pin, fit = end, "spring"
    else:
        return None
    if pin <= 0.0:
        return None
    wide = clearance_hole(pin, series) if fit in ("turns", "screw") else pin
    sunk = sunk_from(design, link) if screw is not None and countersunk(design, screw) else ""
    return Hole(link, name, point.x, point.y, wide, pin, fit, sunk)


def pin_at(design: Design, point: str) -> float | None:
    """The diameter (mm) of the pin at a point; None where nothing turns or hangs there."""
    turns = len(design.links_at(point)) > 1 or any(s.point == point for s in design.sliders)
    return design.pivot_at(point).pin_diameter if turns else spring_pin(design, point)


def spring_pin(design: Design, point: str) -> float | None:
    """Diameter (mm) of the pin that springs hang on or lie against at a point; None without any."""
    pins = [
        leg_pin(design, point) if isinstance(spring, TorsionSpring) else spring.end_pin_diameter
        for spring in design.springs
        if point in spring_ends(spring)
    ]
    return max(pins, default=None)


def slots(design: Design, link: str, series: Series = "medium") -> tuple[Slot, ...]:
    """The slots that sliders run in along a link, from one end of their line to the other."""
    found = []
    for slider in design.sliders:
        pin = design.pivot_at(slider.point).pin_diameter
        if slider.guide == link and pin > 0.0:
            a, b = ((p.x, p.y) for p in map(design.point, slider.along))
            found.append(Slot(link, slider.name, a, b, clearance_hole(pin, series)))
    return tuple(found)


def whole_plate(design: Design, link: str) -> shapely.Polygon:
    """A link's plate before drilling; drawn pose, mm.

    The frame's covers all its points and the stop pins without inner corners, unless it has an
    outline of its own: it is a board to screw things on.
    """
    import shapely

    plate = design.plate_of(FRAME)
    if link != FRAME or (plate is not None and plate.outline):
        return polygon(design, link)
    points = [(p.x, p.y) for p in map(design.point, design.link(FRAME).points)]
    points += [(pin.x, pin.y) for pin in stop_pins(design)]
    hull = shapely.MultiPoint(points).convex_hull
    return hull.buffer(half_widths(design)[FRAME], quad_segs=CUTTER_STEPS)


def hole_remarks(
    design: Design, series: Series = "medium", display: Display | None = None
) -> tuple[Remark, ...]:
    """Holes too near the edge of their plate or to each other, plates too thin to be countersunk.

    Of plates that are settled only.
    """
    shown = display or Display()
    return tuple(
        remark
        for plate in design.plates
        for remark in (
            *_edges(design, plate.link, series, shown),
            *_webs(design, plate.link, series, shown),
            *_heads(design, plate, series, shown),
        )
    )


def _edges(design: Design, link: str, series: Series, display: Display) -> Iterator[Remark]:
    import shapely

    edge = whole_plate(design, link)
    for hole in holes(design, link, series):
        centre = shapely.Point(hole.x, hole.y)
        room = float(edge.exterior.distance(centre)) * (1.0 if edge.covers(centre) else -1.0)
        need = EDGE * hole.diameter
        if room < need - 0.02:  # chords lie a hair inside the round ends
            thinner = "screw" if hole.fit == "screw" else "pin"
            yield Remark(
                "edge",
                room < hole.diameter / 2.0,
                (link, hole.point),
                f"The hole “{hole.point}” of “{link}” is {show(max(room, 0.0), 'length', display)} "
                f"from the edge, centre to edge; it needs {show(need, 'length', display)}: make "
                f"the plate wider or the {thinner} thinner.",
                room,
            )


def _heads(design: Design, plate: Plate, series: Series, display: Display) -> Iterator[Remark]:
    """Countersunk heads that are higher than their plate is thick."""
    for hole in holes(design, plate.link, series):
        if hole.sunk and plate.thickness < (high := threads()[hole.pin].sunk_height):
            yield Remark(
                "screw",
                False,
                (plate.link, hole.point),
                f"The plate of “{plate.link}” is {show(plate.thickness, 'length', display)} thick, "
                f"the countersunk head of the screw at “{hole.point}” "
                f"{show(high, 'length', display)} high: it stands out. Make the plate thicker or "
                "the screw thinner.",
                plate.thickness - high,
            )


def _webs(design: Design, link: str, series: Series, display: Display) -> Iterator[Remark]:
    for one, other in combinations(holes(design, link, series), 2):
        web = math.hypot(one.x - other.x, one.y - other.y) - (one.diameter + other.diameter) / 2.0
        need = WEB * max(one.diameter, other.diameter)
        if web < need:
            having = f"only {show(web, 'length', display)}" if web > 0.0 else "nothing"
            yield Remark(
                "web",
                web <= 0.0,
                (link, one.point, other.point),
                f"Between the holes “{one.point}” and “{other.point}” of “{link}” there is "
                f"{having} of material; it needs {show(need, 'length', display)}: pull the points "
                "apart.",
                web,
            )
