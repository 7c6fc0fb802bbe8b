"""What the keyboard does on the sheet: nudge, go from point to point. No Qt."""

from __future__ import annotations

from app.session import Ref, Session
from solver import edit
from solver.errors import ThrowoverError
from solver.model import Design


class Nudge:
    """Arrow keys move what is selected; a burst of them is one command."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._base: Design | None = None
        self._by = (0.0, 0.0)

    @property
    def running(self) -> bool:
        """Whether a burst is under way that is not yet a command."""
        return self._base is not None

    def step(self, dx: float, dy: float) -> None:
        """Move the selected points by so many mm, a selected rest by so many degrees."""
        session = self._session
        if self._base is None:
            self._base, self._by = session.editable(), (0.0, 0.0)
        self._by = (self._by[0] + dx, self._by[1] + dy)
        try:
            design = self._moved(self._base)
        except ThrowoverError as problem:
            session.message.emit(str(problem))
            return
        if design is None:
            self._base = None
            session.message.emit("Select a point, a link or a rest to move it by the arrow keys.")
            return
        session.document.preview(design)
        session.set_direction(None)

    def _moved(self, base: Design) -> Design | None:
        dx, dy = self._by
        names = selected_points(self._session, base)
        if names:
            places = {name: (base.point(name).x + dx, base.point(name).y + dy) for name in names}
            return edit.move_points(base, places)
        rests = [ref.name for ref in self._session.selection if ref.kind == "rest"]
        if not rests:
            return None
        stops, turn = base.stops, dy - dx
        return edit.set_stops(
            base,
            stops.rest_a + turn if "A" in rests else None,
            stops.rest_b + turn if "B" in rests else None,
        )

    def end(self) -> None:
        """Make one command of the burst."""
        if self._base is not None:
            self._base = None
            self._session.document.commit("Nudge")

    def cancel(self) -> None:
        """Take the burst back."""
        if self._base is not None:
            self._base = None
            self._session.document.cancel()


def selected_points(session: Session, design: Design) -> list[str]:
    """The selected points and those of the selected links, each once."""
    names: list[str] = []
    for ref in session.selection:
        if ref.kind == "point":
            names.append(ref.name)
        elif ref.kind == "link":
            names.extend(design.link(ref.name).points)
    return list(dict.fromkeys(names))


def next_point(session: Session, forward: bool) -> bool:
    """Select the next point in the design's order; False past the last (or before the first)."""
    names = [point.name for point in session.document.design.points]
    at = -1 if forward else len(names)
    for ref in session.selection:
        if ref.kind == "point" and ref.name in names:
            at = names.index(ref.name)
    at += 1 if forward else -1
    if not 0 <= at < len(names):
        return False
    session.select(Ref("point", names[at]))
    return True
