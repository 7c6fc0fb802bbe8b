"""A project file as a model of a general rigid-body engine (MuJoCo's XML).

Nothing of the solver's mechanics is used: the JSON is read as it stands (what plates weigh, and
where, is checked in test_outline_areas). Links become bodies of a tree, closed loops the engine's
own `connect` constraints, slots blocks on slide joints, springs tendons with a deadband where
they let go. Metres, newtons and kilograms.

An extension spring's initial tension is carried by a shorter effective length, which is right as
long as the spring is stretched: `Plant.free_lengths` tells whoever uses the model what to check.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any
from xml.etree import ElementTree as Xml

import numpy as np
from numpy.typing import NDArray

from solver.codec import shape_of
from solver.model import Design
from solver.outlines import plate_weight

Json = dict[str, Any]
Vector = NDArray[np.float64]

MM = 1e-3
_FAR = 1e3
"""Metres or radians: the open end of a deadband, never reached."""

_STIFF = {"solref": "0.001 1", "solimp": "0.9999 0.9999 0.001"}
"""As hard as the engine's constraints go at its time step; matters for motion only."""


@dataclass(frozen=True)
class Making:
    """How a model is made.

    `mass` (kg) is what each link weighs: next to nothing for statics, something real for motion
    (then links float, so that the file's weights stay the only ones). `stops` makes the rests
    the range of the lever's joint, `damping` is N·m·s/rad there. `rate` multiplies all spring
    rates.
    """

    rate: float = 1.0
    mass: float = 1e-9
    damping: float = 0.0
    stops: bool = False


@dataclass
class _Tree:
    """Which body each link hangs on and by which point, and what is left to tie."""

    parents: dict[str, tuple[str, str]] = field(default_factory=dict)
    ties: list[tuple[str, str, str]] = field(default_factory=list)


def _grow(design: Json) -> _Tree:
    """Hang every link on the first placed link that it shares a point with."""
    links = {link["name"]: link["points"] for link in design["links"]}
    tree, placed = _Tree(), [design["links"][0]["name"]]
    waiting = [design["lever"], *(n for n in links if n not in (design["lever"], placed[0]))]
    while waiting:
        name = next(n for n in waiting if any(set(links[n]) & set(links[on]) for on in placed))
        for point in links[name]:
            onto = next((on for on in placed if point in links[on]), None)
            if onto is None:
                continue
            if name in tree.parents:
                tree.ties.append((name, onto, point))
            else:
                tree.parents[name] = (onto, point)
        placed.append(name)
        waiting.remove(name)
    return tree


class Plant:
    """The XML of one design, and where its parts went."""

    def __init__(self, design: Json, making: Making) -> None:
        self._design, self._making = design, making
        self.at = {p["name"]: np.array([p["x"], p["y"], 0.0]) * MM for p in design["points"]}
        self._links: dict[str, list[str]] = {
            link["name"]: link["points"] for link in design["links"]
        }
        self._frame = design["links"][0]["name"]
        self._tree = _grow(design)
        self._blocks = {s["point"]: f"block {s['name']}" for s in design["sliders"]}
        self._bodies: dict[str, Xml.Element] = {}
        self.free_lengths: dict[str, float] = {}
        self.closing = [point for _, _, point in self._tree.ties] + list(self._blocks)
        pivot = self.at[self._tree.parents[design["lever"]][1]]
        arm = self.at[design["grip"]] - pivot
        self.drawn = math.atan2(arm[1], arm[0])
        self.xml = self._xml()

    def carrier(self, point: str) -> str:
        """What carries a point's spring or load: a slider's block, else the first link there."""
        return self._blocks.get(point) or self._link(point)

    def _link(self, point: str) -> str:
        return next(name for name, points in self._links.items() if point in points)

    def _xml(self) -> str:
        root = Xml.Element("mujoco")
        Xml.SubElement(root, "compiler", angle="radian", boundmass="0")
        self._option(root)
        self._bodies[self._frame] = Xml.SubElement(root, "worldbody")
        equality = Xml.SubElement(root, "equality")
        for name, (onto, point) in self._tree.parents.items():
            self._bodies[name] = self._body(self._bodies[onto], name)
            self._hinge(name, point)
        for tie in self._tree.ties:
            self._tie(equality, *tie)
        for slider in self._design["sliders"]:
            self._slot(equality, slider)
        for name, points in self._links.items():
            for point in points:
                self._site(name, point)
        for number, weight in enumerate(self._design["weights"]):
            body = self._bodies[self.carrier(weight["point"])]
            heavy = Xml.SubElement(body, "body", name=f"weight {number}")
            self._inertia(heavy, self.at[weight["point"]], weight["mass"], 1e-9)
        self._plates()
        tendons = Xml.SubElement(root, "tendon")
        for spring in self._design["springs"]:
            self._spring(tendons, spring)
        return Xml.tostring(root, encoding="unicode")

    def _plates(self) -> None:
        design = shape_of(Design).decode(self._design)
        for plate in design.plates:
            if plate.link != self._frame:
                body = Xml.SubElement(self._bodies[plate.link], "body")
                weight = plate_weight(design, plate)
                middle = np.array([weight.x, weight.y, 0.0]) * MM
                self._inertia(body, middle, weight.mass, 1e-9)

    def _option(self, root: Xml.Element) -> None:
        pull = self._design["gravity"]
        heading = math.radians(pull["direction"])
        fall = _text(pull["strength"] * np.array([math.cos(heading), math.sin(heading), 0.0]))
        option = Xml.SubElement(root, "option", gravity=fall, jacobian="dense", timestep="2e-4")
        Xml.SubElement(option, "flag", energy="enable", contact="disable")

    def _hinge(self, link: str, point: str) -> None:
        across = np.array([0.0, 0.0, 1.0])
        joint = self._joint(self._bodies[link], link, "hinge", self.at[point], across)
        if link == self._design["lever"]:
            joint.set("damping", repr(self._making.damping))
            if self._making.stops:
                joint.set("limited", "true")
                joint.set("range", _text(self._range()))
                joint.set("solreflimit", _STIFF["solref"])

    def _site(self, body: str, point: str) -> None:
        where = _text(self.at[point])
        Xml.SubElement(self._bodies[body], "site", name=f"{body}/{point}", pos=where)

    def _range(self) -> Vector:
        stops = self._design["stops"]
        rests = sorted(math.radians(stops[key]) - self.drawn for key in ("rest_a", "rest_b"))
        return np.array(rests)

    def _body(self, onto: Xml.Element, name: str) -> Xml.Element:
        """A body whose own axes are the sheet's in the drawn pose, so all zeros is that pose."""
        still = "1" if self._making.mass > 1e-6 else "0"
        body = Xml.SubElement(onto, "body", name=name, gravcomp=still)
        middle = np.mean([self.at[point] for point in self._links.get(name, [name])], axis=0)
        self._inertia(body, middle, self._making.mass, self._making.mass * 1e-3)
        return body

    def _inertia(self, body: Xml.Element, place: Vector, mass: float, turning: float) -> None:
        around = _text(np.full(3, max(turning, 1e-12)))
        Xml.SubElement(body, "inertial", pos=_text(place), mass=repr(mass), diaginertia=around)

    def _joint(
        self, body: Xml.Element, name: str, kind: str, place: Vector, axis: Vector
    ) -> Xml.Element:
        return Xml.SubElement(
            body, "joint", name=name, type=kind, pos=_text(place), axis=_text(axis)
        )

    def _tie(self, equality: Xml.Element, one: str, other: str, point: str) -> None:
        tie = Xml.SubElement(equality, "connect", _STIFF, body1=one, anchor=_text(self.at[point]))
        if other != self._frame:
            tie.set("body2", other)

    def _slot(self, equality: Xml.Element, slider: Json) -> None:
        """A block that slides on the guide, with the pin tied to it."""
        start, end = (self.at[point] for point in slider["along"])
        name, point = f"block {slider['name']}", slider["point"]
        block = Xml.SubElement(self._bodies[slider["guide"]], "body", name=name, gravcomp="1")
        self._inertia(block, self.at[point], self._making.mass, self._making.mass * 1e-3)
        self._joint(block, name, "slide", self.at[point], (end - start) / math.dist(start, end))
        self._bodies[name] = block
        self._site(name, point)
        self._tie(equality, self._link(point), name, point)

    def _spring(self, tendons: Xml.Element, spring: Json) -> None:
        if spring["kind"] == "torsion":
            self._torsion(tendons, spring)
            return
        free = (spring["free_length"] + spring["fittings"]) * MM
        rate = spring["rate"] * self._making.rate / MM
        if spring["kind"] == "extension":
            # T0 + k (L - L0) is k (L - (L0 - T0/k)) as long as L > L0.
            self.free_lengths[spring["name"]] = free
            free -= spring["initial_tension"] / rate
            band = (0.0, free)
        else:
            band = (free, free if spring["captive"] else _FAR)
        tendon = Xml.SubElement(tendons, "spatial", name=spring["name"])
        tendon.set("stiffness", repr(rate))
        tendon.set("springlength", _text(np.array(band)))
        for end in (spring["a"], spring["b"]):
            Xml.SubElement(tendon, "site", site=f"{self.carrier(end)}/{end}")

    def _torsion(self, tendons: Xml.Element, spring: Json) -> None:
        """Relative rotation as a sum of joint angles: up one leg's chain, down the other's."""
        coil = spring["pivot"]
        links = [
            next(n for n, points in self._links.items() if coil in points and leg in points)
            for leg in (spring["leg_a"], spring["leg_b"])
        ]
        (ax, ay, _), (bx, by, _) = (
            self.at[spring[leg]] - self.at[coil] for leg in ("leg_a", "leg_b")
        )
        drawn = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
        start = math.radians(spring["free_angle"]) - drawn
        band = {"both": (start, start), "below": (start, _FAR), "above": (-_FAR, start)}
        tendon = Xml.SubElement(tendons, "fixed", name=spring["name"])
        tendon.set("stiffness", repr(math.degrees(spring["rate"] * self._making.rate) * MM))
        tendon.set("springlength", _text(np.array(band[spring["acts"]])))
        turns: dict[str, float] = {}
        for link, sign in zip(links, (-1.0, 1.0), strict=True):
            while link != self._frame:
                turns[link] = turns.get(link, 0.0) + sign
                link = self._tree.parents[link][0]
        for link, times in turns.items():
            if times:
                Xml.SubElement(tendon, "joint", joint=link, coef=repr(times))


def _text(numbers: Vector) -> str:
    return " ".join(repr(float(number)) for number in numbers)
