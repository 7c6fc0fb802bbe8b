"""Reactions and friction against a system of equations for the whole linkage."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.analysis import pose
from solver.model import Design, TorsionSpring
from solver.motion import Evaluator, Motion, evaluate
from solver.plan import compile_design
from tests.solver.linkages import linkages
from tests.solver.statics import Balance, Joint, Places, balance

SOME = settings(max_examples=60)
SHARE = st.floats(0.02, 0.98)


def places_at(evaluator: Evaluator, design: Design, direction: float) -> Places:
    found = pose(evaluator, evaluator.plan.parameters(design), direction)
    return {name: complex(*place) for name, place in found.items()}


def solved(design: Design, share: float) -> tuple[Motion, Balance, list[Places]]:
    """The solver's answer at a share of the throw, the equations', and three close poses."""
    evaluator = Evaluator.of(compile_design(design))
    motion = evaluate(evaluator, evaluator.plan.parameters(design), [share])
    rest_a, rest_b = design.stops.rest_a, design.stops.rest_b
    here = rest_a + share * (rest_b - rest_a)
    step = math.degrees(STEP)
    near = [places_at(evaluator, design, here + k * step) for k in (-1, 0, 1)]
    moments = {
        spring.name: -float(run.force[0, 0])
        for spring, run in zip(design.springs, motion.springs, strict=True)
        if isinstance(spring, TorsionSpring)
    }
    return motion, balance(design, near[1], moments), near


STEP = 1e-4
"""rad of lever rotation between the poses from which rates are differenced."""


def pin_loads(found: Balance) -> list[tuple[str, float]]:
    loads = []
    for joint, force in zip(found.joints, found.forces, strict=True):
        carried = force + (found.blocks.get(joint.point, 0.0) if joint.slider else 0.0)
        loads.append((joint.point, abs(carried)))
    return loads


@SOME
@given(linkages(plates=False), SHARE)
def test_every_link_is_in_balance(design: Design, share: float) -> None:
    motion, found, _ = solved(design, share)
    # The torque that virtual work gives is what the equations leave on the lever.
    scale = 1.0 + max(abs(force) for force in found.forces) * 300.0
    assert abs(motion.sense[0, 0] * motion.torque[0, 0] - found.torque) < 1e-10 * scale
    points = motion.plan.design.points
    mine = [(points[i].name, float(load[0, 0]))
            for i, load in zip(motion.pins, motion.loads, strict=True)]  # fmt: skip
    ours = pin_loads(found)  # a pure torque that holds the lever loads no pin
    assert sorted(name for name, _ in mine) == sorted(name for name, _ in ours)
    for name in {name for name, _ in mine}:
        a = sorted(load for point, load in mine if point == name)
        b = sorted(load for point, load in ours if point == name)
        np.testing.assert_allclose(a, b, atol=1e-10 * scale, err_msg=name)


@SOME
@given(linkages(plates=False), SHARE)
def test_friction_is_load_by_turning(design: Design, share: float) -> None:
    motion, found, near = solved(design, share)
    total = 0.0
    for joint, force in zip(found.joints, found.forces, strict=True):
        total += joint_friction(design, found, joint, force, near)
    for name, pull in found.pulls.items():
        total += end_friction(design, name, pull, near)
    # Rates by central differences: STEP² of a third derivative that `STEEP` keeps moderate,
    # and 1e-12 / STEP of rounding.
    loads = sum(abs(force) for force in found.forces) + sum(map(abs, found.pulls.values()))
    assert abs(float(motion.friction[0, 0]) - total) < 1e-5 * total + 1e-7 * loads + 1e-6


def turn(design: Design, link: str, near: list[Places]) -> float:
    """Rotation of a link per radian of the lever's."""
    points = design.link(link).points
    if link == "frame":
        return 0.0
    before, after = (p[points[1]] - p[points[0]] for p in (near[0], near[2]))
    return float(np.angle(after / before)) / (2.0 * STEP)


def joint_friction(
    design: Design, found: Balance, joint: Joint, force: complex, near: list[Places]
) -> float:
    pin = design.pivot_at(joint.point)
    turning = abs(turn(design, joint.link, near) - turn(design, joint.other, near))
    carried = force + (found.blocks.get(joint.point, 0.0) if joint.slider else 0.0)
    friction = (pin.friction * pin.pin_diameter / 2.0 * abs(carried) + pin.drag) * turning
    for slider in design.sliders:
        if slider.name == joint.slider:
            start, end = slider.along
            runs = []
            for places in (near[0], near[2]):
                line = places[end] - places[start]
                runs.append(((places[joint.point] - places[start]) / line).real * abs(line))
            slip = abs(runs[1] - runs[0]) / (2.0 * STEP)
            friction += (slider.friction * abs(force) + slider.drag) * slip
    return friction


def end_friction(design: Design, name: str, pull: float, near: list[Places]) -> float:
    spring = next(spring for spring in design.springs if spring.name == name)
    assert not isinstance(spring, TorsionSpring)
    before, after = (p[spring.b] - p[spring.a] for p in (near[0], near[2]))
    own = float(np.angle(after / before)) / (2.0 * STEP)
    links = (design.links_at(end)[0] for end in (spring.a, spring.b))
    turns = sum(abs(own - turn(design, link, near)) for link in links)
    return spring.end_friction * spring.end_pin_diameter / 2.0 * abs(pull) * turns


@SOME
@given(linkages(plates=False), SHARE)
def test_the_hand_at_the_grip_loads_the_pivot(design: Design, share: float) -> None:
    # A hand that holds the frictionless lever pushes square to it; the reactions elsewhere stay.
    motion, found, near = solved(design, share)
    arm = near[1][design.grip] - near[1][design.lever_pivot()]
    hand = 1j * arm * (-found.torque / abs(arm) ** 2)
    pivot = next(
        force
        for joint, force in zip(found.joints, found.forces, strict=True)
        if {joint.link, joint.other} == {design.lever, "frame"}
    )
    pin = design.pivot_at(design.lever_pivot())
    extra = pin.friction * pin.pin_diameter / 2.0 * (abs(pivot - hand) - abs(pivot))
    gained = float(motion.friction_thrown[0, 0] - motion.friction[0, 0])
    assert abs(gained - extra) < 1e-9 * (1.0 + abs(pivot) + abs(hand)) * 20.0
