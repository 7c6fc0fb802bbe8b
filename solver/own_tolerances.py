"""What tolerances may be: their numbers, what own ones may name, and keeping that through edits.

`points.<point>` stands for the holes of all links at a point and `holes.<link>.<point>` for that
of one link; every other number goes by its path in the parameter vector.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from solver.errors import DesignProblem
from solver.model import Design
from solver.parameters import numbers
from solver.ranges import faults


def tolerable(design: Design) -> Iterator[str]:
    """Every number that an own tolerance may name; any point may have a pin's numbers."""
    for point in design.points:
        yield f"points.{point.name}"
    for link in design.links:
        for name in link.points:
            yield f"holes.{link.name}.{name}"
    # What plates weigh follows from their shape, which need not even be one yet.
    plain = replace(design, plates=())
    for path, _ in numbers(plain, tuple(point.name for point in design.points)):
        if not path.startswith("points."):
            yield path


def tolerance_problems(design: Design) -> Iterator[DesignProblem]:
    """What is wrong with a design's tolerances."""
    given = design.tolerances
    for fault in faults(given):
        yield DesignProblem(f"Tolerances: {fault}.")
    if given.friction_least > given.friction_most:
        yield DesignProblem("Tolerances: the least friction is above the most: exchange them.")
    known = set(tolerable(design)) if given.own else set()
    named: set[str] = set()
    for own in given.own:
        name = own.number
        for fault in faults(own):
            yield DesignProblem(f"Own tolerance of “{name}”: {fault}.", name)
        if name not in known:
            yield DesignProblem(
                f"There is an own tolerance for “{name}”, a number that this design does not "
                "have: remove it.",
                name,
            )
        if name in named:
            yield DesignProblem(f"“{name}” has two own tolerances: keep one.", name)
        named.add(name)


def own_renamed(before: Design, after: Design) -> Design:
    """`after`, which differs from `before` by a part's name alone, with own tolerances to match."""
    if not after.tolerances.own:
        return after
    names = dict(zip(tolerable(before), tolerable(after), strict=True))
    own = (
        replace(each, number=names.get(each.number, each.number)) for each in after.tolerances.own
    )
    return replace(after, tolerances=replace(after.tolerances, own=tuple(own)))


def own_kept(design: Design) -> Design:
    """The design without the own tolerances of numbers that it no longer has."""
    own = design.tolerances.own
    if not own:
        return design
    known = set(tolerable(design))
    left = tuple(each for each in own if each.number in known)
    if len(left) == len(own):
        return design
    return replace(design, tolerances=replace(design.tolerances, own=left))
