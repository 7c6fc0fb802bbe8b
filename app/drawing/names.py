"""What the view calls things: holes by number and name, springs, loads, rests and stops."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from app.drawing.dimension_parts import heading, leader_lines, polar
from app.drawing.figures import SheetUnits, with_unit
from app.drawing.linkage_view import axis_reach, grip_radius, leg_lines, lever_directions
from app.drawing.metrics import cut, plain, text_width
from app.drawing.model import LEAST_TEXT, Circle, Element, Layer, Place, Text
from app.drawing.placing import Candidate, Placer
from app.drawing.poses import Posed, View, place_of
from solver.holes import pin_at
from solver.model import Force, TorsionSpring
from solver.stop_pins import stop_pins
from solver.torsion_shape import coil_of

_LONGEST = 60.0
"""Width (mm) to which names are cut."""
_NUMBER_ALONE = 24.0
"""What a hole's number without its name costs: the table tells the name."""
_LESS_TOLD = 24.0
"""What a load's size or a weight's name costs by itself: the table tells the rest."""
_DIRECTIONS = tuple(range(0, 360, 15))
_FARTHER = 0.5
"""The price of each mm of a leader,"""
_FAR = 0.04
"""and of each mm squared: one long leader is worse than two short ones."""
_ALONG_ANOTHER = 12.0
"""The price of a leader along the line that a weight hangs from."""
_STEPS = (0.0, 3.0, 6.0, 10.0, 15.0, 21.0, 28.0, 36.0, 46.0)


@dataclass(frozen=True, slots=True)
class Name:
    """A text that stands by a place, at least `clear` mm from it; `short` where it cannot.

    `spare` is what the short one costs more than the whole, in mm of way or what is crossed.
    `others` are further places that it may stand by as well. In the direction `held` (degrees) a
    line leaves the place already: a leader that way costs more.
    """

    text: str
    place: Place
    clear: float
    short: str = ""
    spare: float = math.inf
    others: tuple[Place, ...] = ()
    held: float | None = None


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
    half = text_width(text, LEAST_TEXT) / 2.0
    for x, y in (name.place, *name.others):
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
                leader = _leader((x, y), name.clear, middle, half)
                farther = _FARTHER * step + _FAR * step * step
                if name.held is not None and abs(math.remainder(way - name.held, 360.0)) < 50.0:
                    farther += _ALONG_ANOTHER
                yield Candidate(middle, (label, *leader), extra + 1.5 + farther)


def _leader(tip: Place, clear: float, middle: Place, half: float) -> tuple[Element, ...]:
    """A line from the place to the near end of the text, and on under the text."""
    first, under = leader_lines(Layer.DIMENSIONS, tip, middle, half)
    start = polar(tip, clear, heading(tip, first.end))
    dot = (Circle(Layer.DIMENSIONS, tip, 0.5, filled=True),) if clear < 0.6 else ()
    return (replace(first, start=start), under, *dot)


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
    """Springs by their middle, legs by their ends, loads at their arrow's tip, weights below."""
    design = posed.design
    for spring in design.springs:
        if isinstance(spring, TorsionSpring):
            place = view(place_of(design, spring.pivot))
            coil = coil_of(design, spring)
            yield Name(spring.name, place, view.scale * coil.outside / 2.0 + 0.5)
            for letter, (_, tip) in zip("AB", leg_lines(design, spring), strict=True):
                yield Name(f"leg {letter}", view(tip), view.scale * coil.wire / 2.0)
            continue
        a, b = (view(place_of(design, end)) for end in (spring.a, spring.b))
        middle, *others = (_between(a, b, share) for share in (0.5, 0.35, 0.65, 0.2, 0.8))
        yield Name(spring.name, middle, 0.5, others=tuple(others))
    for load in design.loads:
        if isinstance(load, Force):
            direction = math.degrees(math.atan2(load.y, load.x))
            size = with_unit(math.hypot(load.x, load.y), "force", units)
            tip = polar(view(place_of(design, load.point)), 12.0, direction)
            yield Name(f"{load.name} {size}", tip, 0.6, size, _LESS_TOLD)
    for weight in design.weights:
        down = design.gravity.direction
        place = polar(view(place_of(design, weight.point)), 9.0, down)
        said = f"{weight.name} {with_unit(weight.mass, 'mass', units)}"
        yield Name(said, place, 3.5, plain(weight.name), _LESS_TOLD, held=down + 180.0)


def _between(a: Place, b: Place, share: float) -> Place:
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


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
