"""What of each screw stands out of its plate, for what passes over it (`gaps`).

A fixing screw's head lies on the frame's face with a washer under it. A screw through a moving
link is countersunk in the side towards the frame, so nothing stands out there; on the other side
is its nut, or a weight that stands out at least as far as that. A knob is looked at for the hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from solver.layers import Heights, plate_span
from solver.model import Design
from solver.screws import STANDS_OUT, all_screws, countersunk, sunk_from, taken_by, threads


@dataclass(frozen=True, slots=True)
class ScrewEnd:
    """A disc of that radius about a screw's point, from `low` to `high` along the pins; mm.

    link: the one that it stands out of; called: what it is, in words.
    """

    kind: Literal["head", "nut"]
    point: str
    link: str
    called: str
    radius: float
    low: float
    high: float


def screw_ends(design: Design, layers: Heights) -> Iterator[ScrewEnd]:
    """The heads on the frame, and the nuts and weights on moving links."""
    for screw in all_screws(design):
        into, thread, at = taken_by(design, screw), threads()[screw.thread], screw.point
        link = design.links_at(at)[0]
        low, high = plate_span(design, link, layers)
        if not countersunk(design, screw):
            if into == "wall":
                radius, top = max(thread.head, thread.washer) / 2.0, high + thread.washer_height
                called = f"the head of the screw at “{at}”"
                yield ScrewEnd("head", at, link, called, radius, high, top + thread.head_height)
        elif into in ("nut", "weight"):
            nut = thread.washer_height + thread.nut_height + STANDS_OUT * thread.pitch
            behind = sunk_from(design, link) == "behind"
            low, high = (high, high + nut) if behind else (low - nut, low)
            called = f"the {'nut of' if into == 'nut' else 'weight on'} the screw at “{at}”"
            yield ScrewEnd("nut", at, link, called, thread.washer / 2.0, low, high)
