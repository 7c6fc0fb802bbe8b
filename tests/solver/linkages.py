"""More sound linkages for the laws: inverted sliders, six-bars, plungers; and their statics."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from hypothesis import assume
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from solver.model import Design, Link, Pivot, Plate, Point, Slider, Stops
from solver.motion import Motion, evaluate
from solver.plan import compile_design
from tests.solver.strategies import designs, dressed, meeting, numbers, round_about

STEEP = 6.0
"""rad per rad of lever rotation; links that turn faster stand too near their lock for tight
comparisons."""


@st.composite
def slotted_rockers(draw: DrawFn) -> Design:
    """The lever's pin rides in the slot of a rocker; the slot may pass beside its pivot."""
    crank, ground, offset = draw(numbers(15, 40)), draw(numbers(70, 150)), draw(numbers(-12, 12))
    theta = math.radians(draw(numbers(-180, 180)))
    pin = complex(crank * math.cos(theta), crank * math.sin(theta))
    reach = pin - ground
    # Unit direction of the slot: it passes the rocker's pivot at the distance `offset`.
    along = reach * complex(math.sqrt(abs(reach) ** 2 - offset**2), offset) / abs(reach) ** 2
    ends = [pin - 30.0 * along, pin + 45.0 * along]
    design = Design(
        points=(
            Point("pivot", 0.0, 0.0),
            round_about(draw, "grip", 60.0, 250.0),
            Point("crank pin", pin.real, pin.imag),
            Point("rocker pivot", ground, 0.0),
            *(Point(f"slot {i}", end.real, end.imag) for i, end in enumerate(ends)),
            round_about(draw, "rocker end", 20.0, 90.0, ground),
            round_about(draw, "anchor", 160.0, 250.0),
        ),
        links=(
            Link("frame", ("pivot", "rocker pivot", "anchor")),
            Link("lever", ("pivot", "grip", "crank pin")),
            Link("rocker", ("rocker pivot", "slot 0", "slot 1", "rocker end")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(0.0, 1.0),
        sliders=(Slider("slide", "crank pin", "rocker", ("slot 0", "slot 1")),),
        outputs=("rocker end",),
    )
    return dressed(draw, design)


@st.composite
def six_bars(draw: DrawFn) -> Design:
    """Lever, rod and rocker, and a second rod and rocker driven from a third point of the rod."""
    crank, ground = draw(numbers(20, 40)), draw(numbers(90, 130))
    theta = math.radians(draw(numbers(-180, 180)))
    pin = complex(crank * math.cos(theta), crank * math.sin(theta))
    side = draw(st.sampled_from((1, -1)))
    end = meeting(pin, draw(numbers(95, 125)), complex(ground, 0.0), draw(numbers(80, 110)), side)
    branch = pin + (end - pin) * complex(draw(numbers(0.3, 0.7)), draw(numbers(-0.5, 0.5)))
    way = math.radians(draw(numbers(-180, 180)))
    far_pivot = branch + draw(numbers(130, 170)) * complex(math.cos(way), math.sin(way))
    far = meeting(branch, draw(numbers(110, 140)), far_pivot, draw(numbers(110, 140)), side)
    places = {
        "crank pin": pin,
        "rocker pin": end,
        "rocker pivot": complex(ground),
        "branch": branch,
    }
    places |= {"far pin": far, "far pivot": far_pivot}
    design = Design(
        points=(
            Point("pivot", 0.0, 0.0),
            round_about(draw, "grip", 60.0, 250.0),
            *(Point(name, place.real, place.imag) for name, place in places.items()),
            round_about(draw, "anchor", 260.0, 320.0),
        ),
        links=(
            Link("frame", ("pivot", "rocker pivot", "far pivot", "anchor")),
            Link("lever", ("grip", "pivot", "crank pin")),
            Link("second rod", ("branch", "far pin")),
            Link("rod", ("crank pin", "branch", "rocker pin")),
            Link("rocker", ("rocker pivot", "rocker pin")),
            Link("second rocker", ("far pivot", "far pin")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(0.0, 1.0),
        outputs=("far pin", "rocker"),
    )
    return dressed(draw, design)


@st.composite
def plungers(draw: DrawFn) -> Design:
    """A lever that pushes a plunger, a link held in line by two pins in one slot, by a rod."""
    crank, offset = draw(numbers(15, 35)), draw(numbers(-20, 20))
    theta = math.radians(draw(numbers(-180, 180)))
    pin = complex(crank * math.cos(theta), crank * math.sin(theta))
    knee = pin.real + math.sqrt(draw(numbers(80, 150)) ** 2 - (offset - pin.imag) ** 2)
    places = {"crank pin": pin, "knee": complex(knee, offset), "tip": complex(knee + 60.0, 5.0)}
    places |= {"guide 1": complex(knee + 20.0, 0.0), "guide 2": complex(knee + 50.0, 0.0)}
    places |= {"slot start": complex(60.0, 0.0), "slot end": complex(260.0, 0.0)}
    design = Design(
        points=(
            Point("pivot", 0.0, 0.0),
            round_about(draw, "grip", 60.0, 250.0),
            *(Point(name, place.real, place.imag) for name, place in places.items()),
            round_about(draw, "anchor", 20.0, 55.0),
        ),
        links=(
            Link("frame", ("pivot", "slot start", "slot end", "anchor")),
            Link("lever", ("pivot", "grip", "crank pin")),
            Link("rod", ("crank pin", "knee")),
            Link("plunger", ("knee", "guide 1", "guide 2", "tip")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(0.0, 1.0),
        sliders=tuple(
            Slider(f"slide {i}", f"guide {i}", "frame", ("slot start", "slot end")) for i in (1, 2)
        ),
        outputs=("tip",),
    )
    return dressed(draw, design)


@st.composite
def linkages(draw: DrawFn, plates: bool = True) -> Design:
    """Any sound linkage that turns through its throw well clear of a lock.

    Without `plates` no link has a weight of its own.
    """
    kinds: SearchStrategy[Design] = st.one_of(designs(), slotted_rockers(), six_bars(), plungers())
    design = draw(kinds)
    assume(clear_of_locks(design))
    if plates:
        moving = [link.name for link in design.links[1:]]
        heavy = draw(st.lists(st.sampled_from(moving), unique=True, max_size=2))
        cut = (Plate(name, draw(numbers(10, 30)), draw(numbers(1, 8))) for name in heavy)
        design = replace(design, plates=tuple(cut))
    return design


def motion_of(design: Design, positions: int | list[float] = 181) -> Motion:
    """The motion of one design."""
    plan = compile_design(design)
    return evaluate(plan, plan.parameters(design), positions)


def clear_of_locks(design: Design) -> bool:
    """Whether every link keeps within `STEEP` turns of the lever's over the whole throw."""
    moving = tuple(link.name for link in design.links[1:])
    motion = motion_of(replace(design, outputs=moving, limits=()), 46)
    if not motion.solved[0]:
        return False
    return all(bool(np.all(np.abs(spin) < STEEP)) for _, spin in motion.turns.values())


def frictionless(design: Design) -> Design:
    """The design without any friction."""
    spots = {name for link in design.links for name in link.points}
    return replace(
        design,
        pivots=tuple(Pivot(name, friction=0.0) for name in sorted(spots)),
        sliders=tuple(replace(slider, friction=0.0, drag=0.0) for slider in design.sliders),
        springs=tuple(
            spring if hasattr(spring, "pivot") else replace(spring, end_friction=0.0)
            for spring in design.springs
        ),
    )
