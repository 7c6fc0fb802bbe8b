"""A torsion spring's legs and coils, against a wire that is bent step by step."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.model import FRAME, Design, Link, Pivot, Point, Stops, TorsionSpring
from solver.torsion_shape import (
    PEG,
    coil_of,
    drawn_twist,
    fitting_coils,
    hand,
    inside_wound,
    leg_in,
    leg_pin,
    legs,
    sense,
    straight_angle,
    unwound,
    wound_up,
)

SPRING = TorsionSpring(
    "coil", "o", "left", "right", 10.0, 90.0, "below", wire=2.0, outside_diameter=14.0, coils=4.0
)


def lever(spring: TorsionSpring, left: complex = -40.0, right: complex = 50.0j) -> Design:
    """The frame has the point `left`, the lever `right`; both legs lie against pegs."""
    points = (("o", 0.0j), ("left", left), ("right", right), ("grip", 100.0j))
    return Design(
        points=tuple(Point(name, z.real, z.imag) for name, z in points),
        links=(Link(FRAME, ("o", "left")), Link("lever", ("o", "right", "grip"))),
        lever="lever",
        grip="grip",
        stops=Stops(110.0, 70.0),
        pivots=(Pivot("o", 6.0),),
        springs=(spring,),
    )


def bent(coils: float, way: int, mean: float, wire: float, a: float, b: float, pin: float) -> float:
    """Leg angle (degrees, A to B counter-clockwise) of a wire laid out step by step.

    It comes straight in along leg A, bends `way` round a circle for the coils, goes straight out
    along leg B. The pins stand at distances a and b from the axis, flank to flank, on the side
    that a wire being wound up presses on.
    """
    steps = 20_000
    heading, place = 1.0 + 0.0j, -0.5j * way * mean  # on the mean circle about 0, going +x
    assert abs(place) == pytest.approx(mean / 2.0)
    turn = cmath.exp(1j * way * 2.0 * math.pi * coils / steps)
    start = (place, -heading)
    for _ in range(steps):
        half = cmath.sqrt(turn)
        place += heading * half * mean * math.sin(math.pi * coils / steps)
        heading *= turn
    assert abs(place) == pytest.approx(mean / 2.0, rel=1e-6)
    directions = []
    for (foot, out), far in ((start, a), ((place, heading), b)):
        side = foot / abs(foot) * (wire + pin) / 2.0  # away from the axis
        beside = abs(foot + side)
        along = math.sqrt(far**2 - beside**2)
        directions.append(cmath.phase(foot + side + out * along))
    return math.degrees(directions[1] - directions[0])


@pytest.mark.parametrize("acts", ["below", "above"])
@pytest.mark.parametrize("free", [30.0, 90.0, 110.0, 180.0, 250.0])
def test_the_coils_that_fit_are_those_of_the_bent_wire(free: float, acts: str) -> None:
    spring = replace(SPRING, free_angle=free, acts=acts)  # type: ignore[arg-type]
    design = lever(spring)
    coils = fitting_coils(design, spring)
    assert abs(coils - 4.0) <= 0.5
    angle = bent(coils, sense(design, spring), 12.0, 2.0, 40.0, 50.0, PEG)
    assert (angle - free + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=1e-4)


@pytest.mark.parametrize("acts", ["below", "above"])
def test_a_leg_is_a_tangent_and_its_pin_lies_outside_it(acts: str) -> None:
    """On the side away from the axis, flank to flank, and the leg reaches past it."""
    spring = replace(SPRING, acts=acts, leg_length=60.0)  # type: ignore[arg-type]
    design = lever(spring)
    axis = np.array([0.0j])
    for leg, pin in zip(legs(design, spring), (-40.0 + 0.0j, 50.0j), strict=True):
        start, along, long = leg_in(design, spring, leg, axis, np.array([pin]))
        assert abs(start[0]) == pytest.approx(6.0)
        assert (start[0] * along[0].conjugate()).real == pytest.approx(0.0, abs=1e-9)
        seen = (pin - start[0]) * along[0].conjugate()
        assert abs(seen.imag) == pytest.approx((spring.wire + PEG) / 2.0)  # type: ignore[operator]
        outwards = (start[0] * along[0].conjugate()).imag
        assert math.copysign(1.0, seen.imag) == math.copysign(1.0, outwards)
        assert seen.real + PEG / 2.0 < long == 60.0


@pytest.mark.parametrize("acts", ["below", "above"])
def test_straight_legs_stand_by_the_coils_alone(acts: str) -> None:
    """Along n coils the wire turns by 360° n, and out is the other way round than in."""
    spring = replace(SPRING, acts=acts)  # type: ignore[arg-type]
    design = lever(spring)
    turned = 360.0 * fitting_coils(design, spring) - 180.0
    between = sense(design, spring) * straight_angle(design, spring)
    assert (between - turned + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=1e-9)


def test_straight_through_takes_whole_coils_on_far_pins() -> None:
    """Legs far out that stand opposite to each other: the wire goes on as it came."""
    far = replace(SPRING, free_angle=180.0)
    assert fitting_coils(lever(far, -4e6, 4e6j), far) == pytest.approx(4.0, abs=1e-5)
    square = replace(SPRING, free_angle=90.0)
    assert fitting_coils(lever(square, -4e6, 4e6j), square) == pytest.approx(4.25, abs=1e-5)


def test_a_spring_is_wound_up_by_its_load() -> None:
    """Below its free angle the load closes the legs: leg B comes clockwise towards leg A."""
    assert sense(lever(SPRING), SPRING) == -1
    assert hand(lever(SPRING), SPRING) == "left-hand"
    above = replace(SPRING, acts="above")
    assert (sense(lever(above), above), hand(lever(above), above)) == (1, "right-hand")
    # Drawn at 180° to 90°: the leg angle from left (180°) to right (90°) is -90°.
    both = replace(SPRING, acts="both", free_angle=-60.0)
    assert drawn_twist(lever(both), both) == pytest.approx(-30.0)
    assert sense(lever(both), both) == -1
    wound = replace(both, turns=1)
    assert drawn_twist(lever(wound), wound) == pytest.approx(330.0)
    assert sense(lever(wound), wound) == 1


def test_winding_up_and_unwinding_over_a_throw() -> None:
    twists = np.array([-30.0, -5.0, 12.0])
    design = lever(SPRING)
    assert (wound_up(design, SPRING, twists), unwound(design, SPRING, twists)) == (30.0, 0.0)
    both = replace(SPRING, acts="both", free_angle=-60.0)
    assert (wound_up(design, both, twists), unwound(design, both, twists)) == (30.0, 12.0)
    assert wound_up(design, both, -np.abs(twists) * 0.0) == 0.0


@given(st.floats(1.0, 20.0), st.floats(0.0, 700.0), st.floats(0.5, 3.0), st.floats(6.0, 20.0))
def test_the_wire_keeps_its_length_as_it_winds_up(
    coils: float, wound: float, wire: float, index: float
) -> None:
    mean = index * wire
    inside = inside_wound(wire, mean, coils, wound)
    assert (inside + wire) * (coils + wound / 360.0) == pytest.approx(mean * coils)
    assert inside <= mean - wire + 1e-12


@given(st.floats(-170.0, 170.0), st.sampled_from(["below", "above"]))
def test_a_mirrored_spring_has_as_many_coils_and_the_other_hand(free: float, acts: str) -> None:
    spring = replace(SPRING, free_angle=free, acts=acts)  # type: ignore[arg-type]
    other = "above" if acts == "below" else "below"
    mirrored = replace(SPRING, free_angle=-free, acts=other)  # type: ignore[arg-type]
    one, two = lever(spring), lever(mirrored, 40.0, 50.0j)
    first, second = fitting_coils(one, spring), fitting_coils(two, mirrored)
    assert (first - second + 0.5) % 1.0 - 0.5 == pytest.approx(0.0, abs=1e-9)
    assert {hand(one, spring), hand(two, mirrored)} == {"right-hand", "left-hand"}


def test_what_is_not_known_is_guessed_from_the_pin() -> None:
    bare = replace(SPRING, wire=None, outside_diameter=None, coils=None)
    coil = coil_of(lever(bare), bare)
    assert (coil.wire, coil.outside, coil.coils, coil.long) == (1.5, 10.5, 4.0, 7.5)
    assert coil.room == 8.5  # 7.5 and half a wire, up to half a millimetre
    whole = coil_of(lever(SPRING), SPRING)
    assert (whole.mean, whole.long) == (12.0, 10.0)


def test_a_leg_lies_over_its_pin_and_a_wire_beyond() -> None:
    a, b = legs(lever(SPRING), SPRING)
    assert (a.reach, a.pin, a.least) == (40.0, PEG, 40.0 + 2.0 + 2.0)
    assert (b.reach, b.least) == (50.0, 54.0)
    assert a.bend == pytest.approx(math.degrees(math.asin((6.0 + 3.0) / 40.0)))
    stout = replace(lever(SPRING), pivots=(Pivot("o", 6.0), Pivot("left", 9.0)))
    assert [leg_pin(stout, name) for name in ("left", "right")] == [9.0, PEG]
