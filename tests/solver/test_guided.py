"""Plungers kept in line by two pins on one slot, driven by a rod or by a slot across them."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from solver.analysis import analyse
from solver.guided import CrossSlot, RodAndPlunger
from solver.model import (
    CompressionSpring,
    Design,
    Link,
    Point,
    Slider,
    Stops,
    Weight,
)
from solver.plan import compile_design
from solver.rebase import rebase

_LINE = ((100.0, 5.0), (160.0, 8.0))


def _on_line(x: float) -> tuple[float, float]:
    (x0, y0), (x1, y1) = _LINE
    return x, y0 + (x - x0) * (y1 - y0) / (x1 - x0)


def plunger(own_slot: bool, cross: bool) -> Design:
    """A sprung plunger with a slanting guide; the slot is the frame's or the plunger's own."""
    places = {
        "o": (0.0, 0.0), "grip": (-10.0, 120.0), "k": (40.0, 20.0), "s1": _LINE[0],
        "s2": _LINE[1], "g1": _on_line(110.0), "g2": _on_line(150.0), "w": (155.0, 30.0),
        "anchor": (230.0, 10.0),
    }  # fmt: skip
    drive = {"c1": (38.0, 0.0), "c2": (42.0, 40.0)} if cross else {"kn": (120.0, 20.0)}
    on_frame, on_plunger = (
        (("g1", "g2"), ("s1", "s2")) if own_slot else (("s1", "s2"), ("g1", "g2"))
    )
    links = [
        Link("frame", ("o", "anchor", *on_frame)),
        Link("lever", ("o", "grip", "k")),
        Link("plunger", (*on_plunger, "w", *drive)),
    ]
    guide = "plunger" if own_slot else "frame"
    sliders = [Slider(name, name, guide, ("s1", "s2")) for name in ("g1", "g2")]
    if cross:
        sliders.append(Slider("across", "k", "plunger", ("c1", "c2")))
    else:
        links.append(Link("rod", ("k", "kn")))
    return Design(
        points=tuple(Point(name, *place) for name, place in (places | drive).items()),
        links=tuple(links),
        lever="lever",
        grip="grip",
        stops=Stops(80.0, 125.0),
        sliders=tuple(sliders),
        springs=(CompressionSpring("spring", "w", "anchor", 2.0, 110.0, 40.0),),
        weights=(Weight("plunger mass", "w", 1.5),),
        outputs=("w",),
    )


CASES = pytest.mark.parametrize(
    ("own_slot", "cross"), list(itertools.product((False, True), repeat=2))
)


@CASES
def test_the_step_is_found(own_slot: bool, cross: bool) -> None:
    steps = compile_design(plunger(own_slot, cross)).steps
    assert [type(step) for step in steps] == [CrossSlot if cross else RodAndPlunger]


@CASES
def test_torque_is_the_fall_of_energy(own_slot: bool, cross: bool) -> None:
    analysis = analyse(plunger(own_slot, cross))
    step = math.radians(analysis.travel[1])
    energy = analysis.energy
    # Fourth-order central difference; its error is of order step⁴ ≈ 1e-12 of the torque's bend.
    fall = -(energy[:-4] - 8 * energy[1:-3] + 8 * energy[3:-1] - energy[4:]) / (12 * step)
    np.testing.assert_allclose(fall, analysis.torque[2:-2], atol=1e-6 * np.abs(fall).max())


@CASES
def test_the_plunger_keeps_its_line_and_its_shape(own_slot: bool, cross: bool) -> None:
    design = plunger(own_slot, cross)
    drawn = {point.name: complex(point.x, point.y) for point in design.points}
    for travel in (0.0, 20.0, 45.0):
        places = {name: complex(*at) for name, at in analyse(design).pose_at(travel).items()}
        line = drawn["s2"] - drawn["s1"]
        for name in design.link("plunger").points:
            moved = places[name] - drawn[name]
            assert abs((moved * line.conjugate()).imag) < 1e-9 * abs(line), name
        if cross:
            across = (places["k"] - places["c1"]) * (places["c2"] - places["c1"]).conjugate()
            assert abs(across.imag) < 1e-9 * 40.0
        else:
            assert abs(places["kn"] - places["k"]) == pytest.approx(80.0, abs=1e-9)


@CASES
def test_rebasing_changes_no_reading(own_slot: bool, cross: bool) -> None:
    design = plunger(own_slot, cross)
    before, after = (analyse(d).readings for d in (design, rebase(design, 100.0)))
    for key, reading in before.items():
        assert after[key].value == pytest.approx(reading.value, rel=1e-9, abs=1e-9, nan_ok=True)


@pytest.mark.parametrize("cross", [False, True])
def test_both_ways_of_guiding_push_the_same(cross: bool) -> None:
    """Whose the slot is changes the friction, not the frictionless effort or the rod's load."""
    mine, theirs = (analyse(plunger(own_slot, cross)) for own_slot in (True, False))
    np.testing.assert_allclose(mine.torque, theirs.torque, rtol=1e-9, atol=1e-6)
    for pin in ("o", "k"):
        key = f"pin_load:{pin}"
        assert mine.readings[key].value == pytest.approx(theirs.readings[key].value, rel=1e-9)


def test_the_guide_carries_what_the_rod_does_not() -> None:
    """Static balance of the plunger by hand at rest A, from the drawn geometry alone."""
    design = replace(plunger(False, False), stops=Stops(math.degrees(math.atan2(120, -10)), 125.0))
    analysis = analyse(design)
    p = {point.name: np.array([point.x, point.y]) for point in design.points}
    line = (p["s2"] - p["s1"]) / np.linalg.norm(p["s2"] - p["s1"])
    normal = np.array([-line[1], line[0]])
    span = p["w"] - p["anchor"]
    push = 2.0 * (110.0 - np.linalg.norm(span)) * span / np.linalg.norm(span)
    load = push + np.array([0.0, -1.5 * 9.80665])
    rod = (p["kn"] - p["k"]) / np.linalg.norm(p["kn"] - p["k"])
    rod_force = -(load @ line) / (rod @ line) * rod
    matrix = np.array([[1.0, 1.0], [0.0, (p["g2"] - p["g1"]) @ line]])

    def moment(at: np.ndarray, force: np.ndarray) -> float:
        arm = at - p["g1"]
        return float(arm[0] * force[1] - arm[1] * force[0])

    known = [-(load + rod_force) @ normal, -moment(p["w"], load) - moment(p["kn"], rod_force)]
    near, far = np.linalg.solve(matrix, known)
    evaluator, parameters = analysis.evaluator, analysis.parameters
    motion = evaluator.run(parameters[None, :], np.zeros((1, 1)))
    names = [point.name for point in design.points]
    loads = {names[i]: load[0, 0] for i, load in zip(motion.pins, motion.loads, strict=True)}
    assert loads["g1"] == pytest.approx(abs(near), rel=1e-9)
    assert loads["g2"] == pytest.approx(abs(far), rel=1e-9)
