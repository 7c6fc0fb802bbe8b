"""From a design to the ordered closed-form steps that solve it.

`compile_design` finds the steps and the freedom once; `Plan.parameters` then turns any design
of the same make-up into a vector for `solver.motion.evaluate`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from solver.checks import check
from solver.errors import DesignProblem
from solver.mobility import freedom_problem
from solver.model import Design, Slider
from solver.parameters import numbers
from solver.steps import PinInSlot, PinPinPin, SlotOnPin, Step


@dataclass(frozen=True, slots=True)
class Plan:
    """The topology of a design, solved for order.

    `design` is the one that was compiled (only its topology matters here), `steps` place every
    link but frame and lever, `joints` are the points that hold a pin, `columns` gives each
    parameter's place in the vector, `carrier` the link (index) that a point moves with.
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

    def parameters(self, design: Design) -> NDArray[np.float64]:
        """The vector (P,) of a design with the same parts as the compiled one.

        Raises ValueError where the parts differ.
        """
        named = list(numbers(design, self.joints))
        if [name for name, _ in named] != list(self.columns):
            raise ValueError("the design has other parts than the one that was compiled")
        return np.array([value for _, value in named])

    def column(self, name: str) -> int:
        """Index of a parameter such as `points.grip.x`; KeyError where there is none."""
        return self.columns[name]


def compile_design(design: Design) -> Plan:
    """Order the closed-form steps that place every link from the lever's direction.

    Raises DesignProblem, with a sentence that names the parts, for a design that fails the
    static checks, has not exactly one degree of freedom, or holds links that can only be
    solved together (a group larger than a dyad).
    """
    check(design)
    problem = freedom_problem(design)
    if problem:
        raise problem
    points = {point.name: i for i, point in enumerate(design.points)}
    links = {link.name: i for i, link in enumerate(design.links)}
    sliding = {slider.point for slider in design.sliders}
    joints = tuple(n for n in points if len(design.links_at(n)) > 1 or n in sliding)
    names = [name for name, _ in numbers(design, joints)]
    columns = {name: i for i, name in enumerate(names)}
    return Plan(
        design=design,
        steps=_Orderer(design, points, links).steps(),
        joints=joints,
        columns=columns,
        points=points,
        links=links,
        carrier=tuple(links[design.links_at(name)[0]] for name in points),
        lever=links[design.lever],
        pivot=points[design.lever_pivot()],
        grip=points[design.grip],
        xs=np.array([columns[f"points.{name}.x"] for name in points], dtype=np.intp),
    )


class _Orderer:
    """Finds, again and again, a link or a pair of links that the placed ones determine."""

    def __init__(self, design: Design, points: dict[str, int], links: dict[str, int]) -> None:
        self._design = design
        self._points = points
        self._links = links
        self._placed = [design.links[0].name, design.lever]

    def steps(self) -> tuple[Step, ...]:
        found: list[Step] = []
        names = list(self._links)
        while waiting := [name for name in names if name not in self._placed]:
            step = self._single(waiting) or self._pair(waiting)
            if step is None:
                parts = ", ".join(f"“{name}”" for name in waiting)
                raise DesignProblem(
                    f"The links {parts} can only be solved together; this sketch solves links "
                    "one or two at a time. Pin one of them to the frame or to the lever.",
                    waiting[0],
                )
            found.append(step)
            self._placed += [names[i] for i in step.links]
        return tuple(found)

    def _placed_at(self, point: str) -> str | None:
        """The placed link, first in the design's order, that carries a point."""
        return next((n for n in self._design.links_at(point) if n in self._placed), None)

    def _pins(self, link: str) -> list[tuple[str, str]]:
        """(point, placed link) of every pin that ties a waiting link to the placed ones."""
        tied = ((point, self._placed_at(point)) for point in self._design.link(link).points)
        return [(point, onto) for point, onto in tied if onto is not None]

    def _single(self, waiting: list[str]) -> Step | None:
        for name in waiting:
            for pin, pin_on in self._pins(name):
                for number, slider in enumerate(self._design.sliders):
                    step = self._slider_step(name, pin, pin_on, number, slider)
                    if step is not None:
                        return step
        return None

    def _slider_step(
        self, link: str, pin: str, pin_on: str, number: int, slider: Slider
    ) -> Step | None:
        members = self._design.link(link).points
        kind: type[SlotOnPin] | type[PinInSlot]
        if slider.guide == link:
            slot_on, kind = self._placed_at(slider.point), SlotOnPin
        elif slider.point in members and slider.point != pin and slider.guide in self._placed:
            slot_on, kind = slider.guide, PinInSlot
        else:
            return None
        if slot_on is None:
            return None
        at, of = self._points, self._links
        ends = (at[slider.along[0]], at[slider.along[1]])
        return kind(of[link], at[pin], of[pin_on], number, at[slider.point], of[slot_on], ends)

    def _pair(self, waiting: list[str]) -> Step | None:
        at, of = self._points, self._links
        for i, first in enumerate(waiting):
            for second in waiting[i + 1 :]:
                shared = set(self._design.link(first).points) & set(
                    self._design.link(second).points
                )
                feet, heads = self._pins(first), self._pins(second)
                if len(shared) != 1 or not feet or not heads:
                    continue
                (foot, foot_on), (head, head_on) = feet[0], heads[0]
                return PinPinPin(
                    of[first], of[second], at[foot], at[shared.pop()], at[head],
                    of[foot_on], of[head_on],
                )  # fmt: skip
        return None
