import math
from collections.abc import Callable
from dataclasses import fields, replace

import pytest
from hypothesis import given

from solver.checks import check, problems
from solver.errors import DesignProblem
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Gravity,
    GuideRod,
    Limit,
    Link,
    Pivot,
    Point,
    Slider,
    Stops,
    Torque,
    TorsionSpring,
    Weight,
)
from solver.parts import FIELDS, with_parts
from solver.ranges import RANGES
from tests.solver.strategies import sketches
from tests.solver.test_edit import gate

COIL = CompressionSpring("coil", "post", "foot", 2.0, 90.0, 30.0)
PULL = ExtensionSpring("pull", "post", "foot", 2.0, 30.0)
TWIST = TorsionSpring("twist", "pivot", "post", "foot", 5.0, 170.0)
SLIDE = Slider("slide", "pin", "frame", ("start", "end"))


def points(**places: tuple[float, float]) -> Callable[[Design], Design]:
    """The gate with some points elsewhere, as a file could hold it."""
    return lambda design: replace(
        design,
        points=tuple(
            Point(p.name, *places[p.name]) if p.name in places else p for p in design.points
        ),
    )


def links(*those: Link) -> Callable[[Design], Design]:
    return lambda design: replace(design, links=those)


def also(*those: Point | Link | Weight | Limit | Pivot) -> Callable[[Design], Design]:
    def added(design: Design) -> Design:
        for part in those:
            kind = type(part).__name__.lower()
            field = FIELDS[kind]  # type: ignore[index]  # the four classes named as their kinds
            design = with_parts(design, kind, (*getattr(design, field), part))  # type: ignore[arg-type]
        return design

    return added


def springs(
    *those: CompressionSpring | ExtensionSpring | TorsionSpring,
) -> Callable[[Design], Design]:
    return lambda design: replace(design, springs=those, limits=())


def sliders(*those: Slider) -> Callable[[Design], Design]:
    return lambda design: replace(design, sliders=those)


def having(**changes: object) -> Callable[[Design], Design]:
    return lambda design: replace(design, **changes)  # type: ignore[arg-type]  # fields of Design


FRAME, LEVER, ROD = gate().links

CASES: list[tuple[Callable[[Design], Design], str, str]] = [
    # names
    (also(Weight("", "pin", 1.0)), "", "The name of weight “” is empty"),
    (also(Weight(" w", "pin", 1.0)), " w", "begins or ends with a space"),
    (also(Weight("w" * 61, "pin", 1.0)), "w" * 61, "longer than 60"),
    (also(Weight("a\x00b", "pin", 1.0)), "a\x00b", "cannot be shown"),
    (also(Weight("knob", "pin", 1.0)), "knob", "more than one weight “knob”"),
    (also(Pivot("foot")), "foot", "pivot at “foot” is described twice"),
    (also(Limit("holding_force", 1.0)), "holding_force", "has two limits"),
    # frame and references
    (links(LEVER, FRAME, ROD), "frame", "first link must be the frame"),
    (having(links=()), "frame", "first link must be the frame"),
    (links(FRAME, LEVER, Link("rod", ("foot", "pin", "gone"))), "rod", "needs a point “gone”"),
    (also(Weight("w", "gone", 1.0)), "w", "Weight “w” needs a point “gone”, which there is not"),
    (having(loads=(Torque("t", "gone", 1.0),)), "t", "needs a link “gone”"),
    (having(lever="gone"), "", "The lever, link “gone”, is not there"),
    (having(grip="gone"), "", "The grip, point “gone”, is not there"),
    (having(outputs=("gone",)), "gone", "neither a point nor a link"),
    (
        lambda d: replace(also(Point("rod", 5.0, 5.0))(d), outputs=("rod",)),
        *("rod", "name of a point and of a link"),
    ),
    # numbers
    (points(foot=(math.nan, 0.0)), "foot", "Point “foot”: x must be a finite number"),
    (points(foot=(0.0, math.inf)), "foot", "Point “foot”: y must be a finite number"),
    (points(foot=(0.0, -2e6)), "foot", "y must be between -1e+06 and 1e+06"),
    (springs(replace(COIL, rate=0.0)), "coil", "Spring “coil”: rate must be above 0"),
    (springs(replace(COIL, rate=math.nan)), "coil", "rate must be a finite number"),
    (springs(replace(COIL, end_friction=2.5)), "coil", "end friction must be at most 2"),
    (springs(replace(COIL, rod=GuideRod(-1.0, 9.0))), "coil", "the guide rod's closed must be 0"),
    (springs(replace(COIL, wire=0.0)), "coil", "wire must be between 0.001 and 1000"),
    (springs(replace(PULL, outside_diameter=2e4)), "pull", "outside diameter must be at most"),
    (springs(replace(TWIST, coils=0.0)), "twist", "coils must be between 0.1 and 10000"),
    (springs(replace(PULL, initial_tension=-1.0)), "pull", "initial tension must be 0 or more"),
    (also(Weight("w", "pin", -1.0)), "w", "mass must be 0 or more"),
    (having(loads=(Force("f", "pin", 1e9, 0.0),)), "f", "x must be at most 1e+07"),
    (having(gravity=Gravity(-1.0)), "", "Gravity: strength must be from 0 to 1000"),
    (having(stops=Stops(math.nan, 70.0)), "", "Stops: rest a must be a finite number"),
    # links and points
    (links(FRAME, LEVER, Link("rod", ("foot",))), "rod", "too few points: add one or remove it"),
    (links(FRAME, LEVER, Link("rod", ("foot", "pin", "pin"))), "rod", "lists point “pin” twice"),
    (points(foot=(0.0, 5e-4)), "lever", "has “pivot” and “foot” on one spot"),
    (also(Point("stray", 1.0, 1.0)), "stray", "is on no link"),
    # lever and stops
    (having(lever="frame"), "frame", "frame cannot be the lever"),
    (having(lever="rod", grip="pin"), "rod", "it shares none"),
    (links(Link("frame", (*FRAME.points, "foot")), LEVER, ROD), "lever", "“pivot” and “foot”"),
    (having(grip="pin"), "pin", "is not on the lever"),
    (having(grip="pivot"), "pivot", "at the lever's pivot"),
    (having(stops=Stops(90.0, 90.04)), "", "one direction"),
    (having(stops=Stops(-180.0, 180.0)), "", "less than a full turn"),
    (having(stops=Stops(110.0, 430.0)), "", "long way round (320.0°)"),
    # springs
    (springs(replace(COIL, b="pivot")), "coil", "both ends on link “frame”"),
    (springs(replace(PULL, b="post")), "pull", "both ends on one spot"),
    (springs(replace(COIL, solid_length=85.0, least_gaps=5.0)), "coil", "closed solid"),
    (springs(replace(COIL, wire=2.0, outside_diameter=4.0)), "coil", "exceed twice its wire"),
    (springs(replace(TWIST, wire=2.0, outside_diameter=3.0)), "twist", "exceed twice its wire"),
    (springs(replace(COIL, rod=GuideRod(50.0, 50.0))), "coil", "out before it is closed"),
    (springs(replace(PULL, longest=30.0)), "pull", "may not be stretched"),
    (springs(replace(TWIST, leg_b="pivot")), "twist", "its leg “pivot” at its pivot"),
    (springs(replace(TWIST, leg_b="pin")), "twist", "no link that turns about “pivot”"),
    (springs(replace(TWIST, leg_b="end")), "twist", "both legs on link “frame”"),
    # sliders
    (points(pin=(80.0, -29.9)), "slide", "0.10 mm beside its slot"),
    (sliders(replace(SLIDE, point="post")), "slide", "fixed on its own guide “frame”"),
    (sliders(replace(SLIDE, along=("start", "foot"))), "slide", "not on its guide"),
    (points(end=(50.0, -30.0)), "slide", "slot without direction"),
    # limits
    (having(limits=(Limit("throw"),)), "throw", "neither a least nor a greatest"),
    (having(limits=(Limit("throw", 2.0, 1.0),)), "throw", "least value above its greatest"),
    (having(limits=(Limit("throw", math.nan),)), "throw", "at least must be a finite number"),
]


@pytest.mark.parametrize(("broken", "part", "words"), CASES)
def test_names_the_part_and_says_what_to_do(
    broken: Callable[[Design], Design], part: str, words: str
) -> None:
    found = problems(broken(gate()))
    matching = [problem for problem in found if words in str(problem)]
    assert matching, [str(problem) for problem in found]
    assert matching[0].part == part
    assert str(matching[0]).endswith(".")


@pytest.mark.parametrize(
    "sound",
    [
        having(stops=Stops(70.0, 110.0)),
        having(stops=Stops(430.0, 470.0)),
        having(stops=Stops(200.0, -30.0)),
        having(stops=Stops(100.0, 140.0)),
        having(gravity=Gravity(0.0)),
        points(pin=(80.0, -29.995)),
        springs(replace(PULL, longest=31.0), TWIST, COIL),
    ],
)
def test_leaves_sound_designs_alone(sound: Callable[[Design], Design]) -> None:
    assert problems(sound(gate())) == ()
    check(sound(gate()))


def test_the_way_out_of_the_long_way_round_is_right() -> None:
    for stops, words, better in (
        (Stops(110.0, 430.0), "take 360° off rest B", Stops(110.0, 70.0)),
        (Stops(70.0, -250.0), "add 360° to rest B", Stops(70.0, 110.0)),
    ):
        (problem,) = problems(replace(gate(), stops=stops))
        assert words in str(problem)
        assert problems(replace(gate(), stops=better)) == ()


def test_check_raises_the_first_problem() -> None:
    broken = replace(gate(), lever="gone", grip="gone")
    with pytest.raises(DesignProblem) as raised:
        check(broken)
    assert str(raised.value) == str(problems(broken)[0])


@given(sketches())
def test_any_sketch_is_judged_without_falling_over(design: Design) -> None:
    found = problems(design)
    assert all(str(problem).endswith(".") for problem in found)
    assert found, "two random names never make a sound linkage"


def test_every_number_of_the_model_has_a_range() -> None:
    parts = (Point, Pivot, Slider, GuideRod, CompressionSpring, ExtensionSpring, TorsionSpring)
    for cls in (*parts, Weight, Force, Torque, Stops, Gravity, Limit):
        numbers = {
            field.name
            for field in fields(cls)
            if {"float", "int"} & {*str(field.type).split(" | ")}
        }
        assert numbers == set(RANGES[cls]), cls
