"""Static checks: what keeps a design from being analysed and can be told without moving it.

Each problem is a sentence that names the part and says what to do. Whether the linkage can
move, and how far, and whether the readings that limits name exist, is not judged here.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from solver.errors import DesignProblem
from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    Slider,
    Spring,
    TorsionSpring,
)
from solver.own_tolerances import tolerance_problems
from solver.parts import FIELDS, Part, kind_of, name_fault, name_of, names, parts, references
from solver.plate_checks import plate_faults
from solver.ranges import faults
from solver.screws import screw_faults

SPOT = 1e-3
"""mm; points of one link that are closer lie on one spot."""
OFF_SLOT = 1e-2
"""mm; how far a slider's pin may lie beside its slot."""
LEAST_THROW = 0.05
"""Degrees between rest A and rest B."""

Problems = Iterator[DesignProblem]


def problems(design: Design) -> tuple[DesignProblem, ...]:
    """Everything that is wrong with a design, the most basic first; empty where nothing is."""
    return tuple(_problems(design))


def check(design: Design) -> None:
    """Raise the first of the design's problems."""
    for problem in _problems(design):
        raise problem


@dataclass(frozen=True, slots=True)
class _View:
    """A design with look-ups that answer for unknown names too."""

    design: Design
    places: Mapping[str, tuple[float, float]]
    carriers: Mapping[str, frozenset[str]]

    def apart(self, a: str, b: str) -> float:
        """Distance of two points; NaN, which is neither near nor far, if one is unknown."""
        if a not in self.places or b not in self.places:
            return math.nan
        return math.dist(self.places[a], self.places[b])

    def on(self, point: str) -> frozenset[str]:
        """The links that carry a point."""
        return self.carriers.get(point, frozenset())


def _problems(design: Design) -> Problems:
    carriers: dict[str, set[str]] = {}
    for link in design.links:
        for point in link.points:
            carriers.setdefault(point, set()).add(link.name)
    view = _View(
        design,
        {point.name: (point.x, point.y) for point in design.points},
        {point: frozenset(links) for point, links in carriers.items()},
    )
    for group in _GROUPS:
        yield from group(view)


def _names(view: _View) -> Problems:
    for kind in FIELDS:
        known: set[str] = set()
        for name in names(view.design, kind):
            if kind != "limit" and (fault := name_fault(name)):
                yield DesignProblem(f"The name of {kind} “{name[:20]}” {fault}: rename it.", name)
            if name in known:
                yield DesignProblem(_TWICE.get(kind, _RENAME).format(kind=kind, name=name), name)
            known.add(name)


_RENAME = "There is more than one {kind} “{name}”: rename or remove one."
_TWICE: Mapping[str, str] = {
    "pivot": "The pivot at “{name}” is described twice: keep one.",
    "limit": "Reading “{name}” has two limits: keep one.",
    "plate": "Link “{name}” has two plates: keep one.",
    "screw": "Two screws go through “{name}”: keep one.",
}


def _frame(view: _View) -> Problems:
    links = view.design.links
    if not links or links[0].name != FRAME:
        yield DesignProblem(f"The first link must be the frame and have the name “{FRAME}”.", FRAME)


def _references(view: _View) -> Problems:
    design = view.design
    known: dict[str, set[str]] = {kind: set(names(design, kind)) for kind in ("point", "link")}
    for each in FIELDS:
        for part in parts(design, each) if each != "limit" else ():
            for kind, name in references(part):
                if name not in known[kind]:
                    yield _about(part, f"needs a {kind} “{name}”, which there is not")
    if design.lever not in known["link"]:
        yield DesignProblem(f"The lever, link “{design.lever}”, is not there: choose a link.")
    if design.grip not in known["point"]:
        yield DesignProblem(f"The grip, point “{design.grip}”, is not there: choose a point.")
    for output in design.outputs:
        carried = [kind for kind, found in known.items() if output in found]
        if not carried:
            yield DesignProblem(f"Output “{output}” is neither a point nor a link.", output)
        elif len(carried) > 1:
            yield DesignProblem(
                f"Output “{output}” is the name of a point and of a link: rename one.", output
            )


def _numbers(view: _View) -> Problems:
    design = view.design
    for kind in FIELDS:
        for part in parts(design, kind):
            wrong = list(faults(part))
            if isinstance(part, CompressionSpring) and part.rod:
                wrong += (f"the guide rod's {fault}" for fault in faults(part.rod))
            for fault in wrong:
                name = name_of(part)
                yield DesignProblem(f"{kind.capitalize()} “{name}”: {fault}.", name)
    for fault in faults(design.stops):
        yield DesignProblem(f"Stops: {fault}.")
    for fault in faults(design.gravity):
        yield DesignProblem(f"Gravity: {fault}.")


def _links(view: _View) -> Problems:
    for link in view.design.links:
        least = 1 if link.name == FRAME else 2
        if len(set(link.points)) < least:
            yield _about(link, "has too few points: add one" + (" or remove it" * (least == 2)))
        for a, b in combinations(link.points, 2):
            if a == b:
                yield _about(link, f"lists point “{a}” twice")
            elif view.apart(a, b) < SPOT:
                yield _about(link, f"has “{a}” and “{b}” on one spot: pull them apart")
    for point in view.design.points:
        if not view.on(point.name):
            yield _about(point, "is on no link: put it on one or remove it")


def _lever(view: _View) -> Problems:
    design = view.design
    if design.lever == FRAME:
        yield DesignProblem("The frame cannot be the lever: choose a link that moves.", FRAME)
        return
    shared = [name for name in view.places if {FRAME, design.lever} <= view.on(name)]
    if len(shared) != 1:
        having = "shares none" if not shared else "shares " + " and ".join(f"“{s}”" for s in shared)
        yield DesignProblem(
            f"The lever “{design.lever}” must share exactly one point with the frame, its pivot; "
            f"it {having}.",
            design.lever,
        )
    if design.lever not in view.on(design.grip):
        yield DesignProblem(
            f"The grip “{design.grip}” is not on the lever: choose a point of “{design.lever}”.",
            design.grip,
        )
    elif design.grip in shared:
        yield DesignProblem(
            f"The grip “{design.grip}” is at the lever's pivot: choose another point.", design.grip
        )
    elif len(shared) == 1:
        yield from _stops(view, shared[0])


def _stops(view: _View, pivot: str) -> Problems:
    stops, places = view.design.stops, view.places
    throw = abs(stops.rest_b - stops.rest_a)
    if throw < LEAST_THROW:
        yield DesignProblem("Rest A and rest B are one direction: turn one stop away.")
    elif throw >= 360.0:
        yield DesignProblem("The throw from rest A to rest B must be less than a full turn.")
    elif throw > 180.0:
        (px, py), (gx, gy) = places[pivot], places[view.design.grip]
        drawn = math.degrees(math.atan2(gy - py, gx - px))
        if (drawn - min(stops.rest_a, stops.rest_b) + 1e-6) % 360.0 > throw + 2e-6:
            step = "add 360° to" if stops.rest_b < stops.rest_a else "take 360° off"
            yield DesignProblem(
                f"The throw goes the long way round ({throw:.1f}°), not past the lever as drawn: "
                f"{step} rest B."
            )


def _springs(view: _View) -> Problems:
    for spring in view.design.springs:
        for wrong in _spring(view, spring):
            yield _about(spring, wrong)


def _spring(view: _View, spring: Spring) -> Iterator[str]:
    if (
        spring.wire is not None
        and spring.outside_diameter is not None
        and not spring.outside_diameter > 2.0 * spring.wire
    ):
        yield "has no room inside its coils: its outside diameter must exceed twice its wire"
    match spring:
        case TorsionSpring():
            yield from _legs(view, spring)
        case CompressionSpring():
            yield from _anchors(view, spring)
            if not spring.solid_length + spring.least_gaps < spring.free_length:
                yield "is closed solid at its free length: its solid length must be less"
            if spring.rod and not spring.rod.closed < spring.rod.reach:
                yield "has a guide rod that is out before it is closed: its reach must be more"
        case ExtensionSpring():
            yield from _anchors(view, spring)
            if spring.longest is not None and not spring.longest > spring.free_length:
                yield "may not be stretched at all: its longest length must exceed its free length"


def _anchors(view: _View, spring: CompressionSpring | ExtensionSpring) -> Iterator[str]:
    a, b = spring.a, spring.b
    if a == b or view.apart(a, b) < SPOT:
        yield f"has both ends on one spot: pull “{a}” and “{b}” apart"
    elif common := view.on(a) & view.on(b):
        yield f"has both ends on link “{min(common)}”, so it does nothing: move one end"


def _legs(view: _View, spring: TorsionSpring) -> Iterator[str]:
    pivot = view.on(spring.pivot)
    legs = (spring.leg_a, spring.leg_b)
    for leg in legs:
        if leg == spring.pivot or view.apart(leg, spring.pivot) < SPOT:
            yield f"has its leg “{leg}” at its pivot: point it somewhere else"
            return
        if not view.on(leg) & pivot:
            yield f"has its leg “{leg}” on no link that turns about “{spring.pivot}”"
            return
    if common := view.on(legs[0]) & view.on(legs[1]) & pivot:
        yield f"has both legs on link “{min(common)}”, so it does nothing: move one leg"


def _sliders(view: _View) -> Problems:
    for slider in view.design.sliders:
        for wrong in _slider(view, slider):
            yield _about(slider, wrong)


def _slider(view: _View, slider: Slider) -> Iterator[str]:
    a, b = slider.along
    if slider.guide in view.on(slider.point):
        yield f"has its pin “{slider.point}” fixed on its own guide “{slider.guide}”"
    for end in slider.along:
        if slider.guide not in view.on(end):
            yield f"runs along “{end}”, which is not on its guide “{slider.guide}”"
    reach = view.apart(a, b)
    if a == b or reach < SPOT:
        yield f"has a slot without direction: pull “{a}” and “{b}” apart"
    elif reach >= SPOT and slider.point in view.places:
        (ax, ay), (bx, by), (x, y) = (view.places[p] for p in (a, b, slider.point))
        off = abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / reach
        if off > OFF_SLOT:
            yield f"has its pin “{slider.point}” {off:.2f} mm beside its slot: move it onto it"


def _limits(view: _View) -> Problems:
    for limit in view.design.limits:
        if limit.at_least is None and limit.at_most is None:
            yield _about(limit, "has neither a least nor a greatest value: set one")
        elif (
            limit.at_least is not None
            and limit.at_most is not None
            and limit.at_least > limit.at_most
        ):
            yield _about(limit, "has a least value above its greatest")


def _tolerances(view: _View) -> Problems:
    yield from tolerance_problems(view.design)


def _plates(view: _View) -> Problems:
    for plate in view.design.plates:
        for wrong in plate_faults(plate):
            yield _about(plate, wrong)


def _screws(view: _View) -> Problems:
    for screw in view.design.screws:
        for wrong in screw_faults(view.design, screw):
            yield _about(screw, wrong)


_GROUPS: tuple[Callable[[_View], Problems], ...] = (
    _names,
    _frame,
    _references,
    _numbers,
    _links,
    _lever,
    _springs,
    _sliders,
    _limits,
    _plates,
    _screws,
    _tolerances,
)


def _about(part: Part, wrong: str) -> DesignProblem:
    name = name_of(part)
    return DesignProblem(f"{kind_of(part).capitalize()} “{name}” {wrong}.", name)
