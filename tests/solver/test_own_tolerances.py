import math
from dataclasses import fields, replace

import pytest

from solver import edit
from solver.checks import problems
from solver.errors import DesignProblem
from solver.model import Design, ExtensionSpring, OwnTolerance, Tolerances
from solver.own_tolerances import tolerable
from solver.parts import Kind
from solver.ranges import RANGES
from tests.solver.test_edit import gate

NUMBERS = (
    "points.foot",
    "holes.rod.pin",
    "pivots.foot.friction",
    "sliders.slide.friction",
    "springs.coil.solid_length",
    "weights.knob.mass",
    "loads.push.x",
    "stops.rest_a",
    "gravity.direction",
)


def toleranced(*numbers: str) -> Design:
    own = tuple(OwnTolerance(number, 0.1) for number in numbers)
    return replace(gate(), tolerances=Tolerances(own=own))


def own_numbers(design: Design) -> list[str]:
    return [own.number for own in design.tolerances.own]


def test_any_number_and_any_hole_may_have_its_own() -> None:
    assert problems(toleranced(*NUMBERS)) == ()
    assert set(NUMBERS) < set(tolerable(gate()))
    assert len(set(tolerable(gate()))) == len(list(tolerable(gate())))


@pytest.mark.parametrize(
    ("tolerances", "part", "words"),
    [
        (Tolerances(hole=-0.1), "", "Tolerances: hole must be from 0 to 1000"),
        (Tolerances(rate=150.0), "", "rate must be at most 100"),
        (Tolerances(stop=math.nan), "", "stop must be a finite number"),
        (Tolerances(friction_least=1.2, friction_most=1.1), "", "exchange them"),
        (Tolerances(own=(OwnTolerance("stops.rest_a", -1.0),)), "stops.rest_a", "0 or more"),
        (Tolerances(own=(OwnTolerance("points.gone", 1.0),)), "points.gone", "does not have"),
        (Tolerances(own=(OwnTolerance("points.foot.x", 1.0),)), "points.foot.x", "does not have"),
        (
            Tolerances(own=(OwnTolerance("stops.rest_a", 1.0), OwnTolerance("stops.rest_a", 2.0))),
            *("stops.rest_a", "two own tolerances: keep one"),
        ),
    ],
)
def test_what_cannot_be_is_told(tolerances: Tolerances, part: str, words: str) -> None:
    (problem,) = problems(replace(gate(), tolerances=tolerances))
    assert words in str(problem)
    assert problem.part == part
    with pytest.raises(DesignProblem, match=words):
        edit.set_tolerances(gate(), tolerances)


def test_every_number_of_the_tolerances_has_a_range() -> None:
    for cls in (Tolerances, OwnTolerance):
        assert {f.name for f in fields(cls) if f.type == "float"} == set(RANGES[cls])


def test_setting_replacing_and_dropping_one() -> None:
    design = edit.set_own_tolerance(gate(), "points.foot", 0.05)
    design = edit.set_own_tolerance(design, "stops.rest_a", 0.2)
    design = edit.set_own_tolerance(design, "points.foot", 0.1)
    assert design.tolerances.own == (
        OwnTolerance("points.foot", 0.1),
        OwnTolerance("stops.rest_a", 0.2),
    )
    assert own_numbers(edit.drop_own_tolerance(design, "points.foot")) == ["stops.rest_a"]
    with pytest.raises(DesignProblem, match="does not have"):
        edit.set_own_tolerance(design, "points.nowhere", 0.1)


@pytest.mark.parametrize(
    ("kind", "old", "before", "after"),
    [
        ("point", "foot", "points.foot", "points.heel"),
        ("point", "foot", "pivots.foot.friction", "pivots.heel.friction"),
        ("point", "pin", "holes.rod.pin", "holes.rod.heel"),
        ("link", "rod", "holes.rod.pin", "holes.heel.pin"),
        ("spring", "coil", "springs.coil.rate", "springs.heel.rate"),
        ("slider", "slide", "sliders.slide.friction", "sliders.heel.friction"),
        ("weight", "knob", "weights.knob.mass", "weights.heel.mass"),
        ("load", "push", "loads.push.x", "loads.heel.x"),
    ],
)
def test_names_follow_when_a_part_is_renamed(kind: Kind, old: str, before: str, after: str) -> None:
    others = ("stops.rest_b", "springs.twist.rate")
    design = edit.rename(toleranced(before, *others), kind, old, "heel")
    assert own_numbers(design) == [after, *others]
    assert problems(design) == ()


def test_a_part_that_goes_takes_its_own_tolerances_along() -> None:
    design = toleranced("springs.coil.rate", "stops.rest_a", "points.post", "holes.frame.post")
    left = edit.remove(design, "point", "post")
    assert own_numbers(left) == ["stops.rest_a"]
    assert problems(left) == ()


def test_a_spring_of_another_kind_keeps_what_it_still_has() -> None:
    design = toleranced("springs.coil.rate", "springs.coil.solid_length")
    changed = edit.replace_part(design, ExtensionSpring("coil", "post", "foot", 2.0, 30.0))
    assert own_numbers(changed) == ["springs.coil.rate"]
    assert problems(changed) == ()


def test_joined_and_detached_points_take_theirs_along() -> None:
    joined = edit.join(toleranced("points.start", "points.post", "points.end"), "post", "end")
    assert own_numbers(joined) == ["points.start", "points.post"]
    attached = edit.attach(toleranced("stops.rest_a"), "post", "rod")
    apart = edit.detach(edit.set_own_tolerance(attached, "holes.rod.post", 0.1), "post", "rod")
    assert own_numbers(apart) == ["stops.rest_a"]
