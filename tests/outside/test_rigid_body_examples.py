"""Our example linkages against a general rigid-body engine (MuJoCo 3 or newer).

The other side is `tests.outside.rigid_body`: bodies, joints, loop constraints and tendons built
from the project file alone. Compared are the places of all points, potential energy, torque at
the lever, the forces through the pins that close loops, and what follows from them: the
equilibria and their kind, dead centre, the barriers, the seating forces. Friction is not: the
engine has none that grows with the load on a pin.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from solver import files
from solver.analysis import Analysis, analyse
from tests.example_files import EXAMPLES, named
from tests.outside.rigid_body import RigidBody, design_of
from tests.outside.rigid_body_model import Making

POSITIONS = 181

# The solver is closed-form; these allow for the other side. Its loops close to 1e-9 mm and its
# links, which must weigh something, weigh a milligram each: 1e-5 mJ, 1e-5 N·mm at 1 m.
MM_APART = 1e-7
MJ_APART = 1e-4
NMM_APART = 1e-4
DEGREES_APART = 1e-5  # torque over slope at dead centre: 1e-4 N·mm over 1000 N·mm a radian
SHARE_APART = 1e-4  # greatest pin load: between samples here, refined there


@dataclass(frozen=True)
class Swept:
    """The engine's side over the throw, and the solver's."""

    body: RigidBody
    solved: Analysis
    energy: NDArray[np.float64]
    torque: NDArray[np.float64]
    apart: float
    loads: dict[str, float]


@cache
def swept(path: Path) -> Swept:
    solved = analyse(files.load(path).design, POSITIONS)
    body = RigidBody(design_of(path))
    energy, torque, apart, loads = [], [], 0.0, dict[str, float]()
    for direction in solved.direction:
        body.turn_to(float(direction))
        energy.append(body.energy())
        torque.append(solved.sense * body.torque())
        ours, theirs = solved.pose(float(direction)), body.places()
        apart = max(apart, max(np.hypot(*np.subtract(ours[n], theirs[n])) for n in theirs))
        for pin, load in body.closing_loads().items():
            loads[pin] = max(loads.get(pin, 0.0), load)
    return Swept(body, solved, np.array(energy), np.array(torque), apart, loads)


def energy_at(body: RigidBody, direction: float) -> float:
    body.turn_to(direction)
    return body.energy()


def torque_of(body: RigidBody) -> Callable[[float], float]:
    def torque(direction: float) -> float:
        body.turn_to(direction)
        return body.torque()

    return torque


def turns(torque: NDArray[np.float64]) -> list[int]:
    """Positions after which the torque turns over."""
    found: list[int] = np.flatnonzero(np.diff(torque > 0.0)).tolist()
    return found


def dead_centre(body: RigidBody, solved: Analysis) -> float:
    """Direction in which the engine's torque is nil, degrees."""
    (turn,) = turns(solved.torque)
    around = solved.direction[[max(turn - 2, 0), min(turn + 3, POSITIONS - 1)]]
    return float(brentq(torque_of(body), *around, xtol=1e-12))


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_every_point_is_where_the_engine_puts_it(path: Path) -> None:
    assert swept(path).apart < MM_APART


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_energy_curve_is_the_engines(path: Path) -> None:
    both = swept(path)
    ours, theirs = (curve - curve[0] for curve in (both.solved.energy, both.energy))
    assert np.abs(ours - theirs).max() < MJ_APART
    assert np.ptp(theirs) > 50.0  # the curves are no straight lines


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_torque_curve_is_the_engines(path: Path) -> None:
    both = swept(path)
    assert np.abs(both.solved.torque - both.torque).max() < NMM_APART


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_equilibria_are_the_engines(path: Path) -> None:
    """One between the rests, unstable; the stops press back at both ends."""
    both = swept(path)
    (ours,), (theirs,) = turns(both.solved.torque), turns(both.torque)
    assert abs(ours - theirs) <= 1  # a position may lie on dead centre itself
    assert both.torque[0] < 0.0 < both.torque[-1]
    arm = both.solved.readings["travel_at_grip"].value / np.radians(both.solved.throw)
    seats = [both.solved.readings[f"seating_force_{rest}"].value for rest in "ab"]
    assert seats == pytest.approx([-both.torque[0] / arm, both.torque[-1] / arm], abs=1e-6)


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_dead_centre_and_barriers_are_the_engines(path: Path) -> None:
    both = swept(path)
    solved = both.solved
    assert solved.dead_centre is not None
    direction = dead_centre(both.body, solved)
    ours = solved.design.stops.rest_a + solved.sense * solved.dead_centre
    assert ours == pytest.approx(direction, abs=DEGREES_APART)
    top = energy_at(both.body, direction)
    barriers = [solved.readings[f"barrier_{rest}"].value for rest in "ab"]
    assert barriers == pytest.approx([top - both.energy[0], top - both.energy[-1]], abs=MJ_APART)


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_pins_that_close_loops_carry_what_the_engine_says(path: Path) -> None:
    both = swept(path)
    for pin, load in both.loads.items():
        ours = both.solved.readings[f"pin_load:{pin}"].value
        assert ours == pytest.approx(load, rel=SHARE_APART)


def test_some_examples_close_loops() -> None:
    assert sum(len(swept(path).loads) for path in EXAMPLES) >= 6


@pytest.mark.parametrize(
    "path", [path for path in EXAMPLES if design_of(path)["springs"]], ids=named
)
def test_a_spring_one_in_ten_thousand_off_would_be_noticed(path: Path) -> None:
    both = swept(path)
    other = RigidBody(design_of(path), Making(rate=1.0001))
    rest = energy_at(other, both.solved.direction[0])
    top = energy_at(other, dead_centre(other, both.solved))
    assert abs(top - rest - both.solved.readings["barrier_a"].value) > 10.0 * MJ_APART


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_a_point_a_hundredth_of_a_millimetre_off_would_be_noticed(path: Path) -> None:
    both, design = swept(path), design_of(path)
    design["points"][2]["x"] += 0.01
    other = RigidBody(design)
    other.turn_to(float(both.solved.direction[-1]))
    ours, theirs = both.solved.pose(float(both.solved.direction[-1])), other.places()
    assert max(np.hypot(*np.subtract(ours[n], theirs[n])) for n in theirs) > 1e4 * MM_APART
