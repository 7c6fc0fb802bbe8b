"""The numbers that new parts start with, so that the sketch works before real ones are typed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from app.sketch.picture import Ghost
from app.sketch.plates import motion_of
from app.sketch.shapes import distance, heading
from solver import edit
from solver.bars import Place
from solver.holes import pin_at
from solver.model import CompressionSpring, Design, ExtensionSpring, TorsionSpring

CoilKind = Literal["compression", "extension"]

RATE = 1.0
"""N/mm."""
TWIST_RATE = 20.0
"""N·mm per degree."""
MASS = 0.5
"""kg."""
FORCE = 10.0
"""N."""
TORQUE = 500.0
"""N·mm."""


def lengths(design: Design, ghosts: Sequence[Ghost], a: str, b: str) -> list[float]:
    """The distances a-b (mm) in the drawn pose and in every pose on the sheet."""
    found = [edit.distance(design, a, b)]
    for ghost in ghosts:
        start, end = _in_pose(design, ghost, a), _in_pose(design, ghost, b)
        if start is not None and end is not None:
            found.append(distance(start, end))
    return found


def _in_pose(design: Design, ghost: Ghost, name: str) -> Place | None:
    """Where a point is in a ghost's pose, also one that is newer than the ghost."""
    if name in ghost.places:
        return ghost.places[name]
    link = design.link(design.links_at(name)[0])
    if not any(other in ghost.places for other in link.points):
        return None
    point = design.point(name)
    return motion_of(design, link, ghost.places)((point.x, point.y))


def coil(
    kind: CoilKind, design: Design, ghosts: Sequence[Ghost], a: str, b: str
) -> CompressionSpring | ExtensionSpring:
    """A coil spring between two points that is under load in every pose on the sheet.

    Its ends are for the pin that is there already, where one is.
    """
    made = _under_load(kind, design, ghosts, a, b)
    pins = [pin for end in (a, b) if (pin := pin_at(design, end))]
    return replace(made, end_pin_diameter=pins[0]) if pins else made


def _under_load(
    kind: CoilKind, design: Design, ghosts: Sequence[Ghost], a: str, b: str
) -> CompressionSpring | ExtensionSpring:
    found = lengths(design, ghosts, a, b)
    shortest, longest = min(found), max(found)
    if kind == "extension":
        name = edit.unique_name(design, "spring")
        return ExtensionSpring(name, a, b, RATE, max(_tidy(0.75 * shortest), 1.0))
    free = max(_tidy(1.15 * longest), 2.0)
    solid = max(min(_tidy(0.45 * free), _tidy(0.8 * shortest)), 0.5)
    return CompressionSpring(edit.unique_name(design, "spring"), a, b, RATE, free, solid)


def torsion(design: Design, pivot: str, leg_a: str, leg_b: str) -> TorsionSpring:
    """A torsion spring twisted by a quarter turn in the drawn pose."""
    places = [(point.x, point.y) for point in map(design.point, (pivot, leg_a, leg_b))]
    angle = (heading(places[0], places[2]) - heading(places[0], places[1])) % 360.0
    name = edit.unique_name(design, "spring")
    return TorsionSpring(name, pivot, leg_a, leg_b, TWIST_RATE, float(round(angle + 90.0)))


def force(start: Place, towards: Place) -> tuple[float, float]:
    """The x and y (N) of a new force from one place towards another; downwards if they meet."""
    reach = distance(start, towards)
    if reach == 0.0:
        return (0.0, -FORCE)
    turn = math.radians(heading(start, towards))
    return (round(FORCE * math.cos(turn), 3), round(FORCE * math.sin(turn), 3))


def _tidy(length: float) -> float:
    """A whole number of half millimetres."""
    return round(2.0 * length) / 2.0
