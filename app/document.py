"""The open project: its value, its file, and the undo history.

The document holds an immutable `Project`. An undo command keeps the value before and the value
after, so undoing restores exactly what was there, and saving it again writes the same bytes.
A gesture (a drag, a held key) previews values that are not on the stack; committing it makes
one command, cancelling it restores the value from before the gesture.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from solver import files
from solver.model import Design
from solver.project import Project


class Document(QObject):
    """One project and its history. Views read `project` or `design` and listen to `changed`."""

    changed = Signal()
    """The value changed: committed, previewed, undone or replaced."""
    replaced = Signal()
    """Another project took the place of the old one (new, open, recover); precedes `changed`."""
    path_changed = Signal()
    """The project has another file name, or none."""
    rested = Signal()
    """A gesture has ended, committed or cancelled."""
    modified_changed = Signal(bool)
    """Whether there is something that the file does not have."""

    def __init__(self, project: Project, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._project = project
        self._before: Project | None = None
        self._path: Path | None = None
        self.undo_stack = QUndoStack(self)
        self.undo_stack.cleanChanged.connect(self._tell_modified)

    @property
    def project(self) -> Project:
        """The value shown: the previewed one while a gesture runs."""
        return self._project

    @property
    def design(self) -> Design:
        """The design of the project's current variant."""
        return self._project.design

    @property
    def committed(self) -> Project:
        """The value without the gesture that may be running; what a save writes."""
        return self._project if self._before is None else self._before

    @property
    def path(self) -> Path | None:
        """The project's file; None until it has been saved or opened."""
        return self._path

    @property
    def modified(self) -> bool:
        """Whether the file lacks something that is in the document."""
        return not self.undo_stack.isClean()

    @property
    def in_gesture(self) -> bool:
        """Whether a preview is shown that is neither committed nor cancelled."""
        return self._before is not None

    def apply(self, design: Design, text: str) -> None:
        """Make `design` the current variant's design, as one undo command named `text`."""
        self.apply_project(self._project.with_design(design), text)

    def apply_project(self, project: Project, text: str) -> None:
        """Make `project` the document's value, as one undo command named `text`.

        A gesture under way becomes part of the command; a value that changes nothing makes none.
        """
        before = self.committed
        if project == before:
            self.cancel()
        else:
            self.undo_stack.push(_Change(self, before, project, text))

    def turn_to(self, current: int) -> None:
        """Put the variant of that index on the sheet, which is no change of the project.

        So it makes no undo step and does not ask to be saved, though a save keeps it. Undoing an
        edit shows the variant in which it was made, since a command has the whole project.
        """
        self.commit("Edit")
        self._show(replace(self._project, current=current))

    def preview(self, design: Design) -> None:
        """Show `design` without a command: the next step of a gesture."""
        project = self._project.with_design(design)
        if self._before is None:
            self._before = self._project
        if project != self._project:
            self._project = project
            self.changed.emit()

    def commit(self, text: str) -> None:
        """End the gesture: one command named `text`, or none if nothing changed."""
        if self._before is not None:
            self.apply_project(self._project, text)

    def cancel(self) -> None:
        """End the gesture and show the value from before it."""
        if self._before is not None:
            self._show(self._before)

    def undo(self) -> None:
        """Drop the gesture under way; without one take back the last command."""
        if self._before is not None:
            self.cancel()
        else:
            self.undo_stack.undo()

    def redo(self) -> None:
        """Do the last command taken back again."""
        self.cancel()
        self.undo_stack.redo()

    def new(self, project: Project) -> None:
        """Begin an unnamed document with `project`; the history starts empty."""
        self._replace(project, None)

    def open(self, path: Path) -> None:
        """Read the file. FileProblem if it cannot be used; the document then stays as it was."""
        self._replace(files.load(path), path)

    def recover(self, project: Project, path: Path | None) -> None:
        """Show work that was not saved before the program ended; it counts as modified."""
        self._replace(project, path)
        self.undo_stack.resetClean()

    def save(self, path: Path | None = None) -> None:
        """Write the committed value to `path`, or to the file that it has.

        FileProblem if it cannot be written (the old file is then unharmed); ValueError for a
        document without a file name.
        """
        target = path or self._path
        if target is None:
            raise ValueError("a document without a file name needs one to be saved")
        files.save(self.committed, target)
        if target != self._path:
            self._path = target
            self.path_changed.emit()
        self.undo_stack.setClean()

    def _replace(self, project: Project, path: Path | None) -> None:
        self._project, self._before, self._path = project, None, path
        self.undo_stack.clear()
        self.replaced.emit()
        self.path_changed.emit()
        self.changed.emit()

    def _show(self, project: Project) -> None:
        """Show a committed value; ends any gesture."""
        shown, ended = self._project, self.in_gesture
        self._project, self._before = project, None
        if project != shown:
            self.changed.emit()
        if ended:
            self.rested.emit()

    def _tell_modified(self, clean: bool) -> None:
        self.modified_changed.emit(not clean)


class _Change(QUndoCommand):
    """One edit: the whole project before it and after it."""

    def __init__(self, document: Document, before: Project, after: Project, text: str) -> None:
        super().__init__(text)
        self._document = document
        self._before = before
        self._after = after

    def undo(self) -> None:
        self._document._show(self._before)

    def redo(self) -> None:
        self._document._show(self._after)
