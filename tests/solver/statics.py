"""The statics of a whole linkage as one system of equations, with no step taken from the solver.

Unknown are the force in every joint and the torque that holds the lever; each moving link gives
three equations. Poses come from the solver, forces of springs and loads from their formulas.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np

from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Slider,
    Torque,
    TorsionSpring,
)

Places = dict[str, complex]


@dataclass(frozen=True)
class Joint:
    """A pin or slider between two links: `directions` are those of its unknown force."""

    point: str
    link: str
    other: str
    directions: tuple[complex, ...]
    slider: str = ""


@dataclass(frozen=True)
class Balance:
    """torque: what holds the lever, reversed, counter-clockwise; forces: on `link` of each joint.

    The forces of sliders are square to the slot; `blocks` has what acts at pins in the frame's.
    """

    torque: float
    joints: tuple[Joint, ...]
    forces: tuple[complex, ...]
    blocks: dict[str, complex]
    pulls: dict[str, float]


def balance(design: Design, places: Places, moments: dict[str, float]) -> Balance:
    """Solve a pose; `moments` are those of the torsion springs on the link of leg b (N·mm)."""
    joints = tuple(joints_of(design, places))
    links = [link.name for link in design.links[1:]]
    size = 3 * len(links)
    matrix, right = np.zeros((size, size)), np.zeros(size)
    column = 0
    for joint in joints:
        for direction in joint.directions:
            for name, sign in ((joint.link, 1.0), (joint.other, -1.0)):
                if name in links:
                    row = 3 * links.index(name)
                    matrix[row : row + 3, column] += _wrench(places[joint.point], sign * direction)
            column += 1
    assert column == size - 1, "the linkage has not one degree of freedom"
    matrix[3 * links.index(design.lever) + 2, column] = 1.0
    blocks = {slider.point: 0j for slider in design.sliders if _turns(design, slider)}
    pulls: dict[str, float] = {}
    for link, point, force, moment in _applied(design, places, moments, pulls):
        if point in blocks:
            blocks[point] += force
        if link in links:
            row = 3 * links.index(link)
            right[row : row + 3] -= _wrench(places[point], force) if point else (0, 0, moment)
    found = list(np.linalg.solve(matrix, right))
    torque = -found.pop()
    forces = []
    for joint in joints:
        forces.append(sum((found.pop(0) * d for d in joint.directions), 0j))
    return Balance(torque, joints, tuple(forces), blocks, pulls)


def joints_of(design: Design, places: Places) -> list[Joint]:
    """Every pin between two links, and every slider."""
    joints = []
    for point in design.points:
        hub, *others = design.links_at(point.name)
        joints += [Joint(point.name, link, hub, (1 + 0j, 1j)) for link in others]
    for slider in design.sliders:
        line = places[slider.along[1]] - places[slider.along[0]]
        holder = design.links_at(slider.point)[0]
        normal = 1j * line / abs(line)
        joints.append(Joint(slider.point, holder, slider.guide, (normal,), slider.name))
    return joints


def _turns(design: Design, slider: Slider) -> bool:
    """Whether a pin in a slot of the frame is a rod's, which turns on what slides there."""
    holder = design.links_at(slider.point)[0]
    own = [one for one in design.sliders if holder in design.links_at(one.point)]
    return slider.guide == FRAME and len(own) == 1


def _wrench(place: complex, force: complex) -> tuple[float, float, float]:
    return force.real, force.imag, (place.conjugate() * force).imag


def _applied(
    design: Design, places: Places, moments: dict[str, float], pulls: dict[str, float]
) -> list[tuple[str, str, complex, float]]:
    """(link, point, force, moment) of everything that acts; notes the straight springs' pulls."""
    found: list[tuple[str, str, complex, float]] = []

    def at(point: str, force: complex) -> None:
        found.append((design.links_at(point)[0], point, force, 0.0))

    for spring in design.springs:
        if isinstance(spring, TorsionSpring):
            legs = [_leg_link(design, spring, leg) for leg in (spring.leg_a, spring.leg_b)]
            found.append((legs[0], "", 0j, -moments[spring.name]))
            found.append((legs[1], "", 0j, moments[spring.name]))
            continue
        line = places[spring.b] - places[spring.a]
        pulls[spring.name] = pull = _pull(spring, abs(line) - spring.fittings)
        at(spring.a, pull * line / abs(line))
        at(spring.b, -pull * line / abs(line))
    down = cmath.rect(design.gravity.strength, math.radians(design.gravity.direction))
    for weight in design.weights:
        at(weight.point, weight.mass * down)
    for load in design.loads:
        if isinstance(load, Force):
            at(load.point, complex(load.x, load.y))
        elif isinstance(load, Torque):
            found.append((load.link, "", 0j, load.torque))
    return found


def _leg_link(design: Design, spring: TorsionSpring, leg: str) -> str:
    turning = set(design.links_at(spring.pivot))
    return next(name for name in design.links_at(leg) if name in turning)


def _pull(spring: CompressionSpring | ExtensionSpring, length: float) -> float:
    stretch = length - spring.free_length
    if isinstance(spring, CompressionSpring):
        return spring.rate * (stretch if spring.captive else min(stretch, 0.0))
    return spring.initial_tension + spring.rate * stretch if stretch > 0.0 else 0.0
