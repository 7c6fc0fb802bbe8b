"""What the window shows of the document: the analysis, the lever's pose, the selection.

All views share one session. It analyses the design when it changed, at most once for any number
of changes in one turn of the event loop, and keeps the last good analysis while an impossible
design is dragged through.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import shiboken6
from PySide6.QtCore import QObject, QTimer, Signal

from app.calm import Calm
from app.document import Document
from solver.analysis import Analysis, analyse
from solver.errors import ThrowoverError
from solver.model import Design
from solver.parts import names
from solver.project import Display
from solver.rebase import rebase

RefKind = Literal["point", "link", "slider", "spring", "weight", "load", "rest"]


@dataclass(frozen=True, slots=True)
class Ref:
    """One thing that can be selected; a rest is named "A" or "B"."""

    kind: RefKind
    name: str


class Session(QObject):
    """The state that the views of one document share."""

    updated = Signal()
    """The analysis, or the reason why there is none, is that of the document's present value."""
    pose_changed = Signal()
    selection_changed = Signal()
    snap_changed = Signal()
    message = Signal(str)
    """One sentence for the status bar."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._analysis: Analysis | None = None
        self._problem: str | None = None
        self._stale = True
        self._direction: float | None = None
        self._selection: tuple[Ref, ...] = ()
        self._snap = 1.0
        self._turn = QTimer(self, singleShot=True, interval=0)
        self._turn.timeout.connect(self.refresh)
        self.calm = Calm(document, self)
        """For views of texts: what follows it is told after `updated`, paced during a gesture."""
        self._poses = _Poses(self)
        document.undo_stack.indexChanged.connect(self._moved)
        document.replaced.connect(self._forget)
        document.changed.connect(self._design_changed)

    @property
    def analysis(self) -> Analysis | None:
        """The analysis of the present design, or the last good one while `problem` is set."""
        self._analyse()
        return self._analysis

    @property
    def problem(self) -> str | None:
        """The sentence saying why the present design cannot be analysed; None if it can."""
        self._analyse()
        return self._problem

    @property
    def display(self) -> Display:
        """How the project shows units and directions."""
        return self.document.project.display

    def refresh(self) -> None:
        """Analyse now what has changed and tell the views."""
        self._turn.stop()
        self._analyse()
        self.updated.emit()
        self.calm.tell()

    @property
    def direction(self) -> float | None:
        """The lever's direction in the pose shown, degrees from +x; None for the drawn pose."""
        return self._direction

    def set_direction(self, direction: float | None) -> None:
        """Show the pose with the lever in that direction (degrees), or the drawn pose (None)."""
        if direction != self._direction:
            self._direction = direction
            self._poses.turned()
            self.pose_changed.emit()

    def set_travel(self, travel: float) -> None:
        """Show the pose `travel` degrees from rest A along the throw, held between the rests."""
        analysis = self.analysis
        if analysis is not None:
            held = min(max(travel, 0.0), analysis.throw)
            self.set_direction(float(analysis.direction[0]) + analysis.sense * held)

    def travel(self) -> float:
        """How far the pose shown is from rest A along the throw, degrees; 0 with no analysis.

        Negative before rest A; more than the throw past rest B.
        """
        analysis = self.analysis
        if analysis is None:
            return 0.0
        shown = self._direction
        if shown is None:
            shown = _drawn_direction(analysis.design)
        first, last = float(analysis.direction[0]), float(analysis.direction[-1])
        middle = (first + last) / 2.0
        near = middle + (shown - middle + 180.0) % 360.0 - 180.0
        return (near - first) * analysis.sense

    def places(self) -> dict[str, tuple[float, float]]:
        """Every point's place (mm) in the pose shown; the drawn place where there is no pose."""
        drawn = {point.name: (point.x, point.y) for point in self.document.design.points}
        analysis = self.analysis
        if self._direction is None or analysis is None:
            return drawn
        try:
            return drawn | analysis.pose(self._direction)
        except ThrowoverError:
            return drawn

    def editable(self) -> Design:
        """The design with the pose shown as its drawn pose: what an edit on screen starts from."""
        design = self.document.design
        if self._direction is None or self.problem is not None:
            return design
        try:
            return rebase(design, self._direction)
        except ThrowoverError:
            return design

    @property
    def selection(self) -> tuple[Ref, ...]:
        """What is selected, in the order of selecting."""
        return self._selection

    def select(self, *refs: Ref) -> None:
        """Make exactly these the selection; nothing given selects nothing."""
        chosen = tuple(dict.fromkeys(refs))
        if chosen != self._selection:
            self._selection = chosen
            self.selection_changed.emit()

    @property
    def snap(self) -> float:
        """The grid that dragged points keep to, mm; 0 is off."""
        return self._snap

    def set_snap(self, snap: float) -> None:
        """Set the grid (mm) that dragged points keep to; 0 turns it off."""
        if snap != self._snap:
            self._snap = snap
            self.snap_changed.emit()

    def _analyse(self) -> None:
        if not self._stale:
            return
        self._stale = False
        try:
            self._analysis = analyse(self.document.design, display=self.display)
            self._problem = None
        except ThrowoverError as problem:
            self._problem = str(problem)

    def _design_changed(self) -> None:
        self._stale = True
        self._turn.start()
        self._poses.edited()
        present = [ref for ref in self._selection if exists(self.document.design, ref)]
        self.select(*present)

    def _moved(self, index: int) -> None:
        self._poses.moved(index)

    def _forget(self) -> None:
        """Another project: nothing of the old one may stay on screen."""
        self._analysis = None
        self._stale = True
        self._poses.forget()
        self.select()
        self.set_direction(None)


class _Poses:
    """Remembers in which pose each state of the history was edited, and shows it so again.

    An edit in another pose makes that pose the drawn one; without this, undoing it would make
    the lever jump to where it was drawn before.
    """

    def __init__(self, session: Session) -> None:
        self._session = session
        self._stack = session.document.undo_stack
        self._left: dict[int, float] = {}
        self._leaving: float | None = None
        self._index = self._stack.index()

    def forget(self) -> None:
        """Begin with another history."""
        self._left, self._leaving, self._index = {}, None, self._stack.index()

    def edited(self) -> None:
        """The design changes; the pose in which it is edited is still shown."""
        if self._session.direction is not None:
            self._leaving = self._session.direction

    def turned(self) -> None:
        """Another pose is shown; within a gesture the drawn pose is the one edited."""
        if self._session.direction is None and not self._session.document.in_gesture:
            self._leaving = None

    def moved(self, index: int) -> None:
        """The history went on, or back, to the state of that index."""
        if not shiboken6.isValid(self._stack) or not self._stack.count():
            return  # it is being emptied, at the end or for another project
        before, self._index = self._index, index
        if index > before:
            self._left.pop(before, None)
            if self._leaving is not None:
                self._left[before] = self._leaving
        elif self._session.direction is None and index in self._left:
            self._session.set_direction(self._left[index])
        self._leaving = None


def exists(design: Design, ref: Ref) -> bool:
    """Whether the design has the part that `ref` names."""
    if ref.kind == "rest":
        return ref.name in ("A", "B")
    return ref.name in names(design, ref.kind)


def _drawn_direction(design: Design) -> float:
    """Where the lever points in the drawn pose, degrees from +x."""
    pivot, grip = design.point(design.lever_pivot()), design.point(design.grip)
    return math.degrees(math.atan2(grip.y - pivot.y, grip.x - pivot.x))
