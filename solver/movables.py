"""What the tuner may change in a design, and within which ranges."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from solver.errors import DesignProblem
from solver.model import Design, Spring
from solver.number_names import find_number
from solver.parts import find
from solver.ranges import RANGES


@dataclass(frozen=True, slots=True)
class PointBox:
    """A point may lie up to ±dx, ±dy (mm) from where it is."""

    point: str
    dx: float
    dy: float


@dataclass(frozen=True, slots=True)
class PointLine:
    """A point may lie up to ±length (mm) along a direction (degrees from +x)."""

    point: str
    direction: float
    length: float


@dataclass(frozen=True, slots=True)
class SpringNumber:
    """A number of a spring, such as "free_length", may be from low to high (document's unit)."""

    spring: str
    field: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SpringChoice:
    """A spring may be any of a list; each then has the name and the ends of the one it replaces."""

    spring: str
    springs: tuple[Spring, ...]


@dataclass(frozen=True, slots=True)
class StopRange:
    """A rest may be at any direction from low to high (degrees from +x)."""

    rest: Literal["A", "B"]
    low: float
    high: float


Movable = PointBox | PointLine | SpringNumber | SpringChoice | StopRange


def path_of(movable: SpringNumber | StopRange) -> str:
    """The path of the number that changes."""
    if isinstance(movable, StopRange):
        return f"stops.{rest_field(movable)}"
    return f"springs.{movable.spring}.{movable.field}"


def name_of_movable(design: Design, movable: Movable) -> str:
    """What may change, in words."""
    match movable:
        case PointBox() | PointLine():
            return movable.point
        case SpringChoice():
            return movable.spring
        case StopRange():
            return f"rest {movable.rest}"
        case SpringNumber():
            return find_number(design, path_of(movable)).label


def rest_field(movable: StopRange) -> str:
    """The field of the stops that changes."""
    return f"rest_{movable.rest.lower()}"


def bounds_of(movable: Movable) -> list[tuple[float, float]]:
    """Least and greatest value of each of its one or two dimensions."""
    match movable:
        case PointBox():
            return [(-movable.dx, movable.dx), (-movable.dy, movable.dy)]
        case PointLine():
            return [(-movable.length, movable.length)]
        case SpringChoice():
            return [(0.0, len(movable.springs) - 1.0)]
        case _:
            return [(movable.low, movable.high)]


def check_movable(design: Design, movable: Movable) -> None:
    """Refuse a part that is not there, and a range that is none."""
    match movable:
        case PointBox() | PointLine():
            find(design, "point", movable.point)
            subject = movable.point
        case SpringChoice():
            find(design, "spring", movable.spring)
            if not movable.springs:
                raise DesignProblem(
                    f"The list of springs for “{movable.spring}” is empty: add some.",
                    movable.spring,
                )
            return
        case SpringNumber():
            number = find_number(design, path_of(movable))
            allowed = RANGES[type(find(design, "spring", movable.spring))][movable.field]
            subject = number.label
            if not (allowed.holds(movable.low) and allowed.holds(movable.high)):
                raise DesignProblem(
                    f"The range for the {subject} must be {allowed.words()}.", movable.spring
                )
        case StopRange():
            subject = f"rest {movable.rest}"
    for low, high in bounds_of(movable):
        if not (math.isfinite(low) and math.isfinite(high) and low <= high):
            raise DesignProblem(
                f"The range for “{subject}” is none: its greatest value must be above its least.",
                subject,
            )


def refuse_twice(movables: Sequence[Movable]) -> None:
    """Refuse one thing listed twice, and a chosen spring whose numbers change as well."""
    taken: set[str] = set()
    chosen = {movable.spring for movable in movables if isinstance(movable, SpringChoice)}
    for movable in movables:
        match movable:
            case PointBox() | PointLine():
                what = f"point “{movable.point}”"
            case SpringChoice():
                what = f"spring “{movable.spring}”"
            case SpringNumber():
                if movable.spring in chosen:
                    raise DesignProblem(
                        f"Spring “{movable.spring}” comes from a list, so its numbers cannot "
                        "change as well: choose one of the two.",
                        movable.spring,
                    )
                what = f"the {movable.field.replace('_', ' ')} of “{movable.spring}”"
            case StopRange():
                what = f"rest {movable.rest}"
        if what in taken:
            raise DesignProblem(f"What may change lists {what} twice: keep one.")
        taken.add(what)
