"""What all pages of the inspector share: rows, values, and edits as undo commands."""

import math
from collections.abc import Iterable, Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.inspect.form import Form, Options
from app.inspect.rows import Row, Value
from app.part_edits import rename
from app.session import Ref, Session, exists
from solver.errors import ThrowoverError
from solver.model import Design
from solver.project import Display, Project

Edit = tuple[Design | Project, str]
"""The value after an edit, and what was done, for the undo menu."""


class Page(QWidget):
    """The numbers of one kind of selection.

    A subclass says what the rows are, what they show, and what an edit of one of them makes.
    """

    refused = Signal(str)
    """A sentence saying why an edit could not be made; empty once one could."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.refs: tuple[Ref, ...] = ()
        self._fresh = True
        self._form: Form | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)

    # ---- what a subclass says ----

    def title(self) -> str:
        """What is shown: its name where it has one."""
        return self.name

    def subtitle(self) -> str:
        """What it is or does; may be empty."""
        return ""

    def rows(self) -> tuple[Row, ...]:
        """The rows of the form; the same tuple as long as the page needs no other controls."""
        raise NotImplementedError

    def values(self) -> Mapping[str, Value]:
        """The value of each row that is to be shown, by key."""
        raise NotImplementedError

    def offers(self) -> Mapping[str, Options]:
        """What can be chosen in the rows that leave it to the page."""
        return {}

    def moves(self, key: str) -> bool:
        """Whether the row edits places, which then are those of the pose shown."""
        return False

    def change(self, design: Design, key: str, value: Value) -> Edit:
        """The edit of a row. ThrowoverError, with a sentence, where it cannot be made."""
        raise NotImplementedError

    # ---- what all pages do ----

    @property
    def design(self) -> Design:
        """The design shown."""
        return self.session.document.design

    @property
    def name(self) -> str:
        """The name of the (first) thing shown."""
        return self.refs[0].name

    @property
    def form(self) -> Form:
        """The form in use."""
        if self._form is None or self._form.rows is not self.rows():
            self._build()
        assert self._form is not None
        return self._form

    def bind(self, refs: tuple[Ref, ...]) -> None:
        """Show these things from the next refresh on."""
        self.refs = refs
        self._fresh = True

    def refresh(self) -> None:
        """Show the present values; cheap where nothing has changed."""
        if not self._there():
            return
        form = self.form
        form.set_display(self.session.display)
        for key, options in self.offers().items():
            form.offer(key, options)
        form.show_values(self.values(), self._fresh)
        self._fresh = False

    def _build(self) -> None:
        if self._form is not None:
            self._column.removeWidget(self._form)
            self._form.hide()
            self._form.deleteLater()
        self._form = Form(self.rows(), self.session.display, self)
        self._form.edited.connect(self._edited)
        self._form.stepped.connect(self._stepped)
        self._column.addWidget(self._form)
        self._fresh = True

    def _there(self) -> bool:
        return all(exists(self.design, ref) for ref in self.refs)

    def _start(self, key: str) -> Design:
        return self.session.editable() if self.moves(key) else self.design

    def _stepped(self, key: str, value: Value) -> None:
        """Show a step at once; the end of the run makes the command."""
        if not self._there():
            return
        try:
            after, _ = self.change(self._start(key), key, value)
        except ThrowoverError:
            return  # the end of the run says why
        if isinstance(after, Design):
            self.session.document.preview(after)
            self._moved(key)

    def _edited(self, key: str, value: Value) -> None:
        if not self._there():
            return  # the line loses the focus because what it belongs to is gone
        try:
            self._apply(key, value)
        except ThrowoverError as problem:
            self.session.document.cancel()
            self._refuse(key, str(problem))
        else:
            self.refused.emit("")

    def _apply(self, key: str, value: Value) -> None:
        if key == "name":
            rename(self.session, self.refs[0], str(value))
            return
        after, text = self.change(self._start(key), key, value)
        if isinstance(after, Project):
            self.session.document.apply_project(after, text)
        else:
            self.session.document.apply(after, text)
        self._moved(key)

    def _moved(self, key: str) -> None:
        if self.moves(key):
            self.session.set_direction(None)

    def _refuse(self, key: str, sentence: str) -> None:
        if not self.form.refuse(key, sentence):
            self._fresh = True
            self.refresh()
            self.refused.emit(sentence)


def same_words(names: Iterable[str]) -> Options:
    """Options that are their own words."""
    return tuple((name, name) for name in names)


def lowered(label: str) -> str:
    """A label inside a sentence: «Free length» -> «free length»."""
    return label[:1].lower() + label[1:]


def direction_of(x: float, y: float, display: Display) -> float:
    """Where (x, y) points, degrees from +x; such that the screen shows no more than half a turn."""
    zero = 90.0 if display.angle_from == "upright" else 0.0
    turned = math.degrees(math.atan2(y, x)) - zero
    return zero + turned + (360.0 if turned <= -180.0 else 0.0)
