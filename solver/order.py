"""The order in which links can be placed: first frame and lever, then one or two at a time."""

from __future__ import annotations

from itertools import combinations, permutations

from solver.errors import DesignProblem
from solver.guided import CrossSlot, Guide, RodAndPlunger
from solver.model import Design, Slider
from solver.steps import PinInSlot, PinPinPin, SlotOnPin, Step


def order_steps(design: Design, points: dict[str, int], links: dict[str, int]) -> tuple[Step, ...]:
    """The steps that place every link but frame and lever.

    `points` and `links` give each name's index. Raises DesignProblem, naming the links, where
    some can only be solved together.
    """
    orderer = _Orderer(design, points, links)
    names = list(links)
    found: list[Step] = []
    while waiting := [name for name in names if name not in orderer.placed]:
        step = orderer.next_step(waiting)
        if step is None:
            parts = ", ".join(f"“{name}”" for name in waiting)
            raise DesignProblem(
                f"The links {parts} can only be solved together; this sketch solves links one or "
                "two at a time. Pin one of them to the frame or to the lever.",
                waiting[0],
            )
        found.append(step)
        orderer.placed += [names[i] for i in step.links]
    return tuple(found)


class _Orderer:
    """Finds a link or a pair of links that the placed ones determine."""

    def __init__(self, design: Design, points: dict[str, int], links: dict[str, int]) -> None:
        self._design = design
        self._points = points
        self._links = links
        self.placed = [design.links[0].name, design.lever]

    def next_step(self, waiting: list[str]) -> Step | None:
        for name in waiting:
            step = self._with_slider(name) or self._cross_slot(name)
            if step is not None:
                return step
        for pair in permutations(waiting, 2):
            step = self._two_pinned(*pair) or self._rod_and_plunger(*pair)
            if step is not None:
                return step
        return None

    def _placed_at(self, point: str) -> str | None:
        """The placed link, first in the design's order, that carries a point."""
        return next((n for n in self._design.links_at(point) if n in self.placed), None)

    def _pins(self, link: str) -> list[tuple[str, str]]:
        """(point, placed link) of every pin that ties a waiting link to the placed ones."""
        tied = ((point, self._placed_at(point)) for point in self._design.link(link).points)
        return [(point, onto) for point, onto in tied if onto is not None]

    def _shared(self, first: str, second: str) -> str | None:
        """The one point that two links share."""
        both = set(self._design.link(first).points) & set(self._design.link(second).points)
        return both.pop() if len(both) == 1 else None

    def _ends(self, slider: Slider) -> tuple[int, int]:
        return self._points[slider.along[0]], self._points[slider.along[1]]

    def _with_slider(self, link: str) -> Step | None:
        for pin, pin_on in self._pins(link):
            for number, slider in enumerate(self._design.sliders):
                step = self._slider_step(link, pin, pin_on, number, slider)
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
        elif slider.point in members and slider.point != pin and slider.guide in self.placed:
            slot_on, kind = slider.guide, PinInSlot
        else:
            return None
        if slot_on is None:
            return None
        at, of = self._points, self._links
        sliding, ends = at[slider.point], self._ends(slider)
        return kind(of[link], at[pin], of[pin_on], number, sliding, of[slot_on], ends)

    def _guide(self, link: str) -> Guide | None:
        """How two sliders on one slot keep a link in line with a placed one."""
        for (i, a), (j, b) in combinations(enumerate(self._design.sliders), 2):
            if set(a.along) != set(b.along) or a.guide != b.guide:
                continue
            members = self._design.link(link).points
            own_slot = a.guide == link
            if own_slot:
                on, other = self._placed_at(a.point), self._placed_at(b.point)
                if on is None or on != other:
                    continue
            elif a.guide in self.placed and a.point in members and b.point in members:
                on = a.guide
            else:
                continue
            pins = self._points[a.point], self._points[b.point]
            of = self._links
            return Guide(of[link], of[on], pins, self._ends(a), (i, j), own_slot)
        return None

    def _cross_slot(self, link: str) -> Step | None:
        guide = self._guide(link)
        if guide is None:
            return None
        for number, slider in enumerate(self._design.sliders):
            onto = self._placed_at(slider.point)
            if number in guide.sliders or slider.guide != link or onto is None:
                continue
            pin, pin_on = self._points[slider.point], self._links[onto]
            return CrossSlot(guide, number, pin, pin_on, self._ends(slider))
        return None

    def _two_pinned(self, first: str, second: str) -> Step | None:
        knee = self._shared(first, second)
        feet, heads = self._pins(first), self._pins(second)
        if knee is None or not feet or not heads:
            return None
        (foot, foot_on), (head, head_on) = feet[0], heads[0]
        at, of = self._points, self._links
        return PinPinPin(
            of[first], of[second], at[foot], at[knee], at[head], of[foot_on], of[head_on]
        )

    def _rod_and_plunger(self, rod: str, plunger: str) -> Step | None:
        knee, feet, guide = self._shared(rod, plunger), self._pins(rod), self._guide(plunger)
        if knee is None or not feet or guide is None:
            return None
        (foot, foot_on) = feet[0]
        at, of = self._points, self._links
        return RodAndPlunger(guide, of[rod], at[foot], of[foot_on], at[knee])
