"""What the studies of a session's design have found, shared by all views that show it.

Studies run in a process beside the window (`app.background`). They are asked for when the
design has changed and someone shows them; while a hand drags, in a coarser grain. What is
found stays on show until the next answer comes.
"""

from __future__ import annotations

import math
import time
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QObject, QTimer, Signal

from app.background.worker import Worker
from app.session import Session
from solver.model import Design
from solver.readings import catalogue

if TYPE_CHECKING:
    from app.background.zones import ZoneShape
    from solver.sensitivity import Sensitivities
    from solver.spread import Spread

Study = Literal["spread", "effects", "zone"]
Switch = Literal["bands", "arrows", "zone"]

_FINE = {"spread": (2000, 181), "zone": (56, 91)}
_COARSE = {"spread": (256, 61), "zone": (28, 61)}
"""Copies and positions of the spread, cells and positions of the zone; coarse in a drag."""

PACE = 80
"""Milliseconds from one question of a study to the next while a hand drags: a few pictures
later is not seen, and the processor is free for the pictures."""

_SHOWS: dict[Switch, Study] = {"bands": "spread", "arrows": "effects", "zone": "zone"}
_FIRST = "holding_force"


class Findings(QObject):
    """The latest answers to the studies of a session's design."""

    changed = Signal(str)
    """Another answer, or another reason why there is none, of that study."""
    switched = Signal()
    """A switch or the reading looked into is another."""
    asked = Signal(str, int)
    answered = Signal(str, int)
    """A study and its ticket, when it is asked for and when its answer comes."""
    trouble = Signal(str)
    """One sentence for the user."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._session = session
        self._worker = Worker(self)
        self._wanted: dict[Study, set[object]] = {study: set() for study in _SHOWS.values()}
        self._on: set[Switch] = set()
        self._asked: dict[str, tuple[object, ...]] = {}
        self._answers: dict[str, object] = {}
        self._problems: dict[str, str] = {}
        self._tickets: dict[str, int] = {}
        self._times: dict[str, float] = {}
        self._next = QTimer(self, singleShot=True)
        self._next.timeout.connect(self.refresh)
        self._reading = ""
        self._worker.answered.connect(self._take)
        self._worker.failed.connect(self._take_problem)
        self._worker.trouble.connect(self.trouble)
        session.updated.connect(self.refresh)
        session.document.rested.connect(self.refresh)
        session.document.replaced.connect(self._forget)
        for signal in (session.selection_changed, session.pose_changed):
            signal.connect(self._refresh_posed)

    # ---- what is shown

    @property
    def spread(self) -> Spread | None:
        """What copies do; None while that is not known."""
        return self._answers.get("spread")  # type: ignore[return-value]

    @property
    def effects(self) -> Sensitivities | None:
        """What the reading depends on; None while that is not known."""
        return self._answers.get("effects")  # type: ignore[return-value]

    @property
    def zone(self) -> ZoneShape | None:
        """Where the selected point may lie; None while that is not known."""
        return self._answers.get("zone")  # type: ignore[return-value]

    def problem(self, study: Study) -> str:
        """Why there is no answer; "" where there is one, or one is to come."""
        return self._problems.get(study, "")

    def is_on(self, switch: Switch) -> bool:
        """Whether bands, arrows or zone are drawn."""
        return switch in self._on

    def switch(self, switch: Switch, on: bool) -> None:
        """Draw bands, arrows or zone, or leave them."""
        if on == (switch in self._on):
            return
        self._on ^= {switch}
        self.want(_SHOWS[switch], switch, on)
        self.switched.emit()

    @property
    def reading(self) -> str:
        """The key of the reading looked into: the one chosen, if the design has it."""
        design = self._session.document.design
        keys = [kind.key for kind in catalogue(design)]
        if self._reading in keys:
            return self._reading
        limited = [limit.reading for limit in design.limits if limit.reading in keys]
        return next(iter((*limited, *(key for key in keys if key == _FIRST), *keys)), _FIRST)

    def look_into(self, reading: str) -> None:
        """Look into another reading."""
        if reading != self._reading:
            self._reading = reading
            self.switched.emit()
            self.refresh()

    def want(self, study: Study, who: object, on: bool) -> None:
        """Say that someone shows a study, or shows it no more."""
        wanted = self._wanted[study]
        if on:
            wanted.add(who)
            self._ask(study)
        else:
            wanted.discard(who)
            if not wanted:
                self._drop(study)

    @property
    def process_id(self) -> int:
        """The number of the process beside the window; 0 while there is none."""
        return self._worker.process_id

    @property
    def busy(self) -> bool:
        """Whether an answer is still to come."""
        return self._worker.busy or self._next.isActive()

    def close(self) -> None:
        """End the process; what is asked for later would start another."""
        self._worker.close()

    # ---- asking

    def refresh(self) -> None:
        """Ask for everything that is wanted and not known of the present design."""
        for study in self._wanted:
            self._ask(study)

    def _refresh_posed(self) -> None:
        """Ask for what is told of points where they are in the pose seen."""
        self._ask("effects")
        self._ask("zone")

    def _ask(self, study: Study) -> None:
        if not self._wanted[study]:
            return
        question = self._question(study)
        if question is None:
            self._drop(study)
        elif study == "zone" and self._moves_alone(question, self._asked.get(study)):
            pass  # where a point may lie does not depend on where it is
        elif _same(question, self._asked.get(study)):
            pass
        elif self._session.document.in_gesture and (wait := self._wait(study)) > 0:
            if not self._next.isActive():
                self._next.start(wait)
        else:
            self._asked[study] = question
            self._times[study] = time.monotonic()
            self._tickets[study] = self._worker.ask(study, *question)
            self.asked.emit(study, self._tickets[study])

    def _wait(self, study: Study) -> int:
        """Milliseconds until a study may be asked for again while a hand drags."""
        since = 1000.0 * (time.monotonic() - self._times.get(study, 0.0))
        return math.ceil(PACE - since)

    def _question(self, study: Study) -> tuple[object, ...] | None:
        """What to ask for; None where there is nothing to ask."""
        session = self._session
        grain = _COARSE if session.document.in_gesture else _FINE
        if study == "spread":
            return (session.document.design, *grain["spread"])
        if study == "effects":
            return (self._posed(), self.reading)
        point, zone = self.zone_point, self.zone
        if point is None:
            return None
        kept = zone if grain is _COARSE and zone and zone.point == point else None
        return (self._posed(), point, kept, *grain["zone"])

    def _moves_alone(self, question: tuple[object, ...], asked: tuple[object, ...] | None) -> bool:
        """Whether a hand drags nothing but the point whose zone is known or asked for."""
        if asked is None or not self._session.document.in_gesture:
            return False
        design, point, before = question[0], question[1], asked[0]
        assert isinstance(design, Design)
        assert isinstance(before, Design)
        if point != asked[1] or "zone" in self._problems:
            return False
        others = [[each for each in one.points if each.name != point] for one in (design, before)]
        return others[0] == others[1] and replace(before, points=design.points) == design

    @property
    def zone_point(self) -> str | None:
        """The point that the go zone is of: the one selected point, if there is just one."""
        points = [ref.name for ref in self._session.selection if ref.kind == "point"]
        return points[0] if len(points) == 1 else None

    def _posed(self) -> Design:
        """The design with the pose shown as the drawn one, made anew only where it differs."""
        session = self._session
        if session.direction is None:
            return session.document.design
        basis = (session.document.design, session.direction)
        if not _same(basis, self._asked.get("posed basis")):
            self._asked["posed basis"] = basis
            self._asked["posed"] = (session.editable(),)
        return self._asked["posed"][0]  # type: ignore[return-value]

    # ---- answers

    def _take(self, study: Study, ticket: int, answer: object) -> None:
        if self._wanted[study]:
            self._answers[study] = answer
            self._problems.pop(study, None)
            self.changed.emit(study)
            self.answered.emit(study, ticket)

    def _take_problem(self, study: Study, ticket: int, sentence: str) -> None:
        """While a hand drags through what cannot be, the last answer stays."""
        if self._session.document.in_gesture or ticket != self._tickets.get(study):
            return
        self._answers.pop(study, None)
        self._problems[study] = sentence
        self.changed.emit(study)

    def _drop(self, study: Study) -> None:
        """Nothing is to be shown of a study."""
        self._worker.cancel(study)
        self._asked.pop(study, None)
        had = self._answers.pop(study, None) is not None
        if self._problems.pop(study, None) is not None or had:
            self.changed.emit(study)

    def _forget(self) -> None:
        """Another project."""
        for study in self._wanted:
            self._drop(study)


def findings_of(session: Session) -> Findings:
    """The findings of a session; all who ask get the same ones."""
    found = session.findChild(Findings)
    return found if isinstance(found, Findings) else Findings(session)


def _same(one: tuple[object, ...], other: tuple[object, ...] | None) -> bool:
    """Whether two questions are the same one; designs by identity, which costs nothing."""
    return other is not None and all(
        a is b or (isinstance(a, str | float | int) and a == b)
        for a, b in zip(one, other, strict=True)
    )
