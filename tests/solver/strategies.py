"""Hypothesis strategies for designs and projects.

`designs()` are sound linkages: they pass the static checks, move in one way and reach both
rests. `sketches()` and `projects()` are anything that a file can hold.
"""

import math
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import Any, Literal, get_args, get_origin, get_type_hints

from hypothesis import assume
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

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
    Spring,
    Stops,
    Torque,
    TorsionSpring,
    Weight,
)
from solver.project import Display, Project, Variant

LEAST_APART = 2.0
"""mm between any two points of a sound linkage."""


def numbers(least: float, most: float) -> SearchStrategy[float]:
    """Readable numbers: two decimals."""
    low, high = round(least * 100), round(most * 100)
    return st.integers(low, high).map(lambda hundredths: hundredths / 100)


# ---- sound linkages --------------------------------------------------------------------


@st.composite
def levers(draw: DrawFn) -> Design:
    """A lever on the frame with springs, weights and loads on it."""
    design = Design(
        points=(
            Point("pivot", 0.0, 0.0),
            round_about(draw, "grip", 60.0, 250.0),
            round_about(draw, "foot", 10.0, 80.0),
            round_about(draw, "anchor", 90.0, 200.0),
            round_about(draw, "post", 20.0, 85.0),
        ),
        links=(
            Link("frame", ("pivot", "anchor", "post")),
            Link("lever", ("pivot", "grip", "foot")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(0.0, 1.0),
    )
    return dressed(draw, design)


@st.composite
def four_bars(draw: DrawFn) -> Design:
    """Lever, rod and rocker; the lever is the shortest and could turn right round."""
    crank, ground = draw(numbers(15, 40)), draw(numbers(60, 150))
    rod, rocker = draw(numbers(45, 160)), draw(numbers(45, 160))
    shortest, *_, longest = sorted((crank, ground, rod, rocker))
    assume(shortest == crank)
    assume(crank + longest + 3.0 < crank + ground + rod + rocker - (crank + longest))
    theta = math.radians(draw(numbers(-180, 180)))
    pin = complex(crank * math.cos(theta), crank * math.sin(theta))
    end = meeting(pin, rod, complex(ground, 0.0), rocker, draw(st.sampled_from((1, -1))))
    design = Design(
        points=(
            Point("pivot", 0.0, 0.0),
            round_about(draw, "grip", 60.0, 250.0),
            Point("crank pin", pin.real, pin.imag),
            Point("rocker pin", end.real, end.imag),
            Point("rocker pivot", ground, 0.0),
            round_about(draw, "rocker end", 20.0, 90.0, ground),
            round_about(draw, "anchor", 160.0, 250.0),
        ),
        links=(
            Link("frame", ("pivot", "rocker pivot", "anchor")),
            Link("lever", ("grip", "pivot", "crank pin")),
            Link("rod", ("crank pin", "rocker pin")),
            Link("rocker", ("rocker pivot", "rocker pin", "rocker end")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(0.0, 1.0),
        outputs=("rocker end", "rocker"),
    )
    return dressed(draw, design)


@st.composite
def crank_sliders(draw: DrawFn) -> Design:
    """A lever that moves a pin along a slot of the frame by a rod."""
    crank, rod, offset = draw(numbers(15, 40)), draw(numbers(70, 160)), draw(numbers(-20, 20))
    theta, tilt = math.radians(draw(numbers(-180, 180))), math.radians(draw(numbers(-180, 180)))
    turn = complex(math.cos(tilt), math.sin(tilt))
    pin = complex(crank * math.cos(theta), crank * math.sin(theta))
    along = pin.real + math.sqrt(rod**2 - (offset - pin.imag) ** 2)
    places = {
        "pivot": 0j,
        "crank pin": pin * turn,
        "slot start": complex(40.0, offset) * turn,
        "slot end": complex(220.0, offset) * turn,
        "slide pin": complex(along, offset) * turn,
    }
    design = Design(
        points=(
            *(Point(name, place.real, place.imag) for name, place in places.items()),
            round_about(draw, "grip", 60.0, 250.0),
            round_about(draw, "anchor", 20.0, 120.0),
        ),
        links=(
            Link("frame", ("pivot", "slot start", "slot end", "anchor")),
            Link("lever", ("pivot", "grip", "crank pin")),
            Link("rod", ("crank pin", "slide pin")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(0.0, 1.0),
        sliders=(
            Slider(
                *("slide", "slide pin", "frame", ("slot start", "slot end")),
                friction=draw(numbers(0, 0.4)),
                drag=draw(numbers(0, 5)),
            ),
        ),
        outputs=("slide pin",),
    )
    return dressed(draw, design)


def designs() -> SearchStrategy[Design]:
    """Any sound linkage."""
    return levers() | four_bars() | crank_sliders()


def round_about(draw: DrawFn, name: str, near: float, far: float, x: float = 0.0) -> Point:
    """A point at a distance between `near` and `far` from (x, 0)."""
    reach, angle = draw(numbers(near, far)), math.radians(draw(numbers(-180, 180)))
    return Point(name, round(x + reach * math.cos(angle), 2), round(reach * math.sin(angle), 2))


def meeting(a: complex, ra: float, b: complex, rb: float, side: int) -> complex:
    """Where the circles around a and b meet, left (+1) or right (-1) of the way from a to b."""
    span = abs(b - a)
    along = (span**2 + ra**2 - rb**2) / (2.0 * span)
    unit = (b - a) / span
    return a + unit * complex(along, side * math.sqrt(ra**2 - along**2))


def dressed(draw: DrawFn, design: Design) -> Design:
    """The linkage with stops around the drawn lever and something to work against."""
    points = design.points
    for place, one in enumerate(points):
        for other in points[place + 1 :]:
            assume(math.dist((one.x, one.y), (other.x, other.y)) > LEAST_APART)
    grip = design.point(design.grip)
    drawn = math.degrees(math.atan2(grip.y, grip.x))
    back, on = draw(numbers(3, 60)), draw(numbers(3, 60))
    rests = draw(st.permutations((drawn - back, drawn + on)))
    moving = [link for link in design.links if link.name != "frame"]
    links = [link.name for link in moving]
    carried = sorted({n for link in moving for n in link.points} - {*design.links[0].points})
    design = replace(
        design,
        stops=Stops(*rests),
        pivots=draw(st.just(()) | _pivots("pivot").map(lambda pivot: (pivot,))),
        springs=draw(_springs(carried, moving[0].points)),
        weights=draw(_some(lambda name: _weights(name, carried), "weight")),
        loads=draw(_some(lambda name: _loads(name, carried, links), "load")),
        gravity=Gravity(draw(st.sampled_from((0.0, 9.80665))), draw(numbers(-180, 180))),
    )
    limits: tuple[Limit, ...] = (Limit("holding_force", at_least=1.0),)
    if design.springs:
        limits += (Limit(f"slack_margin:{design.springs[0].name}", at_least=0.0),)
    return replace(design, limits=draw(st.sampled_from(((), limits))))


def _some(one: Callable[[str], SearchStrategy[Any]], stem: str) -> SearchStrategy[tuple[Any, ...]]:
    """None to two parts with names of their own."""
    return st.integers(0, 2).flatmap(
        lambda count: st.tuples(*(one(f"{stem} {place + 1}") for place in range(count)))
    )


def _pivots(point: str) -> SearchStrategy[Pivot]:
    return st.builds(Pivot, st.just(point), numbers(2, 20), numbers(0, 0.5), numbers(0, 50))


def _weights(name: str, carried: list[str]) -> SearchStrategy[Weight]:
    return st.builds(Weight, st.just(name), st.sampled_from(carried), numbers(0, 3))


def _loads(name: str, carried: list[str], links: list[str]) -> SearchStrategy[Force | Torque]:
    size = numbers(-30, 30)
    force = st.builds(Force, st.just(name), st.sampled_from(carried), size, size)
    torque = st.builds(Torque, st.just(name), st.sampled_from(links), numbers(-900, 900))
    return st.one_of(force, torque)


def _springs(carried: list[str], lever: tuple[str, ...]) -> SearchStrategy[tuple[Spring, ...]]:
    ends = {"a": st.just("anchor"), "b": st.sampled_from(carried)}
    pins = {"end_pin_diameter": numbers(0, 8), "end_friction": numbers(0, 0.4)}
    bought = {
        "wire": st.none() | numbers(0.5, 3),
        "outside_diameter": st.none() | numbers(7, 30),
        "coils": st.none() | numbers(1, 40),
        "order_note": st.sampled_from(("", "drawer 4")),
    }
    rod = st.none() | st.just(GuideRod(closed=10.0, reach=500.0))
    compression = st.builds(
        CompressionSpring,
        name=st.just("coil"),
        rate=numbers(0.1, 10),
        free_length=numbers(60, 400),
        solid_length=numbers(5, 40),
        least_gaps=numbers(0, 10),
        fittings=numbers(0, 10),
        captive=st.booleans(),
        rod=rod,
        **ends,
        **pins,
        **bought,
    )
    extension = st.builds(
        ExtensionSpring,
        name=st.just("pull"),
        rate=numbers(0.1, 10),
        free_length=numbers(10, 150),
        initial_tension=numbers(0, 20),
        longest=st.none() | numbers(200, 600),
        **ends,
        **pins,
        **bought,
    )
    torsion = st.builds(
        TorsionSpring,
        name=st.just("twist"),
        pivot=st.just("pivot"),
        leg_a=st.just("anchor"),
        leg_b=st.sampled_from([name for name in lever if name != "pivot"]),
        rate=numbers(1, 60),
        free_angle=numbers(-180, 180),
        acts=st.sampled_from(("both", "below", "above")),
        most_twist=st.none() | numbers(90, 400),
        **bought,
    )
    kinds = (compression, extension, torsion)
    return st.sets(st.integers(0, 2), max_size=3).flatmap(
        lambda chosen: st.tuples(*(kinds[place] for place in sorted(chosen)))
    )


# ---- anything that a file can hold -----------------------------------------------------

_NAMES = ("frame", "lever", "pivot", "grip", "a", "b")


def anything(hint: Any) -> SearchStrategy[Any]:  # noqa: ANN401  # any type hint
    """Values of a type hint of the model, with finite numbers and text that can be written."""
    arguments = get_args(hint)
    if hint is float:
        return st.floats(allow_nan=False, allow_infinity=False)
    if hint is str:
        return st.sampled_from(_NAMES) | st.text(st.characters(exclude_categories=["Cs"]))
    if is_dataclass(hint) and isinstance(hint, type):
        hints = get_type_hints(hint)
        return st.builds(
            hint, **{field.name: anything(hints[field.name]) for field in fields(hint)}
        )
    if get_origin(hint) is tuple and ... in arguments:
        return st.lists(anything(arguments[0]), max_size=3).map(tuple)
    if get_origin(hint) is tuple:
        return st.tuples(*map(anything, arguments))
    if get_origin(hint) is Literal:
        return st.sampled_from(arguments)
    if arguments:
        return st.one_of(*map(anything, arguments))
    return st.from_type(hint)


def sketches() -> SearchStrategy[Design]:
    """Any well-typed, finite design, most of them nonsense."""
    return anything(Design)


@st.composite
def projects(draw: DrawFn) -> Project:
    """Any project that a file can hold."""
    variants = tuple(draw(st.lists(anything(Variant), min_size=1, max_size=2)))
    current = draw(st.integers(0, len(variants) - 1))
    return Project(draw(anything(str)), variants, current, draw(anything(Display)))


def sound_projects() -> SearchStrategy[Project]:
    """A project of sound linkages."""
    variant = st.builds(Variant, st.sampled_from(("first", "second")), designs())
    variants = st.lists(variant, min_size=1, max_size=2).map(tuple)
    return variants.map(lambda those: Project("Grading line", those))
