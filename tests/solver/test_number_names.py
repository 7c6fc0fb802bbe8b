"""What the numbers of a design are called, and setting them one at a time."""

import math
from dataclasses import replace

import numpy as np
import pytest

from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import CompressionSpring, Design, Force, GuideRod, Torque, TorsionSpring, Weight
from solver.number_names import (
    FIELD_NAMES,
    PLAIN_NAMES,
    find_number,
    named_numbers,
    number_called,
    with_number,
)
from solver.plan import compile_design
from solver.ranges import RANGES

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def everything() -> Design:
    design = LAYOUT["knee"]()
    spring = design.springs[0]
    assert isinstance(spring, CompressionSpring)
    return replace(
        design,
        springs=(
            replace(spring, rod=GuideRod(65.0, 130.0)),
            TorsionSpring("coil", "knee", "grip", "plunger pin", 12.0, 40.0, most_twist=170.0),
        ),
        weights=(Weight("flap", "grip", 0.3),),
        loads=(Force("wind", "grip", 1.0, 2.0), Torque("seal", "rod", 30.0)),
        plates=(),  # what they weigh follows from other numbers
    )


def test_every_number_of_the_solver_has_words_and_the_same_value() -> None:
    design = everything()
    plan = compile_design(design)
    vector = plan.parameters(design)
    named = named_numbers(design)
    assert [number.path for number in named] == list(plan.columns)
    assert len({number.label for number in named}) == len(named)
    for number, value in zip(named, vector, strict=True):
        assert number.value is not None
        assert number.value * number.per_unit == pytest.approx(value, rel=1e-14)


def test_the_fields_are_those_with_a_range() -> None:
    for kind, fields in FIELD_NAMES.items():
        assert {*fields, *PLAIN_NAMES.get(kind, {})} == set(RANGES[kind])


def test_what_only_describes_a_part_is_no_number_to_study() -> None:
    design = everything()
    bought = tuple(
        replace(spring, wire=1.6, outside_diameter=15.6, coils=11.5) for spring in design.springs
    )
    assert named_numbers(replace(design, springs=bought)) == named_numbers(design)
    for kind, fields in PLAIN_NAMES.items():
        assert not set(fields) & set(FIELD_NAMES.get(kind, {}))


def test_setting_a_number_changes_it_and_no_other() -> None:
    design = everything()
    plan = compile_design(design)
    before = plan.parameters(design)
    for number in named_numbers(design):
        if number.path.startswith("points.") and "slot" in number.path:
            continue  # the pin follows its slot
        if number.path == "points.plunger pin.y":
            continue  # it stays on its slot
        assert number.value is not None
        after = plan.parameters(with_number(design, number.path, number.value + 0.25))
        changed = np.flatnonzero(after != before)
        assert changed.tolist() == [plan.column(number.path)], number.path
        expected = before[changed[0]] + 0.25 * number.per_unit
        assert after[changed[0]] == pytest.approx(expected, rel=1e-12)


def test_pins_follow_their_slots() -> None:
    moved = with_number(LAYOUT["knee"](), "points.slot end.y", 13.0)
    pin = moved.point("plunger pin")
    assert pin.y / (pin.x - 110.0) == pytest.approx(13.0 / 65.0)
    assert math.hypot(pin.x - 150.0, pin.y) < 10.0


def test_a_number_that_is_not_there() -> None:
    with pytest.raises(DesignProblem, match="no number"):
        find_number(LAYOUT["knee"](), "points.nothing.x")


def test_numbers_go_by_their_words_too() -> None:
    design = everything()
    for number in named_numbers(design):
        assert number_called(design, number.path) == number
        assert number_called(design, f" {number.label.upper()} ") == number


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        ("springs.coil.rte", "“rate of coil” (springs.coil.rate)"),
        ("coil rate", "“rate of coil” (springs.coil.rate)"),
        ("masss of flap", "“mass of flap” (weights.flap.mass)"),
    ],
)
def test_near_names_are_told(typed: str, near: str) -> None:
    with pytest.raises(DesignProblem, match="no number") as caught:
        number_called(everything(), typed)
    assert f"; near it: {near}" in str(caught.value)


def test_where_nothing_is_near_a_name_is_told() -> None:
    design = everything()
    with pytest.raises(DesignProblem, match=f"such as “x of {design.points[0].name}”"):
        number_called(design, "qqq")
