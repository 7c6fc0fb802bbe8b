"""The plates, springs and pins of a design in every position of the throw, as arrays of shapes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from solver.analysis import analyse
from solver.bars import plate_outline
from solver.holes import whole_plate
from solver.layers import coil_width
from solver.model import FRAME, CompressionSpring, Design, ExtensionSpring, TorsionSpring
from solver.outlines import blank
from solver.torsion_shape import coil_of, leg_in, legs

Shapes = NDArray[np.object_]
"""shapely geometries (N,), one per position."""

CHORDS = 12
"""Per quarter turn of a round end: 0.2 % of the radius inside the true outline."""


@dataclass(frozen=True, slots=True)
class Pieces:
    """Everything with a place in N positions from rest A to rest B.

    travel: degrees from rest A (N,); plates: shape per link; springs: per spring, the coils of a
    torsion spring; legs: per torsion spring, A and B; twists: of those, degrees (N,); points:
    places of all points, complex mm (N,); turns: rotation of every link as unit vectors (N,).
    """

    design: Design
    travel: NDArray[np.float64]
    plates: Mapping[str, Shapes]
    springs: Mapping[str, Shapes]
    legs: Mapping[str, tuple[Shapes, Shapes]]
    twists: Mapping[str, NDArray[np.float64]]
    points: Mapping[str, NDArray[np.complex128]]
    turns: Mapping[str, NDArray[np.complex128]]


def pieces(design: Design, positions: int = 91) -> Pieces:
    """Put plates and springs into `positions` places of the throw, rests included.

    Links without a plate of their own are left out. Raises DesignProblem as `analyse` does where
    the linkage cannot be solved.
    """
    solved = analyse(replace(design, limits=()), positions)
    evaluator, parameters = solved.evaluator, solved.parameters
    plan = evaluator.plan
    rest_a, rest_b = np.radians(design.stops.rest_a), np.radians(design.stops.rest_b)
    fractions = np.linspace(0.0, 1.0, positions)
    state, _ = evaluator.place(parameters[None, :], (rest_a + (rest_b - rest_a) * fractions)[None])
    full = (1, positions)
    points = {
        name: np.broadcast_to(state.place(index, plan.carrier[index]), full)[0]
        for name, index in plan.points.items()
    }
    turns, plates = {}, {}
    for name, index in plan.links.items():
        body = state.bodies[index]
        turns[name] = np.broadcast_to(body.turn, full)[0]
        if design.plate_of(name) is not None:
            shift = np.broadcast_to(body.shift, full)[0]
            plates[name] = _moved(_corners(design, name), turns[name], shift)
    springs, legs_of = {}, {}
    for spring in design.springs:
        if isinstance(spring, TorsionSpring):
            radius = coil_of(design, spring).outside / 2.0
            springs[spring.name] = discs(points[spring.pivot], radius)
            legs_of[spring.name] = _legs(design, spring, points)
        else:
            springs[spring.name] = _coils(spring, points)
    twists = {work.name: work.length for work in solved.springs if work.kind == "torsion"}
    travel = np.abs(np.degrees(rest_b - rest_a)) * fractions
    return Pieces(design, travel, plates, springs, legs_of, twists, points, turns)


def _corners(design: Design, link: str) -> NDArray[np.complex128]:
    if link == FRAME:
        corners = np.asarray(shapely.get_coordinates(whole_plate(design, FRAME).exterior)[:-1])
    else:
        corners = np.asarray(blank(design, link, CHORDS))
    placed: NDArray[np.complex128] = corners[:, 0] + 1j * corners[:, 1]
    return placed


def _moved(
    corners: NDArray[np.complex128], turn: NDArray[np.complex128], shift: NDArray[np.complex128]
) -> Shapes:
    """Polygons with those corners (M,) in N places."""
    placed = corners[None, :] * turn[:, None] + shift[:, None]
    return _polygons(placed)


def _coils(
    spring: CompressionSpring | ExtensionSpring, points: Mapping[str, NDArray[np.complex128]]
) -> Shapes:
    """The rectangle of a spring between its anchors, in N places."""
    a, b = points[spring.a], points[spring.b]
    long = np.maximum(np.abs(b - a), 1e-9)
    return rectangles((a + b) / 2.0, (b - a) / long, long, coil_width(spring))


def _legs(
    design: Design, spring: TorsionSpring, points: Mapping[str, NDArray[np.complex128]]
) -> tuple[Shapes, Shapes]:
    """Legs A and B from the mean circle to their ends, in N places."""
    wire, axis = coil_of(design, spring).wire, points[spring.pivot]
    found = []
    for leg in legs(design, spring):
        start, along, long = leg_in(design, spring, leg, axis, points[leg.point])
        found.append(rectangles(start + 0.5 * long * along, along, long, wire))
    return found[0], found[1]


def rectangles(
    middles: NDArray[np.complex128],
    along: NDArray[np.complex128],
    length: NDArray[np.float64] | float,
    width: float,
) -> Shapes:
    """Rectangles about N middles, `length` in the directions `along` (unit vectors)."""
    far, side = 0.5 * length * along, 0.5j * width * along
    corners = (middles - far + side, middles + far + side, middles + far - side)
    return _polygons(np.stack((*corners, middles - far - side), axis=1))


def _polygons(places: NDArray[np.complex128]) -> Shapes:
    rings = np.stack((places.real, places.imag), axis=-1)
    found: Shapes = shapely.polygons(shapely.linearrings(rings))
    shapely.prepare(found)
    return found


def discs(places: NDArray[np.complex128], radius: float) -> Shapes:
    """Discs of that radius about N places."""
    corners = np.asarray(plate_outline([(0.0, 0.0)], radius, CHORDS))
    return _polygons(places[:, None] + (corners[:, 0] + 1j * corners[:, 1])[None, :])
