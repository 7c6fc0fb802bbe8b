"""Each closed-form step by itself: links keep their shape, joints stay together, rates fit."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from solver.analysis import pose
from solver.guided import CrossSlot, RodAndPlunger
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Link, Point, Slider, Stops
from solver.motion import Evaluator, evaluate
from solver.plan import compile_design
from solver.steps import PinInSlot, PinPinPin, SlotOnPin, Step
from tests.solver.test_locking import half_way

LAYOUT = {layout.key: layout.build() for layout in LAYOUTS}


def inverted(side: float = 1.0) -> Design:
    """The slot of a rocker on the lever's pin, passing 8 mm beside the rocker's pivot."""
    along = complex(math.sqrt(1.0 - 0.08**2), 0.08 * side)
    pin, pivot = complex(20.0, 30.0), complex(20.0, 30.0) + 100.0
    ends = [pin - 40.0 * along, pin + 30.0 * along]
    places = {"o": 0j, "grip": 120j, "pin": pin, "q": pivot, "s1": ends[0], "s2": ends[1]}
    return Design(
        points=tuple(Point(name, place.real, place.imag) for name, place in places.items()),
        links=(
            Link(FRAME, ("o", "q")),
            Link("lever", ("o", "grip", "pin")),
            Link("rocker", ("q", "s1", "s2")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(110.0, 70.0),
        sliders=(Slider("slide", "pin", "rocker", ("s1", "s2")),),
        outputs=("s1", "rocker"),
    )


def roller_on_a_moving_slot() -> Design:
    """An arm whose pin rides in a slot of the lever itself."""
    places = {
        "o": (0.0, 0.0), "grip": (0.0, 120.0), "s1": (10.0, 20.0), "s2": (30.0, 90.0),
        "q": (70.0, -20.0), "pin": (20.0, 55.0), "tip": (130.0, 30.0),
    }  # fmt: skip
    return Design(
        points=tuple(Point(name, *place) for name, place in places.items()),
        links=(
            Link(FRAME, ("o", "q")),
            Link("lever", ("o", "grip", "s1", "s2")),
            Link("arm", ("q", "pin", "tip")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(105.0, 80.0),
        sliders=(Slider("slide", "pin", "lever", ("s1", "s2")),),
        outputs=("tip", "arm"),
    )


CASES: dict[str, tuple[Design, type[Step]]] = {
    "pin-pin-pin": (LAYOUT["rocker"], PinPinPin),
    "pin in the frame's slot": (LAYOUT["knee"], PinInSlot),
    "pin in a moving slot": (roller_on_a_moving_slot(), PinInSlot),
    "slot on a pin": (inverted(), SlotOnPin),
    "slot on a pin, other side": (inverted(-1.0), SlotOnPin),
}


@pytest.fixture(params=sorted(CASES))
def case(request: pytest.FixtureRequest) -> tuple[Design, type[Step]]:
    return CASES[request.param]


def test_the_expected_step_is_chosen(case: tuple[Design, type[Step]]) -> None:
    design, kind = case
    assert [type(step) for step in compile_design(design).steps] == [kind]


def test_no_step_takes_the_place_of_a_plungers() -> None:
    kinds = {type(step) for design, _ in CASES.values() for step in compile_design(design).steps}
    assert not kinds & {RodAndPlunger, CrossSlot}


def places(design: Design, direction: float) -> dict[str, complex]:
    evaluator = Evaluator.of(compile_design(design))
    found = pose(evaluator, evaluator.plan.parameters(design), direction)
    return {name: complex(*place) for name, place in found.items()}


def drawn_direction(design: Design) -> float:
    grip, pivot = design.point(design.grip), design.point(design.lever_pivot())
    return math.degrees(math.atan2(grip.y - pivot.y, grip.x - pivot.x))


def test_the_drawn_pose_is_met(case: tuple[Design, type[Step]]) -> None:
    design, _ = case
    there = places(design, drawn_direction(design))
    for point in design.points:
        assert abs(there[point.name] - complex(point.x, point.y)) < 1e-10, point.name


def test_links_keep_their_shape_and_pins_their_slots(case: tuple[Design, type[Step]]) -> None:
    design, _ = case
    drawn = {point.name: complex(point.x, point.y) for point in design.points}
    for direction in np.linspace(design.stops.rest_a, design.stops.rest_b, 9):
        there = places(design, float(direction))
        for link in design.links:
            base, tip = link.points[0], link.points[-1]
            if base == tip:
                continue
            turn = (there[tip] - there[base]) / (drawn[tip] - drawn[base])
            # Neither stretched nor turned inside out.
            assert abs(abs(turn) - 1.0) < 1e-12
            for name in link.points:
                moved = there[base] + turn * (drawn[name] - drawn[base])
                assert abs(there[name] - moved) < 1e-10
        for slider in design.sliders:
            start, end = (there[name] for name in slider.along)
            line = (end - start) / abs(end - start)
            off = ((there[slider.point] - start) * line.conjugate()).imag
            assert abs(off) < 1e-10


def test_rates_are_those_of_the_poses(case: tuple[Design, type[Step]]) -> None:
    design, _ = case
    step = 1e-4
    throw = design.stops.rest_b - design.stops.rest_a
    plan = compile_design(design)
    for share in (0.1, 0.45, 0.9):
        here = design.stops.rest_a + share * throw
        motion = evaluate(plan, plan.parameters(design), [share])
        sense = math.copysign(1.0, throw)
        before, after = (places(design, here + k * math.degrees(step)) for k in (-1, 1))
        for name, (_, velocity) in motion.outputs.items():
            # Central differences are off by step²/6 of the third derivative: 1e-8 · some 100 mm.
            rate = sense * (after[name] - before[name]) / (2.0 * step)
            assert abs(velocity[0, 0] - rate) < 1e-5, name


def test_a_dyad_stays_on_the_side_it_is_drawn_on() -> None:
    design = LAYOUT["rocker"]
    bent = {point.name: complex(point.x, point.y) for point in design.points}

    def side(there: dict[str, complex]) -> float:
        across = there["rocker pivot"] - there["rod end"]
        return math.copysign(
            1.0, (across.conjugate() * (there["rocker end"] - there["rod end"])).imag
        )

    drawn = side(bent)
    assert all(side(places(design, t)) == drawn for t in np.linspace(115.0, 65.0, 11))
    # The same lengths put together the other way stay the other way.
    a, b, c = (bent[name] for name in ("rod end", "rocker end", "rocker pivot"))
    flipped = a + ((b - a) / (c - a)).conjugate() * (c - a)
    points = tuple(
        replace(p, x=flipped.real, y=flipped.imag) if p.name == "rocker end" else p
        for p in design.points
    )
    other = replace(design, points=points)
    assert all(side(places(other, t)) == -drawn for t in np.linspace(100.0, 80.0, 5))


def test_a_locked_step_puts_its_links_where_they_come_nearest() -> None:
    design = half_way(0.0, 70.0)
    evaluator = Evaluator.of(compile_design(design))
    theta = np.radians([[70.0, 75.5, 80.0, 120.0]])
    state, culprit = evaluator.place(evaluator.plan.parameters(design)[None, :], theta)
    assert culprit[0].tolist() == [-1, -1, 0, 0]
    a, b = (state.places[evaluator.plan.points[name]][0] for name in ("A", "B"))
    # Two links of 100 mm that do not reach meet half-way between their outer pins.
    np.testing.assert_allclose(b[2:], 0.5 * (a[2:] + 200.0), atol=1e-9)
