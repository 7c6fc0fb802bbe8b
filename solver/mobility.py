"""Counts the freedom of a sketch and says in words what makes it too loose or too tight."""

from __future__ import annotations

from solver.errors import DesignProblem
from solver.model import FRAME, Design


def freedom(design: Design) -> int:
    """Degrees of freedom by the Chebychev-Grübler-Kutzbach count M = 3(L-1) - 2·J1 - J2.

    J1 counts pins (a pin through k links counts k - 1 times), J2 sliders. The count is blind to
    special proportions that lock or free a linkage; those show up when it is solved.
    """
    pins = sum(max(len(design.links_at(point.name)) - 1, 0) for point in design.points)
    return 3 * (len(design.links) - 1) - 2 * pins - len(design.sliders)


def freedom_problem(design: Design) -> DesignProblem | None:
    """Why the sketch has not exactly one degree of freedom; None where it has."""
    loose = _reason_loose(design)
    count = freedom(design)
    if count == 1 and loose is None:
        return None
    if count > 1:
        why, part = loose or ("add a pivot, a slider or a link to tie it down", "")
        return DesignProblem(f"This sketch can move in {count} ways: {why}.", part)
    if count == 1 and loose is not None:
        why, part = loose
        return DesignProblem(f"Part of this sketch is loose and part is locked: {why}.", part)
    why, part = _reason_tight(design)
    return DesignProblem(f"This sketch cannot move: {why}.", part)


def _ties(design: Design, link: str) -> list[tuple[str, int, frozenset[str]]]:
    """(point, constraints, other links) of every joint of a link."""
    found: list[tuple[str, int, frozenset[str]]] = []
    for point in design.link(link).points:
        others = frozenset(design.links_at(point)) - {link}
        if others:
            found.append((point, 2, others))
    for slider in design.sliders:
        holders = frozenset(design.links_at(slider.point))
        if slider.guide == link:
            found.append((slider.point, 1, holders))
        elif link in holders:
            found.append((slider.point, 1, frozenset({slider.guide})))
    return found


def _reason_loose(design: Design) -> tuple[str, str] | None:
    for link in design.links[1:]:
        ties = _ties(design, link.name)
        if link.name == design.lever and ties:
            continue
        if not ties:
            return f"link “{link.name}” is tied to nothing", link.name
        if sum(tie[1] for tie in ties) <= 2 and len({tie[0] for tie in ties}) == 1:
            return f"link “{link.name}” is tied at one end only", link.name
    return None


def _reason_tight(design: Design) -> tuple[str, str]:
    for link in design.links[1:]:
        for other in design.links:
            if other.name == link.name:
                continue
            shared = [point for point in link.points if point in other.points]
            if len(shared) > 1:
                pair = f"“{shared[0]}” and “{shared[1]}”"
                other_name = "the frame" if other.name == FRAME else f"link “{other.name}”"
                return (
                    f"link “{link.name}” and {other_name} share two points, {pair}, so they "
                    "are one rigid part; let them share one",
                    link.name,
                )
    spare = [slider.name for slider in design.sliders]
    if spare:
        return f"it is tied once too often; take out a slider (“{spare[-1]}”) or a pivot", spare[-1]
    return "it is tied once too often; take out a link or a pivot", ""
