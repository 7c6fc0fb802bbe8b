"""From a design to the ordered closed-form steps that solve it.

`compile_design` finds the steps and the freedom once; `Plan.parameters` then turns any design
of the same make-up into a vector for `solver.motion.evaluate`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from solver.checks import check
from solver.mobility import freedom_problem
from solver.model import Design
from solver.order import order_steps
from solver.parameters import numbers
from solver.steps import Step


@dataclass(frozen=True, slots=True)
class Plan:
    """The topology of a design, solved for order.

    `design` is the one that was compiled (only its topology matters here), `steps` place every
    link but frame and lever, `joints` are the points that hold a pin, `columns` gives each
    parameter's place in the vector, `carrier` the link (index) that a point moves with, `holes`
    the first of the two columns with the offset of a (point, link)'s hole (empty without them).
    """

    design: Design
    steps: tuple[Step, ...]
    joints: tuple[str, ...]
    columns: dict[str, int]
    points: dict[str, int]
    links: dict[str, int]
    carrier: tuple[int, ...]
    lever: int
    pivot: int
    grip: int
    xs: NDArray[np.intp] = field(repr=False)
    holes: dict[tuple[int, int], int] = field(repr=False)

    def parameters(self, design: Design) -> NDArray[np.float64]:
        """The vector (P,) of a design with the same parts as the compiled one.

        Raises ValueError where the parts differ.
        """
        named = list(numbers(design, self.joints, bool(self.holes)))
        if [name for name, _ in named] != list(self.columns):
            raise ValueError("the design has other parts than the one that was compiled")
        return np.array([value for _, value in named])

    def column(self, name: str) -> int:
        """Index of a parameter such as `points.grip.x`; KeyError where there is none."""
        return self.columns[name]


def compile_design(design: Design, holes: bool = False) -> Plan:
    """Order the closed-form steps that place every link from the lever's direction.

    With `holes`, the parameters also hold the offset of each link's own hole from the point
    (see `solver.parameters.numbers`), for studies of drilling errors.

    Raises DesignProblem, with a sentence that names the parts, for a design that fails the
    static checks, has not exactly one degree of freedom, or holds links that can only be
    solved together (a group larger than a dyad).
    """
    check(design)
    # A drag compiles the same parts at other places again and again.
    return replace(_ordered(_MakeUp.of(design), holes), design=design)


@dataclass(frozen=True, slots=True)
class _MakeUp:
    """What the order of the steps depends on: the parts and how they hang together, no places."""

    parts: tuple[object, ...]
    design: Design = field(compare=False)

    @classmethod
    def of(cls, design: Design) -> _MakeUp:
        names = tuple(point.name for point in design.points)
        plated = tuple(plate.link for plate in design.plates)
        members = (design.links, design.sliders, design.springs, design.weights, design.loads)
        return cls((names, plated, design.lever, design.grip, *members), design)


@lru_cache(maxsize=32)
def _ordered(make_up: _MakeUp, holes: bool) -> Plan:
    design = make_up.design
    problem = freedom_problem(design)
    if problem:
        raise problem
    points = {point.name: i for i, point in enumerate(design.points)}
    links = {link.name: i for i, link in enumerate(design.links)}
    sliding = {slider.point for slider in design.sliders}
    joints = tuple(n for n in points if len(design.links_at(n)) > 1 or n in sliding)
    names = [name for name, _ in numbers(design, joints, holes)]
    columns = {name: i for i, name in enumerate(names)}
    return Plan(
        design=design,
        steps=order_steps(design, points, links),
        joints=joints,
        columns=columns,
        points=points,
        links=links,
        carrier=tuple(links[design.links_at(name)[0]] for name in points),
        lever=links[design.lever],
        pivot=points[design.lever_pivot()],
        grip=points[design.grip],
        xs=np.array([columns[f"points.{name}.x"] for name in points], dtype=np.intp),
        holes=_hole_columns(design, columns, points, links) if holes else {},
    )


def _hole_columns(
    design: Design, columns: dict[str, int], points: dict[str, int], links: dict[str, int]
) -> dict[tuple[int, int], int]:
    return {
        (points[name], links[link.name]): columns[f"holes.{link.name}.{name}.x"]
        for link in design.links
        for name in link.points
    }
