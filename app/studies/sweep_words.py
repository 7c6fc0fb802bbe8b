"""What is said of a sweep: the limits on its readings, and where it meets them. Needs no Qt."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from app.study_words import count
from solver import units
from solver.model import Design, Limit
from solver.project import Display
from solver.quantiles import Share
from solver.readings import ReadingKind
from solver.sweep import Sweep, crossings
from solver.sweep_copies import HOLD_ALL, sure_ranges

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
    """Where a swept reading meets one side of its limit: the number's values, document's unit.

    sure: of copies, between which values each of them lies, 95 % sure (`sure_ranges`).
    """

    kind: ReadingKind
    bound: Bound
    at: tuple[float, ...]
    sure: tuple[tuple[float, float], ...] = ()


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
        Meeting(
            kind,
            bound,
            tuple(crossings(swept, kind.key, bound.size).tolist()),
            sure_ranges(swept, bound.size) if kind == HOLD_ALL else (),
        )
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
        at = f"{swept.number.label} {' and '.join(_told(swept, meeting, display))}"
        told.append(f"“{meeting.kind.label}” {meets} {meeting.bound.words} at {at}")
    steps = f", on straight lines between {len(swept.values)} values." if told else ""
    return "; ".join(told) + steps


def _told(swept: Sweep, meeting: Meeting, display: Display) -> Iterator[str]:
    """The first few places of a meeting, and of copies how sure they are."""
    quantity = swept.number.quantity
    for at, value in enumerate(meeting.at[:_TOLD]):
        place = units.show(value, quantity, display)
        if not meeting.sure:
            yield place
            continue
        low, high = meeting.sure[at]
        first, last = (units.show(end, quantity, display) for end in (low, high))
        if math.isinf(low) and math.isinf(high):
            sure = "anywhere in this range"
        elif math.isinf(low):
            sure = f"{last} or below"
        elif math.isinf(high):
            sure = f"{first} or above"
        else:
            sure = f"{units.number(low, quantity, display)} to {last}"
        yield f"{place} (95 % sure: {sure})"


def coarse(swept: Sweep) -> str:
    """How sure shares of copies are: least where half of them hold, more where nearly all do."""
    half, most = (
        _off(round(share * swept.copies / 100.0), swept.copies) for share in (50.0, MOST_COPIES)
    )
    return (
        f"{count(swept.copies)} copies at each of {len(swept.values)} values: a share near 50 % is "
        f"right to {half}, one near {MOST_COPIES:g} % to {most} (95 % sure)."
    )


def _off(held: int, of: int) -> str:
    """Half the 95 % interval of a share."""
    share = Share.counted(held, of)
    off = 50.0 * (share.high - share.low)
    return f"{off:.0f} %" if off >= 1.0 else f"{off:.1f} %"
