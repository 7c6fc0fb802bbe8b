"""The space that the tuner searches: places in it as designs, and as parameters of plans."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from solver.edit import move_points, replace_part, set_stops
from solver.errors import DesignProblem
from solver.model import CompressionSpring, Design, ExtensionSpring, Spring, TorsionSpring
from solver.movables import (
    Movable,
    PointBox,
    PointLine,
    SpringChoice,
    SpringNumber,
    StopRange,
    bounds_of,
    check_movable,
    name_of_movable,
    path_of,
    refuse_twice,
    rest_field,
)
from solver.moves import following, settle
from solver.number_names import find_number
from solver.parameters import numbers
from solver.parts import find
from solver.plan import Plan, compile_design
from solver.plate_model import PlateModel

Values = NDArray[np.float64]


_HARDLY = 0.005
"""Change of one thing, as a share of its range, that is not worth the work of it."""


_AT_END = 0.005
"""Share of a range within which a value is at its end."""


@dataclass(frozen=True, slots=True)
class Space:
    """All that may change, as a box of D dimensions.

    lows, highs: (D,), points as offsets in mm, springs of a list by their index, all else in the
    document's unit; whole: (D,) which take whole numbers only.
    """

    design: Design
    movables: tuple[Movable, ...]
    lows: Values
    highs: Values
    whole: NDArray[np.bool_]
    choices: tuple[tuple[Spring, ...], ...]

    @classmethod
    def of(cls, design: Design, movables: Sequence[Movable]) -> Space:
        """DesignProblem where nothing may move, a part is not there or a range is empty."""
        if not movables:
            raise DesignProblem("Choose something that may change: a point, a spring or a stop.")
        for movable in movables:
            check_movable(design, movable)
        refuse_twice(movables)
        bounds = [bound for movable in movables for bound in bounds_of(movable)]
        lows, highs = (np.array(side) for side in zip(*bounds, strict=True))
        return cls(
            design,
            tuple(movables),
            lows,
            highs,
            np.array([isinstance(m, SpringChoice) for m in movables for _ in bounds_of(m)]),
            tuple(
                tuple(_fitted(design, m.spring, spring) for spring in m.springs)
                for m in movables
                if isinstance(m, SpringChoice)
            ),
        )

    @property
    def present(self) -> Values:
        """The design as it is, (D,), as near as the ranges let it be."""
        result: Values = np.clip(self._origin(), self.lows, self.highs)
        return result

    @property
    def groups(self) -> NDArray[np.intp]:
        """Which movable each dimension belongs to, (D,)."""
        sizes = [len(bounds_of(movable)) for movable in self.movables]
        return np.repeat(np.arange(len(sizes)), sizes)

    def change(self, where: Values) -> Values:
        """How much places (S, D) change the design, (S,): the sum over what may change.

        A point counts with its way as a share of its reach, a number as a share of half its
        range, another spring of a list as 1. So one thing changed is less than several together.
        """
        result: Values = self._changes(where).sum(axis=1)
        return result

    def tidied(self, where: Values) -> Values:
        """The same places with what is hardly changed left as it is."""
        hardly = self._changes(where) < _HARDLY
        return np.where(hardly[:, self.groups], self.present, where)

    def _changes(self, where: Values) -> Values:
        """The same for each movable, (S, M)."""
        origin = self._origin()
        found = np.empty((len(where), len(self.movables)))
        at = 0
        for place, (movable, part) in enumerate(self.parts(where)):
            size = part.shape[1]
            off = np.linalg.norm(part - origin[at : at + size], axis=1)
            if isinstance(movable, SpringChoice):
                found[:, place] = np.rint(part[:, 0]) != origin[at]
            else:
                half = max((high - low) / 2.0 for low, high in bounds_of(movable))
                found[:, place] = off / half if half > 0.0 else 0.0
            at += size
        return found

    def _origin(self) -> Values:
        """The design as it is, (D,), whatever the ranges."""
        found: list[float] = []
        for movable in self.movables:
            match movable:
                case PointBox():
                    found += [0.0, 0.0]
                case PointLine():
                    found.append(0.0)
                case SpringNumber():
                    found.append(find_number(self.design, path_of(movable)).value or movable.low)
                case StopRange():
                    found.append(getattr(self.design.stops, rest_field(movable)))
                case SpringChoice():
                    mine = find(self.design, "spring", movable.spring)
                    found.append(float([*movable.springs, mine].index(mine)))
        return np.array(found)

    def design_at(self, where: Values) -> Design:
        """The design at one place (D,) of the box. DesignProblem where it cannot be."""
        design = self.design
        places: dict[str, complex] = {}
        choices = iter(self.choices)
        for movable, part in self.parts(where[None, :]):
            value = float(part[0, 0])
            match movable:
                case PointBox() | PointLine():
                    if part.any():
                        places[movable.point] = complex(self.places(movable, part)[0])
                case SpringNumber():
                    spring = find(design, "spring", movable.spring)
                    number = _plain(value)
                    changed = replace(spring, **{movable.field: number})  # type: ignore[arg-type]
                    design = replace_part(design, changed)
                case SpringChoice():
                    design = replace_part(design, next(choices)[round(value)])
                case StopRange():
                    design = set_stops(design, **{rest_field(movable): _plain(value)})
        if not places:
            return design
        moved = {name: (_plain(place.real), _plain(place.imag)) for name, place in places.items()}
        return move_points(design, moved)

    def at_ends(self, place: Values) -> tuple[str, ...]:
        """The names of what a place (D,) has at an end of its range; lists of springs have none."""
        reach = self.highs - self.lows
        near = np.minimum(place - self.lows, self.highs - place) <= _AT_END * reach
        ended = (near & (reach > 0.0) & ~self.whole).astype(np.float64)
        return tuple(
            name_of_movable(self.design, movable)
            for movable, part in self.parts(ended[None, :])
            if part.any()
        )

    def parts(self, where: Values) -> Iterator[tuple[Movable, Values]]:
        """Each movable with its columns (S, 1 or 2) of places (S, D)."""
        at = 0
        for movable in self.movables:
            size = len(bounds_of(movable))
            yield movable, where[:, at : at + size]
            at += size

    def places(self, movable: PointBox | PointLine, part: Values) -> NDArray[np.complex128]:
        """Where a point comes to lie, x + iy, (S,)."""
        point = self.design.point(movable.point)
        if isinstance(movable, PointBox):
            shift = part[:, 0] + 1j * part[:, 1]
        else:
            shift = part[:, 0] * cmath.exp(1j * math.radians(movable.direction))
        return np.asarray(complex(point.x, point.y) + shift, dtype=np.complex128)

    def reaches(self) -> dict[str, float]:
        """How far (mm) each point may move, slots' pins included."""
        found: dict[str, float] = {}
        for movable in self.movables:
            if isinstance(movable, PointBox | PointLine):
                far = max(high for _, high in bounds_of(movable))
                for name in following(self.design, [movable.point]):
                    found[name] = found.get(name, 0.0) + far
        return found


@dataclass(frozen=True, slots=True)
class Batches:
    """Turns places in a space into parameters of the plans they need.

    Springs of a list may differ in kind, and a kind has a plan of its own; `plans` and `numbers`
    are by which kinds and which springs are chosen.
    """

    space: Space
    plans: dict[tuple[object, ...], Plan]
    numbers: tuple[tuple[dict[str, float], ...], ...]
    plates: dict[tuple[object, ...], PlateModel]

    @classmethod
    def of(cls, space: Space, about: Values, share: float) -> Batches:
        """With the weights of plates true near a place (D,), up to a share of the ranges off it.

        DesignProblem for a design that cannot be solved whichever spring is chosen.
        """
        plans: dict[tuple[object, ...], Plan] = {}
        for chosen in product(*space.choices):
            kinds = tuple(_kind(spring) for spring in chosen)
            if kinds not in plans:
                plans[kinds] = compile_design(_with_springs(space.design, chosen))
        numbers = tuple(
            tuple(_numbers_of(space.design, spring) for spring in springs)
            for springs in space.choices
        )
        middle = space.design_at(about)
        far = {name: share * reach for name, reach in space.reaches().items()}
        plates = {kinds: PlateModel.of(plan, middle, far) for kinds, plan in plans.items()}
        return cls(space, plans, numbers, plates)

    def split(self, where: Values) -> Iterator[tuple[NDArray[np.intp], Plan, Values]]:
        """(rows, plan, parameters (R, P)) for places (S, D), by the kinds of springs chosen."""
        chosen = np.rint(where[:, self.space.whole]).astype(np.intp)
        kinds = [
            tuple(_kind(springs[at]) for springs, at in zip(self.space.choices, row, strict=True))
            for row in chosen
        ]
        for kind, plan in self.plans.items():
            rows = np.array([at for at, mine in enumerate(kinds) if mine == kind], dtype=np.intp)
            if rows.size:
                parameters = self._parameters(plan, where[rows], chosen[rows])
                self.plates[kind].carry(parameters)
                yield rows, plan, parameters

    def _parameters(self, plan: Plan, where: Values, chosen: NDArray[np.intp]) -> Values:
        first = [springs[at] for springs, at in zip(self.space.choices, chosen[0], strict=True)]
        nominal = plan.parameters(_with_springs(self.space.design, first))
        found = np.repeat(nominal[None, :], len(where), axis=0)
        moved = []
        choice = 0
        for movable, part in self.space.parts(where):
            match movable:
                case PointBox() | PointLine():
                    at = plan.column(f"points.{movable.point}.x")
                    places = self.space.places(movable, part)
                    found[:, at], found[:, at + 1] = places.real, places.imag
                    moved.append(movable.point)
                case SpringNumber() | StopRange():
                    path = path_of(movable)
                    size = find_number(self.space.design, path).per_unit
                    found[:, plan.column(path)] = part[:, 0] * size
                case SpringChoice():
                    for row, at in enumerate(chosen[:, choice]):
                        for path, value in self.numbers[choice][at].items():
                            found[row, plan.column(path)] = value
                    choice += 1
        settle(plan, found, moved)
        return found


def _plain(number: float) -> float:
    """Without the binary leftovers of a sum: 150.1 rather than 150.10000000000002."""
    return float(f"{number:.14g}")


def _kind(spring: Spring) -> tuple[object, ...]:
    """What makes two springs need two plans."""
    match spring:
        case CompressionSpring():
            return CompressionSpring, spring.captive, spring.rod is None
        case TorsionSpring():
            return TorsionSpring, spring.acts
        case _:
            return (ExtensionSpring,)


def _numbers_of(design: Design, spring: Spring) -> dict[str, float]:
    """A spring's numbers as the parameter vector holds them."""
    prefix = f"springs.{spring.name}."
    with_it = numbers(replace_part(design, spring), ())
    return {path: value for path, value in with_it if path.startswith(prefix)}


def _with_springs(design: Design, chosen: Sequence[Spring]) -> Design:
    for spring in chosen:
        design = replace_part(design, spring)
    return design


def _fitted(design: Design, name: str, spring: Spring) -> Spring:
    """A spring of a list with the name and the ends of the one that it replaces."""
    mine = find(design, "spring", name)
    if isinstance(mine, TorsionSpring) and isinstance(spring, TorsionSpring):
        return replace(spring, name=name, pivot=mine.pivot, leg_a=mine.leg_a, leg_b=mine.leg_b)
    if isinstance(mine, CompressionSpring | ExtensionSpring) and not isinstance(
        spring, TorsionSpring
    ):
        return replace(spring, name=name, a=mine.a, b=mine.b)
    raise DesignProblem(
        f"Spring “{spring.name}” cannot take the place of “{name}”: one is a torsion spring.", name
    )
