"""Screws through plates: which there are, how large they are, and how long they are bought.

A screw through the frame has its head on the frame's face. One through a moving link is
countersunk in the side towards the frame, flush, so that nothing stands out into what lies a
washer below: knob, weight or nut are on the other side. That is our own rule.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from solver.model import FRAME, Design, Screw, TorsionSpring
from solver.outlines import layer_of
from solver.tables import table

KNOB_THREAD = 6.0
"""mm; the thread of a knob at a grip that has neither pin nor screw of its own; common, no
source."""

ENGAGEMENT = 1.5
"""Length of thread in a knob, in diameters; common practice, no source."""

STANDS_OUT = 2.0
"""Pitches that a screw stands out of its nut; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Thread:
    """A metric thread with the screw's head, its nut and its washer, mm.

    `sunk` and `sunk_height` are those of a countersunk head of 90°.
    """

    diameter: float
    pitch: float
    head: float
    head_height: float
    nut_height: float
    washer: float
    washer_height: float
    sunk: float
    sunk_height: float

    @property
    def name(self) -> str:
        """Such as M6."""
        return f"M{self.diameter:g}"


@cache
def threads() -> Mapping[float, Thread]:
    """The threads that a screw may have, by their diameter (mm); the table tells its sources."""
    rows: list[list[float]] = table("screws")["threads"]
    return {row[0]: Thread(*row) for row in rows}


def screw_at(design: Design, point: str) -> Screw | None:
    """The screw through a point, or that of the knob at a grip without pin; None without either."""
    for screw in design.screws:
        if screw.point == point:
            return screw
    free = point == design.grip and not any(pivot.point == point for pivot in design.pivots)
    return Screw(point, KNOB_THREAD) if free and occupied(design, point) is None else None


def all_screws(design: Design) -> tuple[Screw, ...]:
    """Every screw of a design, the knob's among them, in the order of the points."""
    found = (screw_at(design, point.name) for point in design.points)
    return tuple(screw for screw in found if screw is not None)


def fixing_holes(design: Design) -> tuple[str, ...]:
    """The points at which screws fasten the frame."""
    return tuple(screw.point for screw in design.screws if screw.point in design.links[0].points)


def screw_faults(design: Design, screw: Screw) -> Iterator[str]:
    """The ends of sentences that begin with the screw's point."""
    if screw.thread not in threads():
        known = ", ".join(thread.name for thread in threads().values())
        yield f"has a thread M{screw.thread:g}, which is not in the table: choose one of {known}"
    if pin := occupied(design, screw.point):
        yield f"has no room: {pin}; choose another point for it"


def occupied(design: Design, point: str) -> str | None:
    """What pin stands at a point, as a clause; None where a screw can go through."""
    if len(design.links_at(point)) > 1:
        return "links turn on a pin there"
    if any(slider.point == point for slider in design.sliders):
        return "the pin of a slider is there"
    for spring in design.springs:
        if isinstance(spring, TorsionSpring):
            if point in (spring.leg_a, spring.leg_b):
                return f"a leg of “{spring.name}” lies against a pin there"
        elif point in (spring.a, spring.b):
            return f"“{spring.name}” hangs on a pin there"
    return None


def countersunk(design: Design, screw: Screw) -> bool:
    """Whether a screw has a countersunk head: those through moving links have."""
    return design.links_at(screw.point)[0] != FRAME


def sunk_from(design: Design, link: str) -> Literal["behind", "the front"]:
    """From which side a moving link is countersunk: from that towards the frame."""
    return "behind" if layer_of(design, link) >= 0 else "the front"


def taken_by(design: Design, screw: Screw) -> Literal["wall", "knob", "weight", "nut"]:
    """What takes a screw's thread: the knob at the grip, a weight, the wall behind the frame."""
    if screw.point == design.grip:
        return "knob"
    if any(weight.point == screw.point for weight in design.weights):
        return "weight"
    return "wall" if screw.point in design.links[0].points else "nut"


def screw_length(design: Design, screw: Screw) -> float | None:
    """How long (mm) a screw is bought; None for one into a wall, a weight, a plate not settled.

    Its own length (of a countersunk one over all) where that is given; else what plate and what
    takes the thread ask for, rounded up to a stock length: a knob takes `ENGAGEMENT` diameters, a
    nut its height, a washer, and `STANDS_OUT` pitches more.
    """
    if screw.length is not None:
        return screw.length
    plate, thread = design.plate_of(design.links_at(screw.point)[0]), threads()[screw.thread]
    into = taken_by(design, screw)
    if plate is None or into in ("wall", "weight"):
        return None
    need = plate.thickness
    if into == "knob":
        need += ENGAGEMENT * thread.diameter
    else:
        need += thread.washer_height + thread.nut_height + STANDS_OUT * thread.pitch
    lengths: list[float] = table("screws")["lengths"]
    return float(next((length for length in lengths if length >= need - 1e-9), lengths[-1]))


def fastening_notes(design: Design) -> Iterator[str]:
    """What is not settled about how the frame and the weights are fastened."""
    count = len(fixing_holes(design))
    if count == 0:
        yield "How the frame is fastened is not settled: no screw goes through it."
    elif count == 1:
        yield "One screw alone fastens the frame: it can turn about it."
    for weight in design.weights:
        if screw_at(design, weight.point) is None and occupied(design, weight.point) is None:
            yield (
                f"How “{weight.name}” is fastened is not settled: no screw goes through "
                f"“{weight.point}”."
            )
