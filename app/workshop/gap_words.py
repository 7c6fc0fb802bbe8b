"""What is to be said of a project's plates, holes, gaps and rows. Needs no Qt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solver.clearance import Clearance, row_remarks
from solver.holes import hole_remarks
from solver.project import Display, Project
from solver.remark import Remark
from solver.units import show

_AT_REST = 0.005
"""Travel (degrees) that is shown as none."""
_STOPS = ("stop A", "stop B")


def remarks_of(project: Project, found: Clearance, display: Display) -> tuple[Remark, ...]:
    """Every remark, the serious first."""
    design, sheet = project.design, project.sheet
    every = (
        *found.remarks,
        *hole_remarks(design, sheet.holes, display),
        *row_remarks(design, sheet.levers, sheet.pitch, display),
    )
    return tuple(sorted(every, key=lambda remark: not remark.serious))


def heading(found: Clearance, remarks: Sequence[Remark], display: Display) -> str:
    """What stands over the list, as one line of text."""
    return " ".join(summary(found, remarks, display))


def summary(found: Clearance, remarks: Sequence[Remark], display: Display) -> tuple[str, ...]:
    """Whether all is well, and the least gap of each kind, a sentence each."""
    serious = sum(remark.serious for remark in remarks)
    verdict = (
        "Nothing touches anything else over the throw."
        if serious == 0
        else "1 of these must be put right before it can be built."
        if serious == 1
        else f"{serious} of these must be put right before it can be built."
    )
    return (verdict, *_least(found, remarks, display))


def _least(found: Clearance, remarks: Sequence[Remark], display: Display) -> Iterator[str]:
    """The narrowest gap between parts, and the narrowest that closes on a person."""

    def told(length: float, where: float) -> str:
        at = f"{show(where, 'angle', display)} from rest A" if where > _AT_REST else "at rest A"
        return f"{show(length, 'length', display)}, {at}"

    if found.least is not None:
        gap = found.least
        one, other = gap.called
        yield (
            "Least gap between parts that could touch: "
            f"{told(gap.least, gap.where)} ({one} and {other})."
        )
    closing = [
        (remark.gap, remark.where, remark.parts)
        for remark in remarks
        if remark.kind == "pinch" and remark.gap is not None and remark.where is not None
    ]
    if closing:
        least, where, names = min(closing)
        yield (
            "Least gap that closes on a finger or hand: "
            f"{told(least, where)} ({' and '.join(map(_called, names))})."
        )


def _called(part: str) -> str:
    return part if part in _STOPS else f"“{part}”"
