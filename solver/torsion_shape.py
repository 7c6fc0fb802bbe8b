"""The shape of a torsion spring with straight tangential legs: room, legs, coils that fit.

Seen from above (against +z) the wire comes in along leg A, which leaves the lowest coil, runs
round the pin and goes out along leg B from the uppermost one, counter-clockwise (`sense` +1) or
clockwise (-1). A spring is loaded so that it winds up (common practice: its coils then hold the
bending best), so the sense is the one in which the load turns leg B against leg A.

Each leg is a tangent of the mean circle of radius r = D/2 and lies with its flank against the
pin at its point, a distance R from the axis, with the pin on the far side from the axis as winding
up asks for. So the pin's centre is r + e beside the leg's own direction, e = (wire + pin) / 2,
and the line from the axis to it lies β = asin((r + e) / R) short of the leg's direction.

Derived: the wire's direction turns by 360° n on n coils, from inwards along leg A to outwards
along leg B, so the legs' directions differ by sense · 360° n - 180°, and the lines to the two
pins by that less β of each: sense · (leg angle) = 360° n - 180° - β_A - β_B, whole turns apart.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from solver.layers import up_to_half
from solver.model import Design, Spring, TorsionSpring

Twists = NDArray[np.float64]
Places = NDArray[np.complex128]

PEG = 4.0
"""mm; the pin for a leg where the design has none; our own choice."""

LEAST_WIRE, PIN_WIDTHS, LOOSE, USUAL_COILS = 1.0, 4.0, 1.25, 4.0
"""Of a torsion spring whose sizes are not known: wire of a quarter of its pin (at least 1 mm),
coils a quarter wider inside than the pin, four of them. Our own guess, no source."""

UNSAID_WOUND = 0.5
"""Turns that a torsion spring is taken to be wound up by at most where no greatest twist is given:
no hand lever throws farther; whole turns of preload come on top. Our own guess, no source."""


@dataclass(frozen=True, slots=True)
class Coil:
    """A torsion spring's body: wire, outside diameter (mm), coils; assumed where not known.

    wound: turns that it may be wound up by; as many coils more lie on each other then.
    """

    wire: float
    outside: float
    coils: float
    wound: float

    @property
    def mean(self) -> float:
        """Mean diameter, mm."""
        return self.outside - self.wire

    @property
    def long(self) -> float:
        """Axial length (mm) with the legs free: coil on coil, (coils + 1) · wire."""
        return (self.coils + 1.0) * self.wire

    @property
    def room(self) -> float:
        """The same wound up, rounded up to half a millimetre: (coils + 1 + turns) · wire.

        Derived: each turn that it is wound up by lays one more width of wire on the others. All of
        the twist is taken to be in the coils; what the legs bend of it is on the safe side.
        """
        return up_to_half(self.long + self.wound * self.wire)


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg: the point it lies at, its pin's diameter, how far that is from the axis (mm).

    bend: degrees by which the line from the axis to the pin falls short of the leg's direction;
    least: length from the axis that lies over the pin and a wire's width beyond, mm.
    """

    end: Literal["a", "b"]
    point: str
    pin: float
    reach: float
    bend: float
    least: float


def known(spring: TorsionSpring) -> bool:
    """Whether wire, outside diameter and coils are all given."""
    return None not in (spring.wire, spring.outside_diameter, spring.coils)


def coil_of(design: Design, spring: TorsionSpring) -> Coil:
    """The body of a torsion spring as far as it is known, and as it is taken to be."""
    pin = design.pivot_at(spring.pivot).pin_diameter
    wire = max(pin / PIN_WIDTHS, LEAST_WIRE) if spring.wire is None else spring.wire
    outside = spring.outside_diameter
    if outside is None:
        outside = LOOSE * pin + 2.0 * wire
    coils = USUAL_COILS if spring.coils is None else spring.coils
    wound = UNSAID_WOUND + abs(spring.turns)
    if spring.most_twist is not None:
        wound = spring.most_twist / 360.0
    return Coil(wire, outside, coils, wound)


def spring_ends(spring: Spring) -> tuple[str, str]:
    """The points of a spring's two ends; of its legs where it is a torsion spring."""
    if isinstance(spring, TorsionSpring):
        return spring.leg_a, spring.leg_b
    return spring.a, spring.b


def leg_pin(design: Design, point: str) -> float:
    """Diameter (mm) of the pin that a leg lies against: the point's own, or a peg."""
    own = [pivot.pin_diameter for pivot in design.pivots if pivot.point == point]
    hung = [
        spring.end_pin_diameter
        for spring in design.springs
        if not isinstance(spring, TorsionSpring) and point in (spring.a, spring.b)
    ]
    joint = len(design.links_at(point)) > 1 or any(s.point == point for s in design.sliders)
    if own or joint:
        return design.pivot_at(point).pin_diameter or PEG
    return max((*hung, 0.0)) or PEG


def legs(design: Design, spring: TorsionSpring) -> tuple[Leg, Leg]:
    """Leg A and leg B."""
    return _leg(design, spring, "a", spring.leg_a), _leg(design, spring, "b", spring.leg_b)


def _leg(design: Design, spring: TorsionSpring, end: Literal["a", "b"], name: str) -> Leg:
    coil, pin = coil_of(design, spring), leg_pin(design, name)
    reach = abs(_at(design, name) - _at(design, spring.pivot))
    beside = (coil.mean + coil.wire + pin) / 2.0
    bend = math.degrees(math.asin(min(beside / reach, 1.0))) if reach > 0.0 else 90.0
    return Leg(end, name, pin, reach, bend, reach + pin / 2.0 + coil.wire)


def leg_in(
    design: Design, spring: TorsionSpring, leg: Leg, axis: Places, point: Places
) -> tuple[Places, Places, float]:
    """Where a leg leaves the mean circle, its direction (of size 1), and its length (mm).

    For the places (N,) of its pivot and of the point that it lies at. As long as it is typed, else
    as it has to be.
    """
    side = sense(design, spring) * (1 if leg.end == "b" else -1)
    to_pin = point - axis
    along = to_pin / np.abs(to_pin) * np.exp(1j * side * np.radians(leg.bend))
    start = axis - 0.5j * side * coil_of(design, spring).mean * along
    return start, along, max(leg.least, spring.leg_length or 0.0)


def straight_angle(design: Design, spring: TorsionSpring) -> float:
    """The free angle (degrees) between the legs themselves, counted as that to the pins is."""
    bends = sum(leg.bend for leg in legs(design, spring))
    return spring.free_angle + sense(design, spring) * bends


def bearing(design: Design, spring: Spring) -> float:
    """How far from the axis the legs bear against their pins, both together, mm; 0 without legs."""
    if not isinstance(spring, TorsionSpring):
        return 0.0
    return sum(leg.reach for leg in legs(design, spring))


def drawn_twist(design: Design, spring: TorsionSpring) -> float:
    """Leg angle less free angle (degrees) in the drawn pose, as the model counts it."""
    pivot = _at(design, spring.pivot)
    a, b = _at(design, spring.leg_a) - pivot, _at(design, spring.leg_b) - pivot
    angle = math.degrees(cmath.phase(b * a.conjugate())) - spring.free_angle
    return (angle + 180.0) % 360.0 - 180.0 + 360.0 * spring.turns


def sense(design: Design, spring: TorsionSpring) -> int:
    """+1 where the wire runs counter-clockwise from leg A to leg B, seen from above, else -1.

    That in which its load winds it up: a spring that pushes below its free angle is loaded by
    closing the leg angle. One that pushes both ways goes by the drawn pose.
    """
    if spring.acts != "both":
        return 1 if spring.acts == "above" else -1
    return 1 if drawn_twist(design, spring) > 0.0 else -1


def hand(design: Design, spring: TorsionSpring) -> Literal["right-hand", "left-hand"]:
    """How it is coiled, leg A being the lower one: x = cos t, y = sin t, z = t is right-hand."""
    return "right-hand" if sense(design, spring) > 0 else "left-hand"


def fitting_coils(design: Design, spring: TorsionSpring) -> float:
    """The number of coils nearest to its own at which its legs stand at the free angle.

    See the module for the derivation; at least a part of a coil. Legs whose pins lie within the
    coils (`reach` below r + e) are taken as square to the line to the axis.
    """
    turning = sense(design, spring) * spring.free_angle + 180.0
    turning += sum(leg.bend for leg in legs(design, spring))
    part = turning / 360.0 % 1.0
    whole = max(round(coil_of(design, spring).coils - part), 0)
    return part + whole


def inside_wound(wire: float, mean: float, coils: float, wound: float) -> float:
    """Inside diameter (mm) of coils wound up by `wound` degrees: D n / (n + α/360) - d.

    Derived: the wire on the mean circle keeps its length π D n while its turns become
    n + α/360; EN 13906-3 has the same (from memory).
    """
    return mean * coils / (coils + wound / 360.0) - wire


def wound_up(design: Design, spring: TorsionSpring, twists: Twists) -> float:
    """The greatest angle (degrees, 0 or more) that it is wound up by at twists (N,), degrees."""
    return max(float((sense(design, spring) * twists).max()), 0.0)


def unwound(design: Design, spring: TorsionSpring, twists: Twists) -> float:
    """The same for turning against its winding; 0 where it lets go there."""
    if spring.acts != "both":
        return 0.0
    return max(float((-sense(design, spring) * twists).max()), 0.0)


def _at(design: Design, name: str) -> complex:
    point = design.point(name)
    return complex(point.x, point.y)
