"""Gestures of the hand on the sheet, each a generator fed with plain acts.

A gesture starts with the press that chose it and ends with release or cancel. Edits go through
the document's preview and become one command at the end; cancel leaves no trace.
"""

from __future__ import annotations

from collections.abc import Generator

from app.session import Ref
from app.sketch.hand import Act, Board, Feedback, Gesture, Key, snapped
from app.sketch.hits import Hit
from app.sketch.shapes import heading, nearest_turn
from solver import edit, units
from solver.bars import Place
from solver.errors import ThrowoverError
from solver.model import Design


def pressed(board: Board, act: Act) -> Gesture:
    """The gesture that a press begins."""
    hit = board.finder.hit(act.place)
    if hit is None:
        return rubber_band(board, act)
    if hit.ref.kind == "point":
        return drag_points(board, act, hit.ref)
    if hit.ref.kind == "rest":
        return drag_stop(board, act, hit)
    if board.finder.plate(act.place) == board.session.document.design.lever:
        return swing(board, act, hit.ref)  # also by what lies upon the lever, such as a spring
    return click(board, act, hit.ref)


def choose(board: Board, ref: Ref, keys: frozenset[Key]) -> None:
    """Select what was clicked; with Shift add it to the selection or take it out."""
    session = board.session
    if "shift" not in keys:
        session.select(ref)
    elif ref in session.selection:
        session.select(*(other for other in session.selection if other != ref))
    else:
        session.select(*session.selection, ref)


def click(board: Board, start: Act, ref: Ref) -> Gesture:
    """Select on release; a drag changes nothing and says what to drag instead."""
    act, told = start, False
    while act.kind not in ("release", "cancel"):
        act = yield
        if act.left(start) and not told:
            told = True
            board.session.message.emit(
                "Drag a point to change the linkage, or the lever to swing it."
            )
    if act.kind == "release" and not act.left(start):
        choose(board, ref, start.keys)


def rubber_band(board: Board, start: Act) -> Gesture:
    """Select the points inside a drawn rectangle; a click on nothing selects nothing."""
    kept = board.session.selection if "shift" in start.keys else ()
    act = start
    while act.kind not in ("release", "cancel"):
        act = yield
        (x1, y1), (x2, y2) = start.place, act.place
        box = (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
        if act.left(start):
            board.show_feedback(Feedback(rubber=box))
    board.show_feedback(Feedback())
    if act.kind == "cancel":
        return
    found = [
        Ref("point", name)
        for name, (x, y) in board.picture.places.items()
        if act.left(start) and box[0] <= x <= box[2] and box[1] <= y <= box[3]
    ]
    board.session.select(*kept, *found)


def _drag_begun(board: Board, start: Act, ref: Ref) -> Generator[None, Act, Act | None]:
    """Wait for the hand to leave where it pressed; None if it let go first, which selects."""
    act = start
    while not act.left(start):
        act = yield
        if act.kind == "cancel":
            return None
        if act.kind == "release":
            choose(board, ref, start.keys)
            return None
    return act


# ---- points ----------------------------------------------------------------------------


def drag_points(board: Board, start: Act, ref: Ref) -> Gesture:
    """Move a point, and with it the other selected ones, in the pose shown.

    Shift keeps to the horizontal or the vertical, Alt leaves the grid, and letting go over
    another point with Ctrl held makes one pivot of the two.
    """
    session = board.session
    act = yield from _drag_begun(board, start, ref)
    if act is None:
        return
    if ref not in session.selection:
        session.select(ref)
    drag = _PointDrag(board, start, ref.name)
    while act.kind != "cancel":
        drag.move(act)
        if act.kind == "release":
            drag.drop(act)
            return
        act = yield
    drag.cancel()


class _PointDrag:
    """The state of one drag of points: where they were, in the pose in which it began."""

    def __init__(self, board: Board, start: Act, name: str) -> None:
        self._board, self._name, self._start = board, name, start
        self._session = board.session
        self._direction = board.session.direction
        self._base = board.session.editable()
        chosen = [ref.name for ref in board.session.selection if ref.kind == "point"]
        self._points = {
            other: (point.x, point.y)
            for other in dict.fromkeys([name, *chosen])
            for point in [self._base.point(other)]
        }

    def _shift(self, act: Act) -> Place:
        """How far the points go: the hand's way, kept straight and on the grid as asked."""
        dx, dy = act.place[0] - self._start.place[0], act.place[1] - self._start.place[1]
        x, y = self._points[self._name]
        to_x, to_y = snapped((x + dx, y + dy), self._session.snap, act.keys)
        if "shift" in act.keys:
            to_x, to_y = (to_x, y) if abs(dx) >= abs(dy) else (x, to_y)
        return (to_x - x, to_y - y)

    def _target(self, act: Act) -> str | None:
        """The point that the dragged one would be joined with."""
        if "ctrl" not in act.keys or len(self._points) > 1:
            return None
        return self._board.finder.point(act.place, skip=frozenset(self._points))

    def move(self, act: Act) -> None:
        """Show the points where the hand is; say why where that cannot be."""
        dx, dy = self._shift(act)
        places = {name: (x + dx, y + dy) for name, (x, y) in self._points.items()}
        try:
            design = edit.move_points(self._base, places)
        except ThrowoverError as problem:
            self._session.message.emit(str(problem))
            return
        self._session.document.preview(design)
        self._session.set_direction(None)
        target = self._target(act)
        point, display = design.point(self._name), self._session.display
        x, y = (units.number(value, "length", display) for value in (point.x, point.y))
        self._board.show_feedback(
            Feedback(
                focus=tuple(self._points),
                cursor=act.place,
                note=f"join with {target}" if target else f"x {x}  y {y}",
                target=Ref("point", target) if target else None,
            )
        )

    def drop(self, act: Act) -> None:
        """Make one command of the drag."""
        self._board.show_feedback(Feedback())
        target = self._target(act)
        text = f"Move {self._name}" if len(self._points) == 1 else "Move points"
        if target is not None:
            try:
                joined = edit.join(self._base, target, self._name)
            except ThrowoverError as problem:
                self._session.message.emit(str(problem))
                self.cancel()
                return
            self._session.document.preview(joined)
            self._session.select(Ref("point", target))
            text = f"Join {self._name} with {target}"
        self._session.document.commit(text)

    def cancel(self) -> None:
        """Put everything back."""
        self._board.show_feedback(Feedback())
        self._session.document.cancel()
        self._session.set_direction(self._direction)


# ---- lever and stops -------------------------------------------------------------------


def swing(board: Board, start: Act, ref: Ref) -> Gesture:
    """Swing the lever between its rests: the pose shown changes, the design does not."""
    session = board.session
    analysis, before = session.analysis, session.direction
    if session.problem is not None:
        analysis = None  # the last good one is that of another linkage
    act = yield from _drag_begun(board, start, ref)
    if act is None:
        return
    if analysis is None:
        return
    pivot = board.picture.places[analysis.design.lever_pivot()]
    at = first = heading(pivot, start.place)
    travel = session.travel()
    while act.kind != "cancel":
        at = nearest_turn(heading(pivot, act.place), at)
        session.set_travel(travel + analysis.sense * (at - first))
        shown, display = session.travel(), session.display
        board.show_feedback(
            Feedback(
                cursor=act.place,
                note=f"{units.show(shown, 'angle', display, 1)} from rest A",
            )
        )
        if act.kind == "release":
            board.show_feedback(Feedback())
            return
        act = yield
    board.show_feedback(Feedback())
    session.set_direction(before)


def drag_stop(board: Board, start: Act, hit: Hit) -> Gesture:
    """Turn the stop of a rest by its face or by its ghost lever; whole degrees on the grid."""
    session = board.session
    act = yield from _drag_begun(board, start, hit.ref)
    if act is None:
        return
    session.select(hit.ref)
    ghost = board.picture.ghost(hit.ref.name)
    base = session.document.design
    pivot = ghost.pivot if ghost is not None else start.place
    rest = base.stops.rest_a if hit.ref.name == "A" else base.stops.rest_b
    at = first = heading(pivot, start.place)
    while act.kind != "cancel":
        at = nearest_turn(heading(pivot, act.place), at)
        turned = rest + at - first
        if session.snap > 0.0 and "alt" not in act.keys:
            turned = float(round(turned))
        _preview_stop(board, base, hit.ref.name, turned, act)
        if act.kind == "release":
            board.show_feedback(Feedback())
            session.document.commit(f"Move rest {hit.ref.name}")
            _keep_between_rests(board)
            return
        act = yield
    board.show_feedback(Feedback())
    session.document.cancel()


def _preview_stop(board: Board, base: Design, rest: str, direction: float, act: Act) -> None:
    session = board.session
    try:
        stops = (direction, None) if rest == "A" else (None, direction)
        design = edit.set_stops(base, *stops)
    except ThrowoverError as problem:
        session.message.emit(str(problem))
        return
    session.document.preview(design)
    throw = abs(design.stops.rest_b - design.stops.rest_a)
    display = session.display
    note = (
        f"rest {rest} {units.show(direction, 'direction', display, 1)}, "
        f"throw {units.show(throw, 'angle', display, 1)}"
    )
    board.show_feedback(Feedback(cursor=act.place, note=note))


def _keep_between_rests(board: Board) -> None:
    """A lever shown in a pose that the throw no longer has goes to the nearest rest."""
    session = board.session
    if session.direction is not None and session.problem is None:
        session.set_travel(session.travel())
