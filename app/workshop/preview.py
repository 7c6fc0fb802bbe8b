"""The preview: every paper for the workshop as it will be, with the settings of the sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import cast

from PySide6.QtCore import QEvent, QSize, Qt, QTimer
from PySide6.QtGui import QAction, QKeySequence, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QScrollArea,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from app.busy import busy
from app.drawing.sheet import dimension_choices
from app.entries import finish_entry
from app.inspect.choice_box import ChoiceBox
from app.inspect.form import Form
from app.inspect.rows import Value
from app.notice import NoticeStrip
from app.redo_keys import redo_keys
from app.screen_room import fitted
from app.session import Session
from app.settings import Settings
from app.workshop import choices, sheet_rows
from app.workshop.buttons import Buttons
from app.workshop.dimension_list import DimensionList
from app.workshop.files_and_print import export, print_paper
from app.workshop.page_view import PageView
from app.workshop.papers import PAPERS, Key, Paper, Papers, named_after
from solver.errors import ThrowoverError
from solver.project import Project, Sheet

_K = QKeySequence.StandardKey
_PAUSE = 250
"""Milliseconds without a change after which pages are made anew."""


class Preview(QDialog):
    """A window beside the sketch; it follows every change and edits the project's sheet."""

    def __init__(self, session: Session, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self._session = session
        self._settings = settings
        self._papers: Papers | None = None
        self._stale = True
        self._fresh = True
        self.paper: Paper = PAPERS["sheet"]
        self.setWindowTitle("Into the workshop")
        self.view = PageView(self)
        self.pages = QListWidget(self)
        self.chooser = ChoiceBox("What to make", "The paper that is shown.", parent=self)
        self.form = Form(sheet_rows.ROWS, session.display, self)
        self.dimensions = DimensionList(self)
        self.said = QLabel(self)
        self.notices = NoticeStrip(self)
        self._pause = QTimer(self, singleShot=True, interval=_PAUSE)
        self._buttons = Buttons(self)
        self._lay_out()
        self._follow()
        self.resize(fitted(self, QSize(1180, 760)))

    # ---- for the menu -----------------------------------------------------------------------

    def open(self, key: Key = "sheet") -> None:
        """Show the window with a paper in it, in front."""
        self._choose(key)
        self.show()
        self.raise_()
        self.activateWindow()

    def print(self, key: Key) -> None:
        """Show a paper and ask for a printer."""
        self.open(key)
        self._print()

    # ---- building ---------------------------------------------------------------------------

    def _lay_out(self) -> None:
        self.chooser.offer(tuple((paper.key, paper.title) for paper in PAPERS.values()))
        self.chooser.setMinimumContentsLength(20)
        self.pages.setAccessibleName("Pages")
        self.pages.setToolTip("The pages of this paper.")
        self.pages.setFixedWidth(132)
        self.pages.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.said.setAccessibleName("What was done")
        middle = QHBoxLayout()
        middle.addWidget(self.pages)
        middle.addWidget(self.view, 1)
        left = QWidget(self)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(self._buttons.row(self.chooser))
        column.addWidget(self.notices)
        column.addLayout(middle, 1)
        column.addLayout(self._buttons.zoom_row())
        column.addWidget(self.said)
        split = QSplitter(self)
        split.addWidget(left)
        split.addWidget(self._side())
        split.setStretchFactor(0, 1)
        split.setCollapsible(0, False)
        split.setSizes([860, 320])
        whole = QVBoxLayout(self)
        whole.addWidget(split)

    def _side(self) -> QTabWidget:
        page = QWidget(self)
        inside = QVBoxLayout(page)
        inside.addWidget(self.form)
        inside.addStretch(1)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(page)
        tabs = QTabWidget(self)
        tabs.addTab(area, "Sheet")
        tabs.addTab(self.dimensions, "Dimensions")
        tabs.setMinimumWidth(260)
        return tabs

    def _follow(self) -> None:
        document = self._session.document
        document.changed.connect(self._later)
        document.rested.connect(self._later)
        document.replaced.connect(self._forget)
        self._pause.timeout.connect(self.refresh)
        self.chooser.edited.connect(lambda key: self._choose(cast(Key, key)))
        self.pages.currentRowChanged.connect(self._show_page)
        self.form.edited.connect(self._edit)
        self.view.moved.connect(self._move)
        self.view.picked.connect(self.dimensions.pick)
        self.view.zoomed.connect(lambda: self._buttons.show_zoom(self.view.zoom))
        self.dimensions.picked.connect(self.view.select)
        self.dimensions.shown.connect(self._tick)
        self.dimensions.put_back.connect(self._put_back)
        self.dimensions.added.connect(self._add)
        self.dimensions.removed.connect(self._remove)
        self._buttons.wanted.connect(self._press)
        for keys, work in (
            ([QKeySequence(_K.Undo)], self._undo),
            (redo_keys(), document.redo),
            ([QKeySequence(_K.Print)], self._print),
            ([QKeySequence(_K.ZoomIn)], lambda: self.view.zoom_by(1.25)),
            ([QKeySequence(_K.ZoomOut)], lambda: self.view.zoom_by(0.8)),
            ([QKeySequence("Ctrl+0")], self.view.fit),
        ):
            action = QAction(self)
            action.setShortcuts(keys)
            action.triggered.connect(work)
            self.addAction(action)

    # ---- following the document -------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while hidden."""
        super().showEvent(event)
        if self._stale:
            self._pause.start(0)

    def changeEvent(self, event: QEvent) -> None:
        """Take what is typed when the user turns to another window."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and not self.isActiveWindow():
            finish_entry()

    def refresh(self) -> None:
        """Make the pages of the present project and show them."""
        self._pause.stop()
        if not self.isVisible() or self._session.document.in_gesture:
            self._stale = True
            return
        self._stale = False
        project = self._project
        self.form.set_display(project.display)
        for key, options in sheet_rows.offers(project).items():
            self.form.offer(key, options)
        self.form.show_values(sheet_rows.values(project.sheet), self._fresh)
        self._fresh = False
        try:
            with busy():
                self._make(project)
        except ThrowoverError as problem:
            self._show_nothing(str(problem))
        else:
            self._show_paper()

    def _make(self, project: Project) -> None:
        session = self._session
        if self._papers is None or self._papers.project is not project:
            analysis = session.analysis if session.problem is None else None
            self._papers = Papers(project, analysis, earlier=self._papers)
        self._papers.pages(self.paper.key)

    def _show_paper(self) -> None:
        assert self._papers is not None
        pages = self._papers.pages(self.paper.key)
        counted = self.paper.key in ("sheet", "parts")
        names = [
            f"page {number}" if counted else page.name for number, page in enumerate(pages, start=1)
        ]
        if names != [self.pages.item(row).text() for row in range(self.pages.count())]:
            row = max(self.pages.currentRow(), 0)
            self.pages.blockSignals(True)
            self.pages.clear()
            self.pages.addItems(names)
            for row_of, name in enumerate(names):
                self.pages.item(row_of).setToolTip(name)
            self.pages.setCurrentRow(min(row, len(names) - 1))
            self.pages.blockSignals(False)
        self._show_page()
        self._buttons.enable(True)
        self._show_dimensions()
        notices = " ".join(notice for page in pages for notice in page.notices)
        if notices or self.said.property("problem"):
            self.say(notices, problem=bool(notices))

    def _show_dimensions(self) -> None:
        assert self._papers is not None
        project = self._papers.project
        self.dimensions.set_in_use(self.paper.key == "sheet")
        self.dimensions.show_choices(
            dimension_choices(project, self._papers.analysis),
            project.sheet,
            [point.name for point in project.design.points],
        )

    def _show_page(self) -> None:
        row = self.pages.currentRow()
        if self._papers is not None and row >= 0:
            self.view.show_page(self._papers.pages(self.paper.key)[row])
            self.view.select(self.dimensions.key)

    def _show_nothing(self, sentence: str) -> None:
        """The last pages stay, but cannot be written."""
        self._papers = None
        self._buttons.enable(False)
        self.say(sentence, problem=True)

    def say(self, sentence: str, problem: bool = False) -> None:
        """Show a sentence under the page."""
        self.said.setProperty("problem", problem)
        self.said.setText(sentence)

    def _later(self) -> None:
        self._stale = True
        if self.isVisible():
            self._pause.start(_PAUSE)

    def _forget(self) -> None:
        self._papers, self._fresh = None, True
        self.say("")

    def _choose(self, key: Key) -> None:
        self.paper = PAPERS[key]
        self.chooser.load(key)
        self.say("")
        self.pages.blockSignals(True)
        self.pages.clear()
        self.pages.blockSignals(False)
        self._stale = True
        if self.isVisible():
            self.refresh()

    # ---- edits --------------------------------------------------------------------------------

    @property
    def _project(self) -> Project:
        return self._session.document.project

    def _edit(self, key: str, value: Value) -> None:
        self._session.document.apply_project(*sheet_rows.changed(self._project, key, value))

    def _apply(self, sheet: Sheet, text: str) -> None:
        self._session.document.apply_project(replace(self._project, sheet=sheet), text)

    def _tick(self, key: str, shown: bool) -> None:
        choice = choices.choice_of(self._project.sheet, key)
        changed = choices.with_choice(self._project.sheet, replace(choice, shown=shown))
        self._apply(changed, "Show a dimension" if shown else "Hide a dimension")

    def _move(self, key: str, x: float, y: float) -> None:
        self._apply(choices.moved(self._with_shown(key), key, x, y), "Move a dimension")
        self.refresh()

    def _with_shown(self, key: str) -> Sheet:
        """The sheet in which what is seen is also chosen: a choice that says nothing hides none."""
        sheet = self._project.sheet
        return choices.with_choice(sheet, replace(choices.choice_of(sheet, key), shown=True))

    def _put_back(self, key: str) -> None:
        choice = replace(choices.choice_of(self._project.sheet, key), shift_x=0.0, shift_y=0.0)
        self._apply(choices.with_choice(self._project.sheet, choice), "Put a dimension back")

    def _add(self, a: str, b: str, way: str) -> None:
        sheet = choices.with_own(self._project.sheet, a, b, cast(choices.Way, way))
        self._apply(sheet, "Add a dimension")

    def _remove(self, key: str) -> None:
        self._apply(choices.without_own(self._project.sheet, key), "Remove a dimension")

    def _undo(self) -> None:
        self._session.document.undo()

    # ---- out of the program ---------------------------------------------------------------------

    def _press(self, what: str) -> None:
        work = {
            "fit": self.view.fit,
            "true": lambda: self.view.zoom_to(1.0),
            "larger": lambda: self.view.zoom_by(1.25),
            "smaller": lambda: self.view.zoom_by(0.8),
            "write": self._write,
            "print": self._print,
        }
        work[what]()

    def _write(self) -> None:
        self._hand_out(
            lambda papers: export(self, papers, self.paper, self._name(), self._settings)
        )

    def _print(self) -> None:
        self._hand_out(lambda papers: print_paper(self, papers, self.paper))

    def _hand_out(self, work: Callable[[Papers], str]) -> None:
        """Say what was written or printed; what could not be stands above the page."""
        papers = self._ready()
        if papers is None:
            return
        while self.notices.notice is not None:
            self.notices.answer()
        self.say("")
        try:
            self.say(work(papers))
        except ThrowoverError as problem:
            self.notices.say(str(problem))

    def _ready(self) -> Papers | None:
        """The papers of the present project, with what is being typed; None where none can be."""
        finish_entry()
        self.refresh()
        return self._papers

    def _name(self) -> str:
        path = self._session.document.path
        stem = path.stem if path is not None else self._project.title
        return named_after(stem, self._project)
