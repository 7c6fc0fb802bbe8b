"""A linkage in a general rigid-body engine (MuJoCo), to hold the solver against.

The engine gives constraint residuals and Jacobians, energies and generalised forces; the pose
comes from Newton steps on its residuals, since its own constraints give way like stiff springs.
Metres, newtons and kilograms inside; mm, N·mm, mJ and degrees outside.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import mujoco
import numpy as np

from tests.outside.rigid_body_model import MM, Json, Making, Plant, Vector

_CLOSED = 1e-12
"""Metres by which a loop may gape: a thousandth of the tolerance at which poses are compared."""

_STEP = 0.5
"""Degrees of lever rotation at a time, so that Newton stays on the branch as drawn."""


def design_of(path: Path) -> Json:
    """The design of a project file's current variant, as plain JSON."""
    project: Json = json.loads(path.read_text(encoding="utf-8"))
    design: Json = project["variants"][project["current"]]["design"]
    return design


class RigidBody:
    """One design in the engine, in the pose last set; see `Making` for how it is made."""

    def __init__(self, design: Json, making: Making | None = None) -> None:
        self._plant = Plant(design, making or Making())
        self._loads = [
            (np.array([load["x"], load["y"], 0.0]), load["point"]) for load in design["loads"]
        ]
        self._model = mujoco.MjModel.from_xml_string(self._plant.xml)
        self._data = mujoco.MjData(self._model)
        self._lever = int(self._model.joint(design["lever"]).dofadr[0])
        self._others = np.arange(self._model.nv) != self._lever
        mujoco.mj_fwdPosition(self._model, self._data)

    @property
    def direction(self) -> float:
        """The lever's direction, degrees."""
        return math.degrees(self._plant.drawn + float(self._data.qpos[self._lever]))

    def turn_to(self, direction: float) -> None:
        """Turn the lever to a direction (degrees), the loops closed at every step."""
        start = self.direction
        steps = max(1, math.ceil(abs(direction - start) / _STEP))
        for share in np.linspace(0.0, 1.0, steps + 1)[1:]:
            self._set(start + (direction - start) * float(share))

    def _set(self, direction: float) -> None:
        data = self._data
        data.qpos[self._lever] = math.radians(direction) - self._plant.drawn
        for _ in range(30):
            mujoco.mj_fwdPosition(self._model, data)
            gap, jacobian = self._constraints()
            if not gap.size or np.abs(gap).max() < _CLOSED:
                return
            data.qpos[self._others] -= _solve(jacobian[:, self._others], gap)
        raise AssertionError(f"the loops do not close with the lever at {direction} degrees")

    def _constraints(self) -> tuple[Vector, Vector]:
        """Residuals (rows,) and Jacobian (rows, nv) of the loops; the stops come after them."""
        count = self._data.ne
        jacobian = np.asarray(self._data.efc_J).reshape(-1, self._model.nv)[:count]
        return np.array(self._data.efc_pos[:count]), jacobian

    def _place(self, point: str) -> Vector:
        place: Vector = self._data.site(f"{self._plant.carrier(point)}/{point}").xpos
        return place

    def places(self) -> dict[str, tuple[float, float]]:
        """Every point's place, mm."""
        found = {}
        for point in self._plant.at:
            x, y, _ = self._place(point) / MM
            found[point] = (float(x), float(y))
        return found

    def energy(self) -> float:
        """Potential energy (mJ) up to a constant: the engine's, less the work of steady forces."""
        mujoco.mj_energyPos(self._model, self._data)
        for name, free in self._plant.free_lengths.items():
            assert self._data.ten_length[self._model.tendon(name).id] > free
        work = sum(float(force @ self._place(point)) for force, point in self._loads)
        return (float(self._data.energy[0]) - work) / MM

    def _forces(self) -> Vector:
        """Generalised forces (nv,) of springs, weights and loads at standstill, SI units."""
        model, data = self._model, self._data
        mujoco.mj_fwdVelocity(model, data)
        forces = np.array(data.qfrc_passive - data.qfrc_bias)
        for force, point in self._loads:
            body = model.body(self._plant.carrier(point)).id
            mujoco.mj_applyFT(model, data, force, np.zeros(3), self._place(point), body, forces)
        return forces

    def torque(self) -> float:
        """Torque at the lever (N·mm, counter-clockwise): forces along the one free motion."""
        _, jacobian = self._constraints()
        motion = np.zeros(self._model.nv)
        motion[self._lever] = 1.0
        if jacobian.size:
            motion[self._others] = _solve(jacobian[:, self._others], -jacobian[:, self._lever])
        return float(motion @ self._forces()) / MM

    def closing_loads(self) -> dict[str, float]:
        """Force (N) through each pin that closes a loop, every link but the lever in balance."""
        _, jacobian = self._constraints()
        if not jacobian.size:
            return {}
        pulls = _solve(jacobian[:, self._others].T, -self._forces()[self._others])
        sizes = np.linalg.norm(pulls.reshape(-1, 3), axis=1)
        return dict(zip(self._plant.closing, map(float, sizes), strict=True))

    def release(self, direction: float, seconds: float) -> None:
        """Let the lever go from standstill in a direction, and wait."""
        model, data = self._model, self._data
        self.turn_to(direction)
        data.qvel[:] = 0.0
        for _ in range(round(seconds / model.opt.timestep)):
            data.xfrc_applied[:] = 0.0
            for force, point in self._loads:
                body = model.body(self._plant.carrier(point)).id
                moment = np.cross(self._place(point) - data.xipos[body], force)
                data.xfrc_applied[body] += np.concatenate([force, moment])
            mujoco.mj_step(model, data)


def _solve(matrix: Vector, right: Vector) -> Vector:
    """Least squares: the loops' rows square to the sheet are empty, and the rest is regular."""
    return np.asarray(np.linalg.lstsq(matrix, right, rcond=None)[0], dtype=np.float64)
