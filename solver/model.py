"""The design: an immutable description of one linkage.

Editing makes a new value; nothing in here computes mechanics.

Units throughout: mm, N, kg, N·mm. Angles in the document are **degrees**, counter-clockwise
from +x, because that is what people type and read back; the solver's parameter vector holds
radians. x points right, y up. Coordinates are those of the *drawn pose*: link lengths and
shapes follow from it, so moving one point is a whole edit.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeVar

FRAME = "frame"
"""Name of link 0, the part that does not move."""

STANDARD_GRAVITY = 9.80665
"""m/s², ISO 80000-3 (standard acceleration of free fall)."""


@dataclass(frozen=True, slots=True)
class Point:
    """A named place on one or more links; x and y in mm, drawn pose."""

    name: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Link:
    """A rigid part. Its points keep their mutual distances; the first link is the frame."""

    name: str
    points: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pivot:
    """The pin at a point: diameter in mm, Coulomb friction coefficient, and a steady drag.

    `drag` (N·mm) opposes the rotation whatever the load: a seal, a clamped washer.
    A shared point without an entry of its own has the values given here as defaults.
    """

    point: str
    pin_diameter: float = 8.0
    friction: float = 0.15
    drag: float = 0.0


@dataclass(frozen=True, slots=True)
class Slider:
    """A pin (`point`) held on the straight line through two points (`along`) of link `guide`.

    `friction` is the Coulomb coefficient of sliding, `drag` a steady opposing force in N.
    The pin's own turning is governed by the `Pivot` at the point. In a slot of the frame, what
    acts at the point (a spring, a load) presses on the block or plunger that slides there, so
    the pin carries it; a pin in the slot of another link is its own link's.
    """

    name: str
    point: str
    guide: str
    along: tuple[str, str]
    friction: float = 0.15
    drag: float = 0.0


@dataclass(frozen=True, slots=True)
class GuideRod:
    """A telescopic rod inside a compression spring, measured between the spring's two anchors.

    `closed` is the distance (mm) at which the rod bottoms, `reach` the one at which it comes
    out of its guide.
    """

    closed: float
    reach: float


@dataclass(frozen=True, slots=True)
class CompressionSpring:
    """A spring that pushes its two anchors apart.

    rate N/mm; free_length, solid_length, least_gaps (sum of the minimum gaps between coils, EN
    13906-1's Sa) in mm; `fittings` is what the end fittings take of the distance between the
    anchors (spring length = distance - fittings). A spring whose ends are not `captive` lets go
    past its free length; a captive one then pulls.

    What was bought, as a list says it, None where not known: diameter of the wire and outside
    diameter of the coils in mm, coils in all (the closed ones at the ends too), and the order
    number or another note. These act on nothing but the room that the spring takes.
    """

    name: str
    a: str
    b: str
    rate: float
    free_length: float
    solid_length: float
    least_gaps: float = 0.0
    fittings: float = 0.0
    captive: bool = False
    rod: GuideRod | None = None
    end_pin_diameter: float = 4.0
    end_friction: float = 0.15
    wire: float | None = None
    outside_diameter: float | None = None
    coils: float | None = None
    order_note: str = ""


@dataclass(frozen=True, slots=True)
class ExtensionSpring:
    """A spring that pulls its two anchors together.

    rate N/mm; free_length inside the hooks, mm; initial_tension N. Between its anchors it
    pulls with initial_tension + rate * (length - free_length) once it is longer than its free
    length and not at all below. `longest` is the greatest length it may be pulled to (mm; None
    where the supplier gives none). `fittings`, and what was bought, as for the compression
    spring; the coils are those of the body.
    """

    name: str
    a: str
    b: str
    rate: float
    free_length: float
    initial_tension: float = 0.0
    longest: float | None = None
    fittings: float = 0.0
    end_pin_diameter: float = 4.0
    end_friction: float = 0.15
    wire: float | None = None
    outside_diameter: float | None = None
    coils: float | None = None
    order_note: str = ""


@dataclass(frozen=True, slots=True)
class TorsionSpring:
    """A coiled spring around a pivot with one leg towards each of two points.

    The leg angle is measured counter-clockwise from the direction pivot -> `leg_a` to the
    direction pivot -> `leg_b`, in degrees. Moment on the link of leg_b is
    -rate * twist, rate in N·mm per degree; the twist is the leg angle less `free_angle`, in the
    drawn pose taken between -180° and 180°, with 360° more for each of `turns`. `acts` tells
    where it pushes: "both" ways, only "below" its free angle, or only "above". `most_twist` is
    the greatest allowed |twist| in degrees (None where not given). What was bought as for the
    compression spring; the coils are those between the legs. `leg_length` is that of the shorter
    leg from the axis, mm (None where not known). The legs are straight; leg A leaves the lowest
    coil, and each lies against the pin at its point.
    """

    name: str
    pivot: str
    leg_a: str
    leg_b: str
    rate: float
    free_angle: float
    acts: Literal["both", "below", "above"] = "both"
    most_twist: float | None = None
    turns: int = 0
    wire: float | None = None
    outside_diameter: float | None = None
    coils: float | None = None
    leg_length: float | None = None
    order_note: str = ""


Spring = CompressionSpring | ExtensionSpring | TorsionSpring


@dataclass(frozen=True, slots=True)
class Weight:
    """A mass in kg at a point."""

    name: str
    point: str
    mass: float


@dataclass(frozen=True, slots=True)
class Screw:
    """A screw through the plate that carries a point; on the frame the point is a fixing hole.

    `thread` is a metric coarse one, its diameter in mm as in assets/screws.json; `length` mm, None:
    what plate and nut ask for, or what the wall does. It acts on no reading.
    """

    point: str
    thread: float = 6.0
    length: float | None = None


@dataclass(frozen=True, slots=True)
class Force:
    """A steady force (N) at a point, fixed in direction as the linkage moves."""

    name: str
    point: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Torque:
    """A steady torque (N·mm, counter-clockwise positive) on a link."""

    name: str
    link: str
    torque: float


Load = Force | Torque


@dataclass(frozen=True, slots=True)
class Stops:
    """The lever's direction (lever pivot -> grip) at rest A and at rest B, degrees.

    The throw runs from A to B through the directions between the two numbers, so 170 -> 190
    passes 180 and 170 -> -170 passes 0.
    """

    rest_a: float
    rest_b: float


@dataclass(frozen=True, slots=True)
class Gravity:
    """Acceleration of free fall (m/s²) and its direction in the sketch (degrees).

    Strength 0 is a linkage that lies flat.
    """

    strength: float = STANDARD_GRAVITY
    direction: float = -90.0


@dataclass(frozen=True, slots=True)
class Limit:
    """A bound on a reading, in the reading's base unit. At least one bound is set."""

    reading: str
    at_least: float | None = None
    at_most: float | None = None


@dataclass(frozen=True, slots=True)
class Plate:
    """What a link is cut from; a link without an entry of its own is drawn, but weighs nothing.

    width and thickness in mm; width is that of the rounded ends and the webs between points.
    `material` names a row of assets/materials.json. `layer` says what lies above what along the
    pins: 0 is the frame's face, 1 the first layer above it. `outline` is an own shape instead of
    the rounded one: corners (mm, drawn pose), at least three, in order.
    """

    link: str
    width: float = 20.0
    thickness: float = 5.0
    material: str = "steel"
    layer: int = 1
    outline: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class OwnTolerance:
    """What one number may be off by, ±, in the document's unit.

    `number` is its path, such as `springs.main spring.rate`, `points.spring anchor` (both
    coordinates of every link's hole there) or `stops.rest_a`. It replaces the general tolerance.
    """

    number: str
    plus_minus: float


@dataclass(frozen=True, slots=True)
class Tolerances:
    """What copies of a design may be off by, ± unless said otherwise.

    hole: mm in x and in y, each link's holes apart; hole_class: an ISO 2768-1 class instead, by
    the distance from the link's first hole; rate: % of each spring's rate; free_length: mm
    (torsion springs: free_angle, degrees); initial_tension: %; friction_least, friction_most:
    factors on every coefficient, common to all pins of a copy (a dry day, a wet day); stop:
    degrees, each rest; load: % of every load and weight; spread: how values fall within their
    tolerance, "normal" (± is three standard deviations) or "uniform". The defaults are our own
    judgement for holes drilled by hand on marks and springs from stock, no source.
    """

    hole: float = 0.3
    hole_class: Literal["none", "fine", "medium", "coarse", "very coarse"] = "none"
    rate: float = 10.0
    free_length: float = 1.0
    free_angle: float = 5.0
    initial_tension: float = 15.0
    friction_least: float = 0.6
    friction_most: float = 1.6
    stop: float = 0.5
    load: float = 10.0
    spread: Literal["normal", "uniform"] = "normal"
    own: tuple[OwnTolerance, ...] = ()


@dataclass(frozen=True, slots=True)
class Design:
    """One linkage, whole. Names are unique within each kind of part.

    `lever` names the link that the hand moves; it shares exactly one point with the frame (its
    pivot) and carries `grip`. `outputs` names points and links whose travel is read. Drag
    (friction that does not depend on load) belongs to `Pivot` and `Slider`.
    """

    points: tuple[Point, ...]
    links: tuple[Link, ...]
    lever: str
    grip: str
    stops: Stops
    pivots: tuple[Pivot, ...] = ()
    sliders: tuple[Slider, ...] = ()
    springs: tuple[Spring, ...] = ()
    weights: tuple[Weight, ...] = ()
    loads: tuple[Load, ...] = ()
    outputs: tuple[str, ...] = ()
    limits: tuple[Limit, ...] = ()
    gravity: Gravity = field(default_factory=Gravity)
    plates: tuple[Plate, ...] = ()
    screws: tuple[Screw, ...] = ()
    tolerances: Tolerances = field(default_factory=Tolerances)
    notes: str = ""

    def point(self, name: str) -> Point:
        """The point of that name; KeyError where there is none."""
        return _named(self.points, name)

    def link(self, name: str) -> Link:
        """The link of that name; KeyError where there is none."""
        return _named(self.links, name)

    def links_at(self, point: str) -> tuple[str, ...]:
        """Names of the links that carry a point, in the design's order (the frame first)."""
        return tuple(link.name for link in self.links if point in link.points)

    def pivot_at(self, point: str) -> Pivot:
        """The pin at a point: its own entry, or the defaults."""
        for pivot in self.pivots:
            if pivot.point == point:
                return pivot
        return Pivot(point)

    def plate_of(self, link: str) -> Plate | None:
        """What a link is cut from; None where that is not settled."""
        return next((plate for plate in self.plates if plate.link == link), None)

    def lever_pivot(self) -> str:
        """Name of the point that lever and frame share.

        KeyError where lever and frame do not share exactly one point.
        """
        frame = set(self.links[0].points) if self.links else set()
        shared = [name for name in self.link(self.lever).points if name in frame]
        if len(shared) != 1:
            raise KeyError(self.lever)
        return shared[0]


_P = TypeVar("_P", Point, Link)


def _named(parts: tuple[_P, ...], name: str) -> _P:
    for part in parts:
        if part.name == name:
            return part
    raise KeyError(name)
