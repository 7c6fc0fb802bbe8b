"""A linkage in a general rigid-body engine (MuJoCo), built from nothing but a project file.

Nothing of the solver is used: the JSON is read as it stands, links become bodies of a tree,
closed loops and slots become the engine's own `connect` constraints, springs its tendons. The
engine gives constraint residuals and Jacobians, energies and generalised forces; the pose comes
from Newton steps on its residuals. Metres, newtons and kilograms inside, mm and mJ outside.

What the engine's tendons cannot say is refused or checked: an extension spring's initial tension
is carried by a shorter effective length, which is right as long as the spring is stretched, and
`RigidBody.energy` asserts that it is.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as Xml

import mujoco
import numpy as np
from numpy.typing import NDArray

Json = dict[str, Any]
Vector = NDArray[np.float64]

MM = 1e-3
_FAR = 1e3
"""Metres or radians: the open end of a deadband, never reached."""

_CLOSED = 1e-12
"""Metres by which a loop may gape: a millionth of the 1e-6 mm at which poses are compared."""


def design_of(path: Path) -> Json:
    """The design of a project file's current variant, as plain JSON."""
    project: Json = json.loads(path.read_text(encoding="utf-8"))
    design: Json = project["variants"][project["current"]]["design"]
    return design


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


class RigidBody:
    """One design in the engine.

    `mass` (kg) is what each link weighs; negligible for statics, something real for motion
    (then `gravcomp` keeps the file's weights the only ones). `stops` makes the rests the range
    of the lever's joint, `damping` is N·m·s/rad there. `rate` multiplies all spring rates.
    """

    def __init__(
        self,
        design: Json,
        *,
        rate: float = 1.0,
        mass: float = 1e-9,
        damping: float = 0.0,
        stops: bool = False,
    ) -> None:
        self.design = design
        self._rate, self._mass = rate, mass
        self._at = {p["name"]: np.array([p["x"], p["y"], 0.0]) * MM for p in design["points"]}
        self._links = {link["name"]: link["points"] for link in design["links"]}
        self.frame = design["links"][0]["name"]
        self._tree = _grow(design)
        self._least_stretch: list[tuple[str, float]] = []
        self.model = mujoco.MjModel.from_xml_string(self._xml(damping, stops))
        self.data = mujoco.MjData(self.model)
        lever_joint = self.model.joint(design["lever"])
        self.lever_dof = int(lever_joint.dofadr[0])
        pivot = self._at[self._tree.parents[design["lever"]][1]]
        arm = self._at[design["grip"]] - pivot
        self.drawn = math.degrees(math.atan2(arm[1], arm[0]))

    # ------------------------------------------------------------------ building

    def _xml(self, damping: float, stops: bool) -> str:
        root = Xml.Element("mujoco")
        Xml.SubElement(root, "compiler", angle="radian", boundmass="0")
        pull = self.design["gravity"]
        heading = math.radians(pull["direction"])
        gravity = pull["strength"] * np.array([math.cos(heading), math.sin(heading), 0.0])
        option = Xml.SubElement(
            root, "option", gravity=_text(gravity), jacobian="dense", timestep="2e-4"
        )
        Xml.SubElement(option, "flag", energy="enable", contact="disable")
        world = Xml.SubElement(root, "worldbody")
        bodies = {self.frame: world}
        equality = Xml.SubElement(root, "equality")
        for name, (onto, point) in self._tree.parents.items():
            body = bodies[name] = self._body(bodies[onto], name)
            joint = self._joint(body, name, "hinge", self._at[point], np.array([0.0, 0.0, 1.0]))
            if name == self.design["lever"]:
                joint.set("damping", repr(damping))
                if stops:
                    joint.set("range", _text(self._range(point)))
                    joint.set("limited", "true")
        for name, onto, point in self._tree.ties:
            self._tie(equality, name, onto, point)
        for slider in self.design["sliders"]:
            self._slot(bodies, equality, slider)
        for name, points in self._links.items():
            for point in points:
                place = _text(self._at[point])
                Xml.SubElement(bodies[name], "site", name=f"{name}/{point}", pos=place)
        for number, weight in enumerate(self.design["weights"]):
            body = bodies[self._carrier(weight["point"])]
            heavy = Xml.SubElement(body, "body", name=f"weight {number}")
            self._inertia(heavy, self._at[weight["point"]], weight["mass"], 1e-9)
        tendons = Xml.SubElement(root, "tendon")
        for spring in self.design["springs"]:
            self._spring(tendons, spring)
        return Xml.tostring(root, encoding="unicode")

    def _range(self, pivot: str) -> Vector:
        arm = self._at[self.design["grip"]] - self._at[pivot]
        drawn = math.atan2(arm[1], arm[0])
        stops = self.design["stops"]
        rests = sorted(math.radians(stops[key]) - drawn for key in ("rest_a", "rest_b"))
        return np.array(rests)

    def _body(self, onto: Xml.Element, name: str) -> Xml.Element:
        """A body whose own axes are the sheet's in the drawn pose, so all zeros is that pose."""
        still = "1" if self._mass > 1e-6 else "0"
        body = Xml.SubElement(onto, "body", name=name, gravcomp=still)
        middle = np.mean([self._at[point] for point in self._links.get(name, [name])], axis=0)
        self._inertia(body, middle, self._mass, self._mass * 1e-3)
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
        second = {} if other == self.frame else {"body2": other}
        stiff = {"solref": "0.001 1", "solimp": "0.9999 0.9999 0.001"}
        place = _text(self._at[point])
        Xml.SubElement(equality, "connect", body1=one, anchor=place, **second, **stiff)

    def _slot(self, bodies: dict[str, Xml.Element], equality: Xml.Element, slider: Json) -> None:
        """A block that slides on the guide, with the pin tied to it."""
        start, end = (self._at[point] for point in slider["along"])
        name, point = f"block {slider['name']}", slider["point"]
        block = Xml.SubElement(bodies[slider["guide"]], "body", name=name, gravcomp="1")
        self._inertia(block, self._at[point], self._mass, self._mass * 1e-3)
        self._joint(block, name, "slide", self._at[point], (end - start) / math.dist(start, end))
        self._tie(equality, self._carrier(point), name, point)

    def _carrier(self, point: str) -> str:
        """The first link, in the file's order, that carries a point."""
        return next(name for name, points in self._links.items() if point in points)

    def _spring(self, tendons: Xml.Element, spring: Json) -> None:
        if spring["kind"] == "torsion":
            self._torsion(tendons, spring)
            return
        free = (spring["free_length"] + spring["fittings"]) * MM
        rate = spring["rate"] * self._rate / MM
        if spring["kind"] == "extension":
            # T0 + k (L - L0) is k (L - (L0 - T0/k)) as long as L > L0.
            self._least_stretch.append((spring["name"], free))
            free -= spring["initial_tension"] / rate
            band = (0.0, free)
        else:
            band = (free, free if spring["captive"] else _FAR)
        tendon = Xml.SubElement(tendons, "spatial", name=spring["name"])
        tendon.set("stiffness", repr(rate))
        tendon.set("springlength", _text(np.array(band)))
        for end in (spring["a"], spring["b"]):
            Xml.SubElement(tendon, "site", site=f"{self._carrier(end)}/{end}")

    def _torsion(self, tendons: Xml.Element, spring: Json) -> None:
        """Relative rotation as a sum of joint angles: up one leg's chain, down the other's."""
        coil = spring["pivot"]
        links = [
            next(n for n, points in self._links.items() if coil in points and leg in points)
            for leg in (spring["leg_a"], spring["leg_b"])
        ]
        arms = [self._at[leg] - self._at[coil] for leg in (spring["leg_a"], spring["leg_b"])]
        drawn = math.atan2(np.cross(*arms)[2], float(np.dot(*arms)))
        start = math.radians(spring["free_angle"]) - drawn
        band = {"both": (start, start), "below": (start, _FAR), "above": (-_FAR, start)}
        tendon = Xml.SubElement(tendons, "fixed", name=spring["name"])
        tendon.set("stiffness", repr(math.degrees(spring["rate"] * self._rate) * MM))
        tendon.set("springlength", _text(np.array(band[spring["acts"]])))
        turns: dict[str, float] = {}
        for link, sign in zip(links, (-1.0, 1.0), strict=True):
            while link != self.frame:
                turns[link] = turns.get(link, 0.0) + sign
                link = self._tree.parents[link][0]
        for link, times in turns.items():
            if times:
                Xml.SubElement(tendon, "joint", joint=link, coef=repr(times))

    # ------------------------------------------------------------------ statics

    def pose(self, direction: float) -> None:
        """Turn the lever to a direction (degrees) and close the loops by Newton steps.

        Starts at the pose before, so that the branch is kept; move in small steps.
        """
        model, data = self.model, self.data
        data.qpos[self.lever_dof] = math.radians(direction - self.drawn)
        rest = np.arange(model.nv) != self.lever_dof
        for _ in range(30):
            mujoco.mj_fwdPosition(model, data)
            gap, jacobian = self._constraints()
            if not gap.size or np.abs(gap).max() < _CLOSED:
                return
            data.qpos[rest] -= np.linalg.lstsq(jacobian[:, rest], gap, rcond=None)[0]
        raise AssertionError(f"the loops do not close with the lever at {direction} degrees")

    def sweep(self, directions: Vector) -> None:
        """Go from the drawn pose to the first direction in steps of at most half a degree."""
        now = self.drawn + math.degrees(self.data.qpos[self.lever_dof])
        steps = max(2, math.ceil(abs(directions[0] - now) / 0.5))
        for direction in np.linspace(now, directions[0], steps):
            self.pose(float(direction))

    def _constraints(self) -> tuple[Vector, Vector]:
        data, count = self.data, self.data.ne
        jacobian = np.asarray(data.efc_J).reshape(-1, self.model.nv)[:count]
        return np.array(data.efc_pos[:count]), jacobian

    def places(self) -> dict[str, tuple[float, float]]:
        """Every point's place (mm) in the present pose, as its first link has it."""
        found = {}
        for point in self._at:
            where = self.data.site(f"{self._carrier(point)}/{point}").xpos / MM
            found[point] = (float(where[0]), float(where[1]))
        return found

    def energy(self) -> float:
        """Potential energy (mJ) up to a constant: the engine's, less the work of steady forces."""
        mujoco.mj_energyPos(self.model, self.data)
        for name, free in self._least_stretch:
            assert self.data.ten_length[self.model.tendon(name).id] > free
        energy = float(self.data.energy[0]) / MM
        for load in self.design["loads"]:
            x, y = self.places()[load["point"]]
            energy -= load["x"] * x + load["y"] * y
        return energy

    def forces(self) -> Vector:
        """Generalised forces (nv,) of springs, weights and loads at standstill, SI units."""
        model, data = self.model, self.data
        mujoco.mj_fwdVelocity(model, data)
        forces = np.array(data.qfrc_passive - data.qfrc_bias)
        for load in self.design["loads"]:
            force = np.array([load["x"], load["y"], 0.0])
            link = self._carrier(load["point"])
            place = data.site(f"{link}/{load['point']}").xpos
            body = model.body(link).id
            mujoco.mj_applyFT(model, data, force, np.zeros(3), place, body, forces)
        return forces

    def torque(self) -> float:
        """Torque (N·mm, counter-clockwise) at the lever: forces along the one free motion."""
        _, jacobian = self._constraints()
        rest = np.arange(self.model.nv) != self.lever_dof
        motion = np.zeros(self.model.nv)
        motion[self.lever_dof] = 1.0
        if jacobian.size:
            towards = -jacobian[:, self.lever_dof]
            motion[rest] = np.linalg.lstsq(jacobian[:, rest], towards, rcond=None)[0]
        return float(motion @ self.forces()) / MM

    def closure_loads(self) -> dict[str, float]:
        """Force (N) through each pin that closes a loop, all links but the lever in balance."""
        _, jacobian = self._constraints()
        if not jacobian.size:
            return {}
        rest = np.arange(self.model.nv) != self.lever_dof
        multipliers = np.linalg.lstsq(jacobian[:, rest].T, -self.forces()[rest], rcond=None)[0]
        pins = [point for _, _, point in self._tree.ties]
        pins += [slider["point"] for slider in self.design["sliders"]]
        sizes = np.linalg.norm(multipliers.reshape(-1, 3), axis=1)
        return {pin: float(size) for pin, size in zip(pins, sizes, strict=True)}

    # ------------------------------------------------------------------ motion

    def release(self, direction: float, seconds: float) -> float:
        """Let the lever go from standstill in a direction; where it is after that time, degrees."""
        model, data = self.model, self.data
        self.sweep(np.array([direction]))
        data.qvel[:] = 0.0
        for _ in range(round(seconds / model.opt.timestep)):
            data.xfrc_applied[:] = 0.0
            for load in self.design["loads"]:
                body = model.body(self._carrier(load["point"])).id
                arm = data.site(f"{self._carrier(load['point'])}/{load['point']}").xpos
                force = np.array([load["x"], load["y"], 0.0])
                data.xfrc_applied[body, :3] += force
                data.xfrc_applied[body, 3:] += np.cross(arm - data.xipos[body], force)
            mujoco.mj_step(model, data)
        return self.drawn + math.degrees(data.qpos[self.lever_dof])


def _text(numbers: Vector) -> str:
    return " ".join(repr(float(number)) for number in numbers)
