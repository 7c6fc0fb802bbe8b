"""What the hand does, and what the sheet shows it meanwhile: plain values, no Qt."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from typing import Literal, Protocol

from app.session import Ref, Session
from app.sketch.hits import Finder
from app.sketch.picture import Box, Picture
from app.sketch.shapes import distance
from solver.bars import Place

Key = Literal["shift", "ctrl", "alt"]
ActKind = Literal["press", "move", "release", "double", "finish", "cancel"]

CLICK = 3.0
"""A press that moves less than so many pixels is a click."""


@dataclass(frozen=True, slots=True)
class Act:
    """One thing that the hand did: where in the world (mm), where on the screen (pixels).

    "finish" is Return, "cancel" is Escape or the loss of the mouse.
    """

    kind: ActKind
    place: Place = (0.0, 0.0)
    pixel: Place = (0.0, 0.0)
    keys: frozenset[Key] = frozenset()

    def left(self, start: Act) -> bool:
        """Whether the hand has gone farther from `start` than a click goes."""
        return distance(self.pixel, start.pixel) > CLICK


@dataclass(frozen=True, slots=True)
class Feedback:
    """What a gesture shows over the picture while it runs."""

    focus: tuple[str, ...] = ()
    """Points whose distances are shown."""
    cursor: Place | None = None
    note: str = ""
    """A few words beside the cursor."""
    rubber: Box | None = None
    picks: tuple[Place, ...] = ()
    """Places chosen so far, joined by a line that runs on to the cursor."""
    target: Ref | None = None
    """What a release or a click would take."""


class Board(Protocol):
    """What gestures work on."""

    @property
    def session(self) -> Session:
        """The session whose linkage is shown."""

    @property
    def picture(self) -> Picture:
        """What is shown now."""

    @property
    def finder(self) -> Finder:
        """Looks for what lies on the sheet."""

    def show_feedback(self, feedback: Feedback) -> None:
        """Show what a gesture has to say, in place of what it said before."""


Gesture = Generator[None, Act, None]
"""Takes acts by `send` after a first `next`; returns when it is over."""


def snapped(place: Place, step: float, keys: frozenset[Key]) -> Place:
    """The nearest place on the grid; the place itself with no grid or with Alt held."""
    if step <= 0.0 or "alt" in keys:
        return place
    return (round(place[0] / step) * step, round(place[1] / step) * step)
