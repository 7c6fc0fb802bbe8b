"""What is said of a sweep: the limits on its readings, and where it meets them. Needs no Qt."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.study_words import count
from solver import units
from solver.model import Design, Limit
from solver.project import Display
from solver.readings import ReadingKind
from solver.sweep import Sweep, crossings
from solver.sweep_copies import HOLD_ALL

MOST_COPIES = 99.0
"""Percent of copies at which a line is drawn, the share that the tuner asks for at first."""
_TOLD = 3
"""Places where a curve meets a limit that are told in words, at most."""


@dataclass(frozen=True, slots=True)
class Bound:
    """A limit's one side: its size in base units, and its words such as "at least 4.00 N"."""

    side: str
    size: float
    words: str


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where a swept reading meets one side of its limit: the number's values, document's unit."""

    kind: ReadingKind
    bound: Bound
    at: tuple[float, ...]


def bounds_on(kind: ReadingKind, design: Design | None, display: Display) -> tuple[Bound, ...]:
    """The limits on a reading; of copies, the share that most ask for."""
    if kind == HOLD_ALL:
        return (Bound("at_least", MOST_COPIES, f"{MOST_COPIES:g} %"),)
    limits = () if design is None else design.limits
    own = next((limit for limit in limits if limit.reading == kind.key), Limit(kind.key))
    return tuple(
        Bound(side, size, f"{side.replace('_', ' ')} {units.show(size, kind.quantity, display)}")
        for side, size in (("at_least", own.at_least), ("at_most", own.at_most))
        if size is not None
    )


def meetings(swept: Sweep, design: Design | None, display: Display) -> tuple[Meeting, ...]:
    """Where the readings of a sweep meet their limits, those that do."""
    every = (
        Meeting(kind, bound, tuple(crossings(swept, kind.key, bound.size).tolist()))
        for kind in swept.kinds
        for bound in bounds_on(kind, design, display)
    )
    return tuple(meeting for meeting in every if meeting.at)


def places(swept: Sweep, meeting: Meeting, display: Display) -> str:
    """The first few places of a meeting, with units: "2.10 N/mm and 3.40 N/mm"."""
    quantity = swept.number.quantity
    return " and ".join(units.show(value, quantity, display) for value in meeting.at[:_TOLD])


def met(swept: Sweep, design: Design | None, display: Display) -> str:
    """Where the readings of a sweep meet their limits, in words; "" where none does."""
    told = []
    for meeting in meetings(swept, design, display):
        meets = "is" if meeting.kind == HOLD_ALL else "meets its limit,"
        at = f"{swept.number.label} {places(swept, meeting, display)}"
        told.append(f"“{meeting.kind.label}” {meets} {meeting.bound.words} at {at}")
    steps = f" (straight lines between {len(swept.values)} values)." if told else ""
    return "; ".join(told) + steps


def coarse(copies: int, values: int) -> str:
    """How sure the shares of so many copies at so many values are."""
    off = 100.0 / math.sqrt(copies)
    return f"{count(copies)} copies at each of {values} values: shares to about {off:.0f} %."
