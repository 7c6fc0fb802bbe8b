"""Edits: pure functions from a design to the design after the edit.

What cannot be done raises DesignProblem with a sentence; the given design never changes.
Coordinates and lengths in mm, angles in degrees from +x, of the drawn pose.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Literal

from solver.errors import DesignProblem
from solver.model import (
    FRAME,
    Design,
    Limit,
    Link,
    OwnTolerance,
    Pivot,
    Plate,
    Point,
    Screw,
    Slider,
    Stops,
    Tolerances,
)
from solver.own_tolerances import own_kept, own_renamed, tolerance_problems
from solver.parts import (
    FIELDS,
    Kind,
    Part,
    find,
    kind_of,
    name_fault,
    name_of,
    names,
    parts,
    references,
    swapped,
    with_parts,
)
from solver.plate_checks import plate_faults
from solver.rewire import Named, doomed, entries_apart, renamed_everywhere, without
from solver.screws import screw_faults

Place = tuple[float, float]


# ---- reading the drawing ---------------------------------------------------------------


def distance(design: Design, a: str, b: str) -> float:
    """Distance between two points, mm."""
    return math.dist(_place(design, a), _place(design, b))


def unique_name(design: Design, base: str) -> str:
    """A name that no part has: `base` itself, or `base` with the next free number.

    Free among all kinds of parts, so that a message naming the part leaves no doubt.
    """
    taken = {name for kind in FIELDS for name in names(design, kind)}
    stem = base.strip() or "part"
    if stem not in taken:
        return stem
    head, _, tail = stem.rpartition(" ")
    stem = head if head and tail.isdecimal() else stem
    number = 2
    while f"{stem} {number}" in taken:
        number += 1
    return f"{stem} {number}"


# ---- places ----------------------------------------------------------------------------


def move_point(design: Design, name: str, x: float, y: float) -> Design:
    """Put a point at (x, y); a slider's pin at the nearest place on its line."""
    return move_points(design, {name: (x, y)})


def move_points(design: Design, places: Mapping[str, Place]) -> Design:
    """Put several points in one go; pins follow a slot whose ends move."""
    for name, place in places.items():
        find(design, "point", name)
        if not all(map(math.isfinite, place)):
            raise DesignProblem(f"Point “{name}” needs two finite coordinates.", name)
    return _settled(_placed(design, places), set(places))


def set_length(design: Design, a: str, b: str, length: float) -> Design:
    """Give the distance from a to b a new value by moving b straight away from or to a."""
    present = distance(design, a, b)
    if not (math.isfinite(length) and length > 0.0):
        raise DesignProblem(f"The distance from “{a}” to “{b}” must be above 0.", b)
    if present == 0.0:
        raise DesignProblem(f"Pull “{b}” off “{a}” first: they lie on one spot.", b)
    (ax, ay), (bx, by) = _place(design, a), _place(design, b)
    share = length / present
    return move_point(design, b, ax + (bx - ax) * share, ay + (by - ay) * share)


def set_direction(design: Design, a: str, b: str, degrees: float) -> Design:
    """Give the direction from a to b a new value by moving b around a."""
    if not math.isfinite(degrees):
        raise DesignProblem(f"The direction from “{a}” to “{b}” must be a finite number.", b)
    ax, ay = _place(design, a)
    reach, angle = distance(design, a, b), math.radians(degrees)
    return move_point(design, b, ax + reach * math.cos(angle), ay + reach * math.sin(angle))


# ---- points and links ------------------------------------------------------------------


def add_point(design: Design, x: float, y: float, link: str, name: str | None = None) -> Design:
    """Add a point to a link; it is the last of `points` and has a free name if none is given."""
    owner = _link(design, link)
    name = _free(design, "point", name or unique_name(design, "point"))
    added = replace(design, points=(*design.points, Point(name, x, y)))
    added = swapped(added, owner, replace(owner, points=(*owner.points, name)))
    return move_point(added, name, x, y)


def attach(design: Design, point: str, link: str) -> Design:
    """Fix a point to one more link; shared by two links it is their pivot."""
    find(design, "point", point)
    owner = _link(design, link)
    if point in owner.points:
        raise DesignProblem(f"Point “{point}” is on link “{link}” already.", point)
    for slider in design.sliders:
        if (slider.point, slider.guide) == (point, link):
            raise DesignProblem(
                f"Point “{point}” slides on link “{link}”: remove slider “{slider.name}” first.",
                point,
            )
    changed = swapped(design, owner, replace(owner, points=(*owner.points, point)))
    return _lever_kept(design, changed, f"With “{point}” on link “{link}”")


def detach(design: Design, point: str, link: str) -> Design:
    """Take a point off a link; it stays on the others that carry it."""
    owner = _link(design, link)
    _carried(design, link, point)
    if len(design.links_at(point)) == 1:
        raise DesignProblem(
            f"Point “{point}” is on link “{link}” alone: remove it, or put it on another first.",
            point,
        )
    if len(owner.points) <= (1 if link == FRAME else 2):
        raise DesignProblem(f"Link “{link}” needs its point “{point}”: remove the link.", link)
    if (link, point) == (design.lever, design.grip):
        raise DesignProblem(f"“{point}” is the grip: choose another grip first.", point)
    for slider in design.sliders:
        if slider.guide == link and point in slider.along:
            raise DesignProblem(f"Slider “{slider.name}” runs along “{point}”.", slider.name)
    rest = tuple(name for name in owner.points if name != point)
    changed = own_kept(swapped(design, owner, replace(owner, points=rest)))
    return _lever_kept(design, changed, f"With “{point}” off link “{link}”")


def join(design: Design, keep: str, drop: str) -> Design:
    """Make one pivot of two points: `drop` goes, all that hung on it hangs on `keep`."""
    find(design, "point", keep)
    find(design, "point", drop)
    if keep == drop:
        raise DesignProblem(f"Choose another point to join with “{keep}”.", keep)
    points = tuple(point for point in design.points if point.name != drop)
    single = entries_apart(replace(design, points=points), keep, drop)
    joined = renamed_everywhere(single, "point", drop, keep)
    # A link that had both points has one corner less; with only those two it would be a dot.
    slim = (
        replace(link, points=tuple(dict.fromkeys(link.points)))
        if link.name == FRAME or len(set(link.points)) > 1
        else link
        for link in joined.links
    )
    joined = replace(joined, links=tuple(slim))
    for kind in FIELDS:
        for part in parts(joined, kind):
            _refuse_doubled(joined, part, keep, drop)
    settled = _settled(own_kept(joined), {keep})
    return _lever_kept(design, settled, f"With “{keep}” and “{drop}” in one")


def add_link(design: Design, points: Iterable[str], name: str | None = None) -> Design:
    """Add a link through points that exist; it is the last of `links`."""
    chosen = tuple(dict.fromkeys(points))
    for point in chosen:
        find(design, "point", point)
    if len(chosen) < 2:
        raise DesignProblem("A link needs two points or more.")
    name = _free(design, "link", name or unique_name(design, "link"))
    return replace(design, links=(*design.links, Link(name, chosen)))


def set_lever(design: Design, link: str, grip: str) -> Design:
    """Make a link the lever, with its grip."""
    changed = replace(design, lever=link, grip=grip)
    _carried(design, link, grip)
    if link == FRAME:
        raise DesignProblem("The frame does not move: choose another link as the lever.", link)
    pivot = _pivot_of_lever(changed)
    if pivot is None:
        raise DesignProblem(
            f"Link “{link}” must share exactly one point with the frame to be the lever.", link
        )
    if pivot == grip:
        raise DesignProblem(f"“{grip}” is the lever's pivot: choose another grip.", grip)
    return changed


# ---- parts -----------------------------------------------------------------------------


def add_part(design: Design, part: Part) -> Design:
    """Add a slider, spring, pivot entry, weight, load …; a name that is taken gets a number.

    The part is the last of its kind. A slider's pin is put on its line.
    """
    kind = kind_of(part)
    if not isinstance(part, Pivot | Limit | Plate | Screw) and (
        _taken(design, kind, part.name) or not part.name.strip()
    ):
        part = replace(part, name=unique_name(design, part.name or kind))
    _free(design, kind, name_of(part))
    changed = with_parts(design, kind, (*parts(design, kind), part))
    return _checked(changed, part)


def replace_part(design: Design, part: Part) -> Design:
    """Put a part in the place of the one of its kind and name.

    A pivot, plate or screw may be new.
    """
    kind = kind_of(part)
    if isinstance(part, Pivot | Plate | Screw) and name_of(part) not in names(design, kind):
        return add_part(design, part)
    changed = swapped(design, find(design, kind, name_of(part)), part)
    return _checked(own_kept(changed), part)


def rename(design: Design, kind: Kind, old: str, new: str) -> Design:
    """Give a part another name, everywhere that it is referred to."""
    new = new.strip()
    part = find(design, kind, old)
    if isinstance(part, Pivot | Limit | Plate | Screw):
        raise DesignProblem(f"A {kind} has no name of its own.", old)
    if new == old:
        return design
    if (kind, old) == ("link", FRAME):
        raise DesignProblem("The frame keeps its name.", FRAME)
    _free(design, kind, new)
    after = renamed_everywhere(swapped(design, part, replace(part, name=new)), kind, old, new)
    return own_renamed(design, after)


def remove(design: Design, kind: Kind | Literal["output"], name: str) -> Design:
    """Remove a part and all that cannot be without it.

    With a point go the springs, weights, loads and sliders on it and links of which less than
    two points are left; with a link go the points that only it had. The lever, its pivot and
    its grip are refused, and so is the frame.
    """
    if kind == "output":
        return replace(design, outputs=tuple(output for output in design.outputs if output != name))
    find(design, kind, name)
    gone = doomed(design, kind, name)
    _refuse_lever(design, gone, name)
    return without(design, gone)


def mark_output(design: Design, name: str) -> Design:
    """Have the travel of a point or the turning of a link read; `remove` takes it back."""
    if name not in {*names(design, "point"), *names(design, "link")}:
        raise DesignProblem(f"There is no point or link “{name}” in this sketch.", name)
    if name in design.outputs:
        return design
    return replace(design, outputs=(*design.outputs, name))


# ---- plates and screws -----------------------------------------------------------------


def set_plate(design: Design, plate: Plate) -> Design:
    """Say what a link is cut from, in place of what was said before."""
    changed = replace_part(design, plate)
    for wrong in plate_faults(plate):
        raise DesignProblem(f"Plate “{plate.link}” {wrong}.", plate.link)
    return changed


def drop_plate(design: Design, link: str) -> Design:
    """Leave open again what a link is cut from: it is drawn, but weighs nothing."""
    return remove(design, "plate", link)


def set_screw(design: Design, screw: Screw) -> Design:
    """Put a screw through a point, in place of the one there; refused where a pin stands."""
    changed = replace_part(design, screw)
    for wrong in screw_faults(changed, screw):
        raise DesignProblem(f"A screw through “{screw.point}” {wrong}.", screw.point)
    return changed


def drop_screw(design: Design, point: str) -> Design:
    """Take the screw out of a point, which stays."""
    return remove(design, "screw", point)


# ---- stops and limits ------------------------------------------------------------------


def set_stops(design: Design, rest_a: float | None = None, rest_b: float | None = None) -> Design:
    """Set one rest or both, degrees from +x; the throw is the way between the two numbers."""
    stops = design.stops
    stops = Stops(
        stops.rest_a if rest_a is None else rest_a, stops.rest_b if rest_b is None else rest_b
    )
    throw = abs(stops.rest_b - stops.rest_a)
    if not throw < 360.0:  # also where one is not a number
        raise DesignProblem("The throw from rest A to rest B must be less than a full turn.")
    if throw == 0.0:
        raise DesignProblem("Rest A and rest B are one direction: the lever could not be thrown.")
    return replace(design, stops=stops)


def set_limit(
    design: Design, reading: str, at_least: float | None = None, at_most: float | None = None
) -> Design:
    """Bound a reading, in its base unit; replaces the bounds it had."""
    if at_least is None and at_most is None:
        raise DesignProblem("A limit needs a least or a greatest value.", reading)
    if at_least is not None and at_most is not None and at_least > at_most:
        raise DesignProblem("The least value of a limit is above its greatest.", reading)
    limit = Limit(reading, at_least, at_most)
    if reading in names(design, "limit"):
        return replace_part(design, limit)
    return add_part(design, limit)


# ---- tolerances ------------------------------------------------------------------------


def set_tolerances(design: Design, tolerances: Tolerances) -> Design:
    """Say what copies may be off by; the own tolerances in it replace those there were."""
    changed = replace(design, tolerances=tolerances)
    for problem in tolerance_problems(changed):
        raise problem
    return changed


def set_own_tolerance(design: Design, number: str, plus_minus: float) -> Design:
    """Give one number a tolerance of its own, ± in the document's unit, or another one."""
    given = OwnTolerance(number, plus_minus)
    own = design.tolerances.own
    if any(each.number == number for each in own):
        own = tuple(given if each.number == number else each for each in own)
    else:
        own = (*own, given)
    return set_tolerances(design, replace(design.tolerances, own=own))


def drop_own_tolerance(design: Design, number: str) -> Design:
    """Let the general tolerance hold for a number again."""
    own = tuple(each for each in design.tolerances.own if each.number != number)
    return replace(design, tolerances=replace(design.tolerances, own=own))


# ---- helpers ---------------------------------------------------------------------------


def _place(design: Design, name: str) -> Place:
    point = find(design, "point", name)
    assert isinstance(point, Point)
    return point.x, point.y


def _link(design: Design, name: str) -> Link:
    link = find(design, "link", name)
    assert isinstance(link, Link)
    return link


def _carried(design: Design, link: str, *points: str) -> None:
    for point in points:
        find(design, "point", point)
        if point not in _link(design, link).points:
            raise DesignProblem(f"Point “{point}” is not on link “{link}”.", point)


def _free(design: Design, kind: Kind, name: str) -> str:
    if fault := name_fault(name):
        raise DesignProblem(f"The name “{name[:20]}” {fault}.", name)
    if rival := _taken(design, kind, name):
        raise DesignProblem(f"There is a {rival} “{name}” already: choose another name.", name)
    return name


def _taken(design: Design, kind: Kind, name: str) -> Kind | None:
    """The kind of the part that stands in the way of a name."""
    # An output is named without its kind, so points and links keep out of each other's names.
    rivals: tuple[Kind, ...] = ("point", "link") if kind in ("point", "link") else (kind,)
    return next((rival for rival in rivals if name in names(design, rival)), None)


def _placed(design: Design, places: Mapping[str, Place]) -> Design:
    return replace(
        design,
        points=tuple(
            Point(point.name, *places[point.name]) if point.name in places else point
            for point in design.points
        ),
    )


def _settled(design: Design, moved: set[str]) -> Design:
    """The pins of sliders concerned put back on their lines.

    A pin may be the end of another slot, so that moving it calls for another round.
    """
    for _ in design.sliders:
        if moved.isdisjoint(
            name for slider in design.sliders for name in (slider.point, *slider.along)
        ):
            break
        before = design
        for slider in design.sliders:
            if not moved.isdisjoint((slider.point, *slider.along)):
                design = _on_line(design, slider)
        moved = {
            new.name
            for new, old in zip(design.points, before.points, strict=True)
            if new is not old
        }
    return design


def _on_line(design: Design, slider: Slider) -> Design:
    (ax, ay), (bx, by) = (_place(design, name) for name in slider.along)
    x, y = _place(design, slider.point)
    reach = math.hypot(bx - ax, by - ay)
    if reach == 0.0:
        raise DesignProblem(
            f"The slot of slider “{slider.name}” has no direction: pull “{slider.along[0]}” and "
            f"“{slider.along[1]}” apart.",
            slider.name,
        )
    ux, uy = (bx - ax) / reach, (by - ay) / reach
    off = (y - ay) * ux - (x - ax) * uy
    if abs(off) <= 1e-12 * max(reach, 1.0):
        return design
    return _placed(design, {slider.point: (x + off * uy, y - off * ux)})


def _checked(design: Design, part: Part) -> Design:
    """The design with a new part in it, its pin on its line; refuses references to nothing.

    Whether the reading of a limit exists is for the analysis to say.
    """
    if isinstance(part, Limit):
        return design
    for kind, name in references(part):
        find(design, kind, name)
    if isinstance(part, Point):
        return _settled(design, {part.name})
    if isinstance(part, Slider):
        _refuse_own_guide(design, part)
        _carried(design, part.guide, *part.along)
        return _settled(design, {part.point})
    return design


def _refuse_own_guide(design: Design, slider: Slider) -> None:
    if slider.point in _link(design, slider.guide).points:
        raise DesignProblem(
            f"Point “{slider.point}” is fixed on link “{slider.guide}”, so it cannot slide on it.",
            slider.name,
        )


def _refuse_doubled(design: Design, part: Part, keep: str, drop: str) -> None:
    """Refuse a join that would make two ends of one part the same point."""
    used = [name for kind, name in references(part) if kind == "point"]
    if len(used) > len(set(used)):
        raise DesignProblem(
            f"“{keep}” and “{drop}” cannot be one point: {kind_of(part)} “{name_of(part)}” "
            "needs both of them.",
            name_of(part),
        )
    if isinstance(part, Slider):
        _refuse_own_guide(design, part)


def _pivot_of_lever(design: Design) -> str | None:
    try:
        return design.lever_pivot()
    except KeyError:
        return None


def _lever_kept(before: Design, after: Design, because: str) -> Design:
    """The design after an edit, refused if that took the lever off its pivot."""
    pivot = _pivot_of_lever(after)
    if _pivot_of_lever(before) is not None and (pivot is None or pivot == after.grip):
        raise DesignProblem(
            f"{because} the lever would not turn: it must share exactly one point with the frame, "
            "and that is not its grip.",
            before.lever,
        )
    return after


def _refuse_lever(design: Design, gone: set[Named], name: str) -> None:
    """Refuse a removal that would take the frame, the lever, its pivot or its grip."""
    kept: list[tuple[Kind, str | None, str]] = [
        ("link", FRAME, "the frame, which the linkage stands on"),
        ("link", design.lever, "the lever: make another link the lever first"),
        ("point", _pivot_of_lever(design), "the lever's pivot: move it, or join it with another"),
        ("point", design.grip, "the grip: choose another grip first"),
    ]
    for kind, needed, what in kept:
        if needed is not None and (kind, needed) in gone:
            raise DesignProblem(f"“{needed}” is {what}.", name)
