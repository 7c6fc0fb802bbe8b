"""What the view calls things: holes by number and name, springs, loads, rests and stops."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from app.drawing.dimension_parts import heading, polar
from app.drawing.figures import SheetUnits, with_unit
from app.drawing.linkage_view import axis_reach, grip_radius, lever_directions
from app.drawing.metrics import cut, text_width
from app.drawing.model import LEAST_TEXT, Circle, Element, Layer, Line, Place, Text
from app.drawing.placing import Candidate, Placer
from app.drawing.poses import Posed, View, pin_at, place_of
from solver.model import Force, TorsionSpring
from solver.stop_pins import stop_pins

_LONGEST = 60.0
"""Width (mm) to which names are cut."""
_NUMBER_ALONE = 18.0
"""What a hole's number without its name costs: the table tells the name."""
_DIRECTIONS = tuple(range(0, 360, 15))
_STEPS = (0.0, 3.0, 6.0, 10.0, 15.0, 21.0, 28.0, 36.0, 46.0)


@dataclass(frozen=True, slots=True)
class Name:
    """A text that stands by a place, at least `clear` mm from it; `short` where it cannot.

    `spare` is what the short one costs more than the whole, in mm of way or what is crossed.
    """

    text: str
    place: Place
    clear: float
    short: str = ""
    spare: float = math.inf


def name_all(
    posed: Posed,
    view: View,
    numbers: dict[str, int],
    units: SheetUnits,
    placer: Placer,
    *,
    terse: bool = False,
) -> tuple[list[Element], int]:
    """The names of everything in the view, none on another; `placer` learns where they are.

    Terse ones are short: a hole's number in the table, a load's size. And how many found no place.
    """
    found: list[Element] = []
    missing = 0
    for name in (*_rests(posed, view), *_holes(posed, view, numbers), *_parts(posed, view, units)):
        said = replace(name, text=name.short or name.text) if terse else name
        placed = _placed(said, placer)
        placer.take(placed)
        found += placed
        missing += not placed
    return found, missing


def _placed(name: Name, placer: Placer) -> list[Element]:
    whole = _candidates(cut(name.text, LEAST_TEXT, _LONGEST), name)
    short = _candidates(name.short, name, name.spare if math.isfinite(name.spare) else 0.0)
    ways = [chain(whole, short)] if math.isfinite(name.spare) else [whole, short]
    for candidates in ways:
        best = placer.best(candidates)
        if best is not None:
            return list(best.elements)
    return []


def _candidates(text: str, name: Name, extra: float = 0.0) -> Iterator[Candidate[Place]]:
    """The text around its place, tied to it by a leader where it stands farther off."""
    if not text:
        return
    x, y = name.place
    half = text_width(text, LEAST_TEXT) / 2.0
    for step in _STEPS:
        for way in _DIRECTIONS:
            turn = math.radians(way)
            # From the place to the middle of a text whose box just clears it.
            out = name.clear + 1.0 + step
            middle = (
                x + math.cos(turn) * (out + half),
                y + math.sin(turn) * (out + LEAST_TEXT / 2.0 + 0.4),
            )
            label = Text(text, middle, LEAST_TEXT, "middle", "middle")
            if step == 0.0:
                yield Candidate(middle, (label,), extra)
                continue
            leader = _leader(name, middle, half)
            yield Candidate(middle, (label, *leader), extra + 1.5 + 0.5 * step)


def _leader(name: Name, middle: Place, half: float) -> tuple[Element, ...]:
    """A line from the place to the near end of the text, and on under the text."""
    under = middle[1] - LEAST_TEXT / 2.0 - 1.0
    left, right = (middle[0] - half, under), (middle[0] + half, under)
    near, far = (left, right) if name.place[0] <= middle[0] else (right, left)
    start = polar(name.place, name.clear, heading(name.place, near))
    dot = (Circle(Layer.DIMENSIONS, name.place, 0.5, filled=True),) if name.clear < 0.6 else ()
    return (Line(Layer.DIMENSIONS, start, near), Line(Layer.DIMENSIONS, near, far), *dot)


def _rests(posed: Posed, view: View) -> Iterator[Name]:
    design = posed.design
    pivot = view(place_of(design, design.lever_pivot()))
    radius = view.scale * grip_radius(design) + axis_reach(design, view)
    for name, direction in lever_directions(posed).items():
        yield Name(name, polar(pivot, radius, direction), 0.5)


def _holes(posed: Posed, view: View, numbers: dict[str, int]) -> Iterator[Name]:
    design = posed.design
    stops = {pin.name: pin for pin in stop_pins(design)}
    for name, number in numbers.items():
        if name in stops:
            stop = stops[name]
            place, pin = (stop.x, stop.y), stop.diameter
        else:
            place, pin = place_of(design, name), pin_at(design, name) or 0.0
        clear = max(view.scale * pin / 2.0, 1.0)
        yield Name(f"{number} {name}", view(place), clear, str(number), _NUMBER_ALONE)


def _parts(posed: Posed, view: View, units: SheetUnits) -> Iterator[Name]:
    """Springs by their middle, loads at the tip of their arrow, weights below their points."""
    design = posed.design
    for spring in design.springs:
        if isinstance(spring, TorsionSpring):
            place = view(place_of(design, spring.pivot))
            pin = view.scale * design.pivot_at(spring.pivot).pin_diameter / 2.0
            yield Name(spring.name, place, pin + 2.0)
            continue
        a, b = (view(place_of(design, end)) for end in (spring.a, spring.b))
        middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        yield Name(spring.name, middle, 0.5)
    for load in design.loads:
        if isinstance(load, Force):
            direction = math.degrees(math.atan2(load.y, load.x))
            size = with_unit(math.hypot(load.x, load.y), "force", units)
            tip = polar(view(place_of(design, load.point)), 12.0, direction)
            yield Name(f"{load.name} {size}", tip, 0.6, size)
    for weight in design.weights:
        place = polar(view(place_of(design, weight.point)), 9.0, design.gravity.direction)
        size = with_unit(weight.mass, "mass", units)
        yield Name(f"{weight.name} {size}", place, 3.5, size)


def hole_numbers(posed: Posed, datum: str) -> dict[str, int]:
    """The number of each hole on the sheet: the datum's, the frame's, the stops', the others'."""
    design = posed.design
    order: Sequence[str] = (
        datum,
        *design.links[0].points,
        *(pin.name for pin in stop_pins(design)),
        *(name for link in design.links[1:] for name in link.points),
    )
    return {name: number for number, name in enumerate(dict.fromkeys(order), start=1)}
