"""New, open, save, close, recover: what the window does with files, and what it asks first.

No way leads past unsaved changes without the user's word, and no failure changes what is open.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app import autosave, dialogs, examples
from app.autosave import Autosave, Leftover
from app.document import Document
from app.entries import finish_entry
from app.notice import Notice, NoticeStrip
from app.recent import RecentFiles
from app.settings import Settings
from solver import files
from solver.errors import ThrowoverError
from solver.layouts import Layout
from solver.project import Project, Variant

UNNAMED = "Untitled"


class Projects(QObject):
    """The document's files. `window` is the parent of what is asked, `notices` takes failures."""

    def __init__(
        self,
        document: Document,
        settings: Settings,
        keeper: Autosave,
        notices: NoticeStrip,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self.recent = RecentFiles(settings)
        self._document = document
        self._settings = settings
        self._keeper = keeper
        self._notices = notices
        self._window = window
        keeper.failed.connect(notices.say)

    def name(self) -> str:
        """What the document is called in the title and in questions."""
        path = self._document.path
        return path.name if path is not None else self._document.project.title or UNNAMED

    def begin(self, layout: Layout, title: str = "") -> None:
        """Start an unnamed project from a layout, whose title it takes if it is given none."""
        if self.may_leave():
            first, display = Variant("first", layout.build()), self._settings.display
            made = Project(title or layout.title, (first,), display=display)
            self._document.new(made.in_units(display.units))

    def open(self, path: Path) -> None:
        """Open a file; an example that comes with the program becomes an unnamed project."""
        if self.may_leave():
            self._attempt(lambda: self._open(path))

    def ask_and_open(self) -> None:
        """Open the file that the user picks."""
        path = dialogs.ask_to_open(self._window, self._settings.folder)
        if path is not None:
            self.open(path)

    def save(self) -> bool:
        """Save under the name that the document has, else ask for one; whether it is saved."""
        finish_entry()
        path = self._document.path
        return self.save_as() if path is None else self._save(path)

    def save_as(self) -> bool:
        """Ask for a name and save; whether it is saved."""
        finish_entry()
        path = dialogs.ask_where_to_save(self._window, self._suggested())
        return path is not None and self._save(path)

    def may_leave(self) -> bool:
        """Whether what is open may go: saved, or given up by the user's own word."""
        finish_entry()
        if not self._document.modified:
            return True
        answer = dialogs.ask_about_changes(self._window, self.name())
        if answer == "save":
            return self.save()
        return answer == "discard"

    def leave(self) -> None:
        """The window closes for good: nothing is left to recover."""
        self._keeper.clear()

    def offer_leftovers(self, folder: Path) -> None:
        """Offer to bring back what a program that was killed had not saved."""
        for leftover in autosave.leftovers(folder):
            when = time.strftime("%Y-%m-%d %H:%M", time.localtime(leftover.saved))
            name = leftover.path.name if leftover.path else leftover.project.title or UNNAMED
            self._notices.put(
                Notice(
                    f"Throwover ended before “{name}” was saved; the work of {when} is kept.",
                    (
                        ("Bring it back", partial(self._bring, leftover)),
                        ("Throw it away", partial(autosave.discard, leftover)),
                        ("Later", lambda: None),
                    ),
                )
            )

    def _bring(self, leftover: Leftover) -> None:
        if self.may_leave():
            self._document.recover(leftover.project, leftover.path)
            self._keeper.write()
            if self._keeper.file.exists():
                autosave.discard(leftover)

    def _open(self, path: Path) -> None:
        if examples.is_example(path):
            self._document.new(files.load(path))
        else:
            self._document.open(path)
            self._remember(path)

    def _save(self, path: Path) -> bool:
        saved = self._attempt(lambda: self._document.save(path))
        if saved:
            self._remember(path)
        return saved

    def _remember(self, path: Path) -> None:
        self.recent.add(path)
        self._settings.folder = path.absolute().parent

    def _suggested(self) -> Path:
        path = self._document.path
        if path is not None:
            return path
        title = re.sub(r"[^\w-]+", "-", self._document.project.title.lower()).strip("-")
        return self._settings.folder / f"{title or 'lever'}{examples.SUFFIX}"

    def _attempt(self, work: Callable[[], None]) -> bool:
        """Do it; a failure becomes a notice. Whether it went well."""
        try:
            work()
        except ThrowoverError as problem:
            self._notices.say(str(problem))
            return False
        return True
