"""What a sheet says of making and fitting: shapes, fits, rings, screws, what comes first.

Common practice where no standard is named; there is no other source.
"""

from __future__ import annotations

from collections.abc import Iterator

from solver.holes import HELD, PIN
from solver.layers import PLAY
from solver.model import Design
from solver.project import Project
from solver.screws import all_screws, countersunk, fastening_notes, threads
from solver.stack import stack
from solver.stop_pins import stop_pins
from solver.units import show_each


def making(project: Project) -> Iterator[str]:
    """The sentences of a project's sheet, in the order of the work."""
    design = project.design
    if design.plates:
        yield (
            "True shapes of the plates: drilling template 1:1 and outlines (DXF, SVG). "
            "Deburr all edges and holes."
        )
    if stop_pins(design):
        yield (
            "Stop holes are for round pins of the diameter given that touch the lever's edge; set "
            "other stops by the angles of the rests."
        )
    yield (
        "Pins are held fast by the link named first; the others turn on them in clearance holes "
        f"of ISO 273, {project.sheet.holes} series; so are the holes for screws. Washers and "
        "spacers have the fine series, as in ISO 7089; pivot washers are as thin as the list says."
    )
    pins = stack(design).pins
    ringed = any(pin.of("end") for pin in pins)
    plain = "; of hardened ISO 8734 only those without a ring" if ringed else ""
    yield (
        f"{HELD}: reamed to hold fast a parallel pin {PIN} (ISO 2338{plain}), stop pins too; a "
        "transition fit: retaining compound or peening for a loose one, above all in aluminium."
    )
    if ringed:
        play = show_each(PLAY, "length", project.paper_displays)
        yield f"Grooves by the table of the rings, with {play} of end play before each ring."
    yield from _sunk(design)
    yield from fastening_notes(design)
    if pins:
        springs = ", springs" if design.springs else ""
        slack = (
            "; a spring goes on slack: leave out a stop pin, or the pin at its other end, till then"
            if springs
            else ""
        )
        yield (
            f"Fit pins into the links that hold them, then links{springs} and washers in the "
            f"order in which they lie above each other, rings last{slack}."
        )
    yield "Grades of material and grease for the pivots are the builder's choice."


def _sunk(design: Design) -> Iterator[str]:
    """How screws through moving links are countersunk, and how wide."""
    used = {screw.thread for screw in all_screws(design) if countersunk(design, screw)}
    heads = ", ".join(f"{threads()[size].name} ⌀{threads()[size].sunk:g}" for size in sorted(used))
    if heads:
        yield (
            "Screws through moving links are countersunk 90° from the frame's side, flush "
            f"({heads}, as for ISO 10642)."
        )
