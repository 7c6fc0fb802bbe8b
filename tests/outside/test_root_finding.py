"""Linkages solved position by position with general root finding, beside the solver.

Nothing here uses the solver's method: loops are closed by `scipy.optimize.root` on "distances
stay what they were", energies come from the springs' formulas, torque from a five-point
difference of the energy, and dead centre from a bounded search for the greatest energy.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar, root

from solver.analysis import analyse
from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    Link,
    Point,
    Slider,
    Stops,
    TorsionSpring,
    Weight,
)

Places = dict[str, np.ndarray]
Energy = Callable[[Places], float]
CLOSES = 1e-11
"""mm; how well a loop must close to count as solved."""


@dataclass
class Rigid:
    """A linkage as distances to keep: `kept` pairs of points and (pin, slot, offset) to hold."""

    design: Design
    kept: tuple[tuple[str, str], ...]
    lines: tuple[tuple[str, str, str], ...]
    energy: Energy

    def __post_init__(self) -> None:
        self.drawn = {p.name: np.array([p.x, p.y]) for p in self.design.points}
        frame, lever = self.design.links[0].points, self.design.link(self.design.lever).points
        self.free = [name for name in self.drawn if name not in frame and name not in lever]
        self.lever = [name for name in lever if name not in frame]
        self.near = np.concatenate([self.drawn[name] for name in self.free])

    def _put(self, unknown: np.ndarray, direction: float) -> Places:
        pivot, grip = self.drawn["pivot"], self.drawn["grip"]
        turn = math.radians(direction) - math.atan2(*(grip - pivot)[::-1])
        spin = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
        places = dict(self.drawn)
        places |= {name: pivot + spin @ (self.drawn[name] - pivot) for name in self.lever}
        places |= {name: unknown[2 * i : 2 * i + 2] for i, name in enumerate(self.free)}
        return places

    def _gaps(self, unknown: np.ndarray, direction: float) -> list[float]:
        places = self._put(unknown, direction)
        gaps = []
        for a, b in self.kept:
            now, then = places[b] - places[a], self.drawn[b] - self.drawn[a]
            gaps.append(float(now @ now - then @ then) / 100.0)
        for pin, start, end in self.lines:
            (x1, y1), (x2, y2) = places[end] - places[start], places[pin] - places[start]
            gaps.append((x1 * y2 - y1 * x2) / 100.0)
        return gaps

    def places(self, direction: float) -> Places:
        """Every point with the lever in a direction (degrees), from the last answer near by."""
        found = root(self._gaps, self.near, args=(direction,), tol=1e-14)
        assert max(map(abs, self._gaps(found.x, direction))) < CLOSES, found.message
        self.near = found.x
        return self._put(found.x, direction)

    def work(self, direction: float) -> float:
        """Energy (N·mm) with the lever in a direction."""
        return self.energy(self.places(direction))

    def torque(self, direction: float) -> float:
        """-dV/dθ, counter-clockwise, by the five-point difference over 0.4°."""
        step = 0.1
        v = [self.work(direction + k * step) for k in (-2, -1, 1, 2)]
        return -(v[0] - 8.0 * v[1] + 8.0 * v[2] - v[3]) / (12.0 * math.radians(step))


def straight(places: Places, a: str, b: str, rate: float, free: float, preload: float) -> float:
    """Energy of a spring pulled from its free length, with a force `preload` there."""
    stretch = float(np.linalg.norm(places[a] - places[b])) - free
    return preload * stretch + 0.5 * rate * stretch**2


def lift(places: Places, point: str, mass: float) -> float:
    """Energy of a weight."""
    return mass * 9.80665 * float(places[point][1])


def four_bar() -> Rigid:
    design = Design(
        points=(
            Point("pivot", 0, 0), Point("grip", -20, 140), Point("rod end", 5, 48),
            Point("rocker pivot", 130, -15), Point("rocker end", 140, 62),
            Point("tail", 175, 5), Point("post", 121, -85),
        ),
        links=(
            Link(FRAME, ("pivot", "rocker pivot", "post")),
            Link("lever", ("pivot", "grip", "rod end")),
            Link("rod", ("rod end", "rocker end")),
            Link("rocker", ("rocker pivot", "rocker end", "tail")),
        ),
        lever="lever", grip="grip", stops=Stops(122, 70),
        springs=(ExtensionSpring("spring", "post", "rocker end", 1.7, 112, 4.0),),
        weights=(Weight("flap", "tail", 0.8),),
        outputs=("tail",),
    )  # fmt: skip
    kept = (("rod end", "rocker end"), ("rocker pivot", "rocker end"),
            ("rocker pivot", "tail"), ("rocker end", "tail"))  # fmt: skip

    def energy(places: Places) -> float:
        return straight(places, "post", "rocker end", 1.7, 112, 4.0) + lift(places, "tail", 0.8)

    return Rigid(design, kept, (), energy)


def six_bar() -> Rigid:
    """Lever, rod and rocker; from the rod's middle point another rod drives a second rocker."""
    design = Design(
        points=(
            Point("pivot", 0, 0), Point("grip", 10, 150), Point("foot", 30, -20),
            Point("rod end", -8, 52), Point("rocker pivot", 120, 0),
            Point("rocker end", 128, 70), Point("branch", 60, 95),
            Point("far end", 85, 150), Point("far pivot", 150, 140), Point("anchor", 75, -55),
        ),
        links=(
            Link(FRAME, ("pivot", "rocker pivot", "far pivot", "anchor")),
            Link("lever", ("pivot", "grip", "rod end", "foot")),
            Link("rod", ("rod end", "branch", "rocker end")),
            Link("rocker", ("rocker pivot", "rocker end")),
            Link("second rod", ("branch", "far end")),
            Link("second rocker", ("far end", "far pivot")),
        ),
        lever="lever", grip="grip", stops=Stops(104, 68),
        springs=(
            CompressionSpring("push", "anchor", "foot", 3.0, 80, 30),
            TorsionSpring("coil", "far pivot", "anchor", "far end", 12.0, 20.0),
        ),
        outputs=("far end",),
    )  # fmt: skip
    kept = (("rod end", "rocker end"), ("rocker pivot", "rocker end"), ("rod end", "branch"),
            ("rocker end", "branch"), ("branch", "far end"), ("far pivot", "far end"))  # fmt: skip

    def energy(places: Places) -> float:
        legs = [places[name] - places["far pivot"] for name in ("anchor", "far end")]
        angle = math.degrees(math.atan2(*legs[1][::-1]) - math.atan2(*legs[0][::-1]))
        twist = math.radians((angle + 180.0) % 360.0 - 180.0 - 20.0)
        coil = 0.5 * 12.0 * 180.0 / math.pi * twist**2
        return straight(places, "anchor", "foot", 3.0, 80, 0.0) + coil

    return Rigid(design, kept, (), energy)


def inverted_slider() -> Rigid:
    """The lever's pin rides in the slot of a rocker, off the rocker's pivot."""
    design = Design(
        points=(
            Point("pivot", 0, 0), Point("grip", 30, 140), Point("pin", 12, 46),
            Point("rocker pivot", 15, -70), Point("slot start", 5, 0),
            Point("slot end", 15.217391304347826, 67.14285714285714),
            Point("tail", -60, -60), Point("anchor", 52, -75),
        ),
        links=(
            Link(FRAME, ("pivot", "rocker pivot", "anchor")),
            Link("lever", ("pivot", "grip", "pin")),
            Link("rocker", ("rocker pivot", "slot start", "slot end", "tail")),
        ),
        lever="lever", grip="grip", stops=Stops(60, 115),
        sliders=(Slider("slide", "pin", "rocker", ("slot start", "slot end")),),
        springs=(ExtensionSpring("spring", "anchor", "tail", 2.2, 85, 6.0),),
        outputs=("tail",),
    )  # fmt: skip
    kept = tuple(combinations(("rocker pivot", "slot start", "slot end"), 2))
    kept += (("rocker pivot", "tail"), ("slot start", "tail"))

    def energy(places: Places) -> float:
        return straight(places, "anchor", "tail", 2.2, 85, 6.0)

    return Rigid(design, kept, (("pin", "slot start", "slot end"),), energy)


LINKAGES = (four_bar, six_bar, inverted_slider)


@pytest.mark.parametrize("build", LINKAGES)
def test_every_pose(build: Callable[[], Rigid]) -> None:
    rigid = build()
    result = analyse(rigid.design)
    drawn = rigid.drawn["grip"] - rigid.drawn["pivot"]
    start = math.degrees(math.atan2(drawn[1], drawn[0]))
    for rest in (result.design.stops.rest_a, result.design.stops.rest_b):
        rigid.near = np.concatenate([rigid.drawn[name] for name in rigid.free])
        for direction in np.linspace(start, rest, 12):
            places, poses = rigid.places(direction), result.pose(direction)
            for name, place in places.items():
                # The root finder closes the loops to 1e-11 mm² / 100 of a squared length.
                assert math.dist(place, poses[name]) < 1e-9, name


@pytest.mark.parametrize("build", LINKAGES)
def test_energy_and_torque(build: Callable[[], Rigid]) -> None:
    rigid = build()
    result = analyse(rigid.design, positions=25)
    _settle(rigid, result.design.stops.rest_a)
    work = np.array([rigid.work(direction) for direction in result.direction])
    scale = np.ptp(work)
    # Rounding and the root finder's 1e-11.
    np.testing.assert_allclose(result.energy, work - work.min(), atol=1e-10 * work.max())
    _settle(rigid, result.design.stops.rest_a)
    torque = np.array([rigid.torque(direction) for direction in result.direction])
    # The five-point difference is off by step⁴/30 of the fifth derivative, 3e-13 of the energy,
    # and by rounding of 1e-13 · energy / step.
    np.testing.assert_allclose(result.sense * result.torque, torque, atol=1e-8 * scale)


@pytest.mark.parametrize("build", LINKAGES)
def test_dead_centre_and_barrier(build: Callable[[], Rigid]) -> None:
    rigid = build()
    result = analyse(rigid.design)
    ends = result.design.stops.rest_a, result.design.stops.rest_b
    _settle(rigid, ends[0])
    low = rigid.work(ends[0])
    _settle(rigid, ends[1])
    high = rigid.work(ends[1])
    _settle(rigid, sum(ends) / 2.0)
    top = minimize_scalar(
        lambda t: -rigid.work(t), bounds=sorted(ends), method="bounded", options={"xatol": 1e-9}
    )
    travel = abs(top.x - ends[0])
    assert 1.0 < travel < abs(ends[1] - ends[0]) - 1.0, "the example has no dead centre"
    # A search by values finds the top to the root of rounding; its height to rounding.
    assert result.dead_centre == pytest.approx(travel, abs=1e-5)
    assert result.readings["barrier_a"].value == pytest.approx(-top.fun - low, rel=1e-9)
    assert result.readings["barrier_b"].value == pytest.approx(-top.fun - high, rel=1e-9)


def _settle(rigid: Rigid, direction: float) -> None:
    """Bring the root finder's starting values from the drawn pose to a direction."""
    grip = rigid.drawn["grip"] - rigid.drawn["pivot"]
    start = math.degrees(math.atan2(grip[1], grip[0]))
    rigid.near = np.concatenate([rigid.drawn[name] for name in rigid.free])
    for between in np.linspace(start, direction, 12):
        rigid.places(between)
