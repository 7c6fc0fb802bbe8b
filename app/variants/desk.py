"""What can be done with a project's variants: each change by one undo command."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.entries import finish_entry
from app.session import Session
from solver import files, variants
from solver.errors import ThrowoverError
from solver.layouts import Layout
from solver.project import Project


class Desk(QObject):
    """The variants of one session's document. Indices are those of the project.

    What cannot be done is told by `failed` and changes nothing. When another variant comes on
    the sheet, by whatever way, the lever keeps its share of the travel.
    """

    switched = Signal()
    """Another variant is on the sheet."""
    failed = Signal(str)
    """One sentence on why something was not done."""
    compare_requested = Signal()
    """The variants are wanted side by side."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._session = session
        self._document = session.document
        self._shown = session.document.project.variant.name
        self._count = len(session.document.project.variants)
        self._share: float | None = None
        session.pose_changed.connect(self._note_pose)
        session.document.changed.connect(self._look)

    @property
    def project(self) -> Project:
        """The project shown."""
        return self._document.project

    def keep(self) -> None:
        """Set the variant on the sheet aside under another name and go on in it."""
        self._do(variants.keep, "Keep as a variant")
        name = self.project.variants[self.project.current + 1].name
        self._session.message.emit(f"Kept as variant “{name}”; you go on in this one.")

    def branch(self) -> None:
        """Leave the variant on the sheet as it is and go on in a new one that begins like it."""
        self._do(variants.branch, "Go on in a new variant")

    def switch(self, index: int) -> None:
        """Put another variant on the sheet: a look at it, no change of the project."""
        finish_entry()
        self._document.turn_to(variants.switch(self.project, index).current)

    def step(self, by: int) -> None:
        """Put the next variant (+1) or the one before (-1) on the sheet, round and round."""
        self.switch((self.project.current + by) % len(self.project.variants))

    def rename(self, index: int, name: str) -> bool:
        """Give a variant another name; whether that was possible."""
        return self._do(lambda project: variants.rename(project, index, name), "Rename variant")

    def annotate(self, index: int, note: str) -> None:
        """Give a variant another note."""
        self._do(lambda project: variants.annotate(project, index, note), "Write note on variant")

    def move(self, by: int) -> None:
        """Move the variant on the sheet up (-1) or down (+1) in the list."""
        at = self.project.current
        self._do(lambda project: variants.move(project, at, at + by), "Move variant")

    def place(self, index: int, to: int) -> None:
        """Move any variant to another place in the list."""
        self._do(lambda project: variants.move(project, index, to), "Move variant")

    def delete(self) -> None:
        """Take the variant on the sheet out of the project."""
        at, name = self.project.current, self.project.variant.name
        self._do(lambda project: variants.remove(project, at), f"Delete variant “{name}”")

    def add_layout(self, layout: Layout) -> None:
        """Put a starting layout beside the variant on the sheet and go on in it."""
        self._do(
            lambda project: variants.add(project, layout.build(), layout.title),
            "Add variant from layout",
        )

    def add_file(self, path: Path) -> None:
        """Put the variants of another project's file beside this one and go on in its current."""
        self._do(lambda project: _joined(project, files.load(path)), "Add variants from file")

    def _do(self, work: Callable[[Project], Project], text: str) -> bool:
        finish_entry()
        try:
            self._document.apply_project(work(self.project), text)
        except ThrowoverError as problem:
            self.failed.emit(str(problem))
            return False
        return True

    def _note_pose(self) -> None:
        """Keep in mind where in its travel the lever is shown."""
        analysis = self._session.analysis
        posed = self._session.direction is not None and analysis is not None
        self._share = self._session.travel() / analysis.throw if posed and analysis else None

    def _look(self) -> None:
        """Find out whether another variant came on the sheet; the lever then follows."""
        project = self.project
        name, count = project.variant.name, len(project.variants)
        before, self._shown = self._shown, name
        same_count, self._count = count == self._count, count
        if name == before or (same_count and before not in variants.names(project)):
            return  # the same variant, or renamed
        share, analysis = self._share, self._session.analysis
        if share is not None and analysis is not None and self._session.problem is None:
            self._session.set_travel(share * analysis.throw)
        else:
            self._session.set_direction(None)
        self.switched.emit()


def desk_of(session: Session) -> Desk:
    """The desk of a session; all who ask get the same one."""
    found = session.findChild(Desk)
    return found if isinstance(found, Desk) else Desk(session)


def _joined(project: Project, other: Project) -> Project:
    """All variants of `other` after the current one; its current one becomes the current."""
    single = len(other.variants) == 1
    joined = project
    for variant in other.variants:
        name = (other.title if single else "") or variant.name
        joined = variants.add(joined, variant.design, name, variant.note)
    return variants.switch(joined, project.current + 1 + other.current)
