"""The window in which two to four variants are thrown together and compared."""

from __future__ import annotations

from functools import partial
from typing import cast

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import (
    QCloseEvent,
    QFontMetricsF,
    QKeySequence,
    QResizeEvent,
    QShortcut,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QSlider,
    QSplitter,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.closing import close_button
from app.entries import finish_entry
from app.file_names import beside
from app.notice import NoticeStrip
from app.screen_room import fitted, middle
from app.session import Session
from app.theme import theme_source
from app.variants import export
from app.variants.comparison import (
    LEAST,
    MOST,
    Comparison,
    Together,
    compared,
    with_copies,
)
from app.variants.copies import Copies
from app.variants.gallery import Diagrams, Gallery
from app.variants.menus import ARROW, StayingMenu
from app.variants.names import shortened
from app.variants.outcomes import Outcome, Outcomes
from app.variants.table_view import Answers
from solver import variants
from solver.errors import ThrowoverError

FINE = 1000
"""Steps of the slider from rest A to rest B."""
_FIRST_SIZE = QSize(1500, 940)
_DURING_DRAG = 40
"""Milliseconds between two pictures of a design that is being dragged."""
_WAYS: tuple[tuple[str, Together], ...] = (
    ("Same share of the travel", "share"),
    ("Same lever direction", "direction"),
)


class SideBySide(QWidget):
    """Pictures, curves, readings and differences of the chosen variants; follows every edit.

    It has no undo of its own and changes nothing in the document.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self._session = session
        self._outcomes = Outcomes()
        self._copies = Copies(self)
        self._chosen: tuple[str, ...] = ()
        self._against = ""
        self._names: tuple[str, ...] = ()
        self._count = 0
        self._by_hand = False
        self.comparison: Comparison | None = None
        self.notices = NoticeStrip(self)
        self.gallery = Gallery(self)
        self.diagrams = Diagrams(self)
        self.answers = Answers(self)
        self.slider = QSlider(Qt.Orientation.Horizontal, self)
        self._make_bar()
        self._lay_out()
        self._later = QTimer(self, singleShot=True)
        self._later.timeout.connect(self.refresh)
        self._listen()
        self.resize(fitted(self, _FIRST_SIZE))
        self._placed = False

    def open(self) -> None:
        """Show the window, the levers as in the sketch, and bring it to the front."""
        if not self.isVisible():
            self.resize(fitted(self, self.size()))
            if not self._placed:
                self._placed = True
                self.move(middle(self))
            analysis = self._session.analysis
            if analysis is not None:
                share = self._session.travel() / analysis.throw
                self.slider.setValue(round(FINE * min(max(share, 0.0), 1.0)))
        self.show()
        self.raise_()
        self.activateWindow()

    def choose(self, *names: str) -> None:
        """Compare these variants, two to four of them, in the order of the project."""
        self._chosen = names[:MOST]
        self.refresh()

    def hold_against(self, name: str) -> None:
        """Have the differences to the variant of that name."""
        self._against = name
        self.refresh()

    @property
    def chosen(self) -> tuple[str, ...]:
        """The names of the variants compared."""
        return self._chosen

    @property
    def share(self) -> float:
        """Where the levers are, as a share of the first one's travel."""
        return self.slider.value() / FINE

    @property
    def together(self) -> Together:
        """How the levers go together."""
        return cast("Together", self.ways.currentData())

    def refresh(self) -> None:
        """Show the chosen variants as they are now."""
        self._later.stop()
        if not self.isVisible():
            return
        project = self._session.document.project
        self._keep_choice()
        self._take_session()
        indices = tuple(variants.find(project, name) for name in self._chosen)
        self.comparison = compared(
            project,
            indices,
            self._outcomes,
            self._copies.of,
            self._chosen.index(self._against) if self._against in self._chosen else 0,
        )
        if not self._session.document.in_gesture:
            entries = self.comparison.entries
            self._copies.want(e.outcome.design for e in entries if e.analysis is not None)
        for board in (self.gallery, self.diagrams):
            board.set_comparison(self.comparison)
        self.answers.show_comparison(self.comparison)
        if len(indices) != self._count:
            self._count = len(indices)
            self._share_out()
        self._title()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while hidden."""
        super().showEvent(event)
        self.refresh()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Nothing is followed while closed."""
        self._later.stop()
        self._copies.close()
        super().closeEvent(event)

    # ---- building -----------------------------------------------------------------------

    def _make_bar(self) -> None:
        self.chooser = self._button("", "Choose which variants are compared, two to four")
        self.chooser.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.choices = StayingMenu(self)
        self.choices.aboutToShow.connect(self._fill_choices)
        self.chooser.setMenu(self.choices)
        self.ways = QComboBox(self)
        self.ways.setAccessibleName("How the levers go together")
        self.ways.setToolTip("Put all levers at the same part of their travel, or parallel")
        for text, way in _WAYS:
            self.ways.addItem(text, way)
        self.saved = QLabel(self)
        self.saved.setAccessibleName("What was saved")
        self.saved.setTextFormat(Qt.TextFormat.PlainText)
        self.saved.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.saved.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.pdf = self._button("Save as PDF…", "Pictures, curves, table and changes on one page")
        self.csv = self._button("Save table (CSV)…", "The table for a spreadsheet")
        self.shut = close_button(self, "Close")
        self.shut.setToolTip("Close this window (Esc, Ctrl+W)")
        for keys in ("Esc", "Ctrl+W"):
            QShortcut(QKeySequence(keys), self).activated.connect(self.close)
        self.slider.setRange(0, FINE)
        self.slider.setSingleStep(FINE // 100)
        self.slider.setPageStep(FINE // 10)
        self.slider.setAccessibleName("Travel of all levers")
        self.slider.setToolTip("Throw all levers together")

    def _button(self, text: str, tip: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setToolTip(tip)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        return button

    def _lay_out(self) -> None:
        bar = QHBoxLayout()
        bar.setSpacing(8)
        bar.addWidget(self.chooser)
        bar.addWidget(QLabel("Levers together:", self))
        bar.addWidget(self.ways)
        bar.addWidget(self.saved, 1)
        bar.addWidget(self.pdf)
        bar.addWidget(self.csv)
        bar.addWidget(self.shut)
        throw = QHBoxLayout()
        throw.addWidget(QLabel("Rest A", self))
        throw.addWidget(self.slider, 1)
        throw.addWidget(QLabel("Rest B", self))
        left = QWidget(self)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.gallery, 3)
        column.addLayout(throw)
        column.addWidget(self.diagrams, 2)
        halves = self._halves = QSplitter(Qt.Orientation.Horizontal, self)
        halves.addWidget(left)
        halves.addWidget(self.answers)
        halves.setStretchFactor(0, 1)
        halves.setChildrenCollapsible(False)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 8, 8, 8)
        whole.addWidget(self.notices)
        whole.addLayout(bar)
        whole.addWidget(halves, 1)

    def _listen(self) -> None:
        session = self._session
        session.updated.connect(self._changed)
        session.document.changed.connect(self._changed)
        session.document.changed.connect(self._say_saved)
        session.document.rested.connect(self._changed)
        self._copies.found.connect(self._changed)
        theme_source.changed.connect(self._changed)
        self._halves.splitterMoved.connect(self._split)
        self.slider.valueChanged.connect(self._pose)
        self.ways.currentIndexChanged.connect(self._pose)
        for board in (self.gallery, self.diagrams):
            board.moved.connect(lambda share: self.slider.setValue(round(FINE * share)))
        self.answers.base.edited.connect(self.hold_against)
        self.pdf.clicked.connect(self._save_pdf)
        self.csv.clicked.connect(self._save_csv)

    # ---- following ----------------------------------------------------------------------

    def _changed(self) -> None:
        if self.isVisible() and not self._later.isActive():
            self._later.start(_DURING_DRAG if self._session.document.in_gesture else 0)

    def _pose(self) -> None:
        for board in (self.gallery, self.diagrams):
            board.set_pose(self.share, self.together)

    def _keep_choice(self) -> None:
        """The variants chosen stay chosen under a new name; those that are gone are replaced.

        New ones are taken up while there is room.
        """
        project = self._session.document.project
        known = variants.names(project)
        if len(known) == len(self._names):
            renamed = {
                old: new
                for old, new in zip(self._names, known, strict=True)
                if old not in known and new not in self._names
            }
            self._chosen = tuple(renamed.get(name, name) for name in self._chosen)
            self._against = renamed.get(self._against, self._against)
        elif self._names and self._chosen:
            fresh = [name for name in known if name not in (*self._names, *self._chosen)]
            still = [name for name in self._chosen if name in known]
            self._chosen = (*still, *fresh)[:MOST]
        self._names = known
        kept = [name for name in known if name in self._chosen]
        if len(kept) < min(LEAST, len(known)):
            wanted = dict.fromkeys([*kept, project.variant.name, *known])
            taken = list(wanted)[: LEAST if self._chosen else MOST]
            kept = [name for name in known if name in taken]
        self._chosen = tuple(kept)

    def _take_session(self) -> None:
        """The variant on the sheet has been solved already."""
        session, design = self._session, self._session.document.design
        if session.problem is not None:
            self._outcomes.learn(Outcome(design, None, session.problem), session.display)
        elif session.analysis is not None:
            self._outcomes.learn(Outcome(design, session.analysis), session.display)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out the new width, unless the hand has done so."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        """Give the table the width that it wants, but no more than half of the window.

        What height the pictures cannot use is for the curves.
        """
        if not self._by_hand:
            whole = self._halves.width()
            table = min(self.answers.table.wanted_width(), whole // 2)
            self._halves.setSizes([whole - table, table])
        self._fit_pictures()

    def _fit_pictures(self) -> None:
        both = self.gallery.height() + self.diagrams.height()
        self.gallery.fit_height(both // 2, 3 * both // 5)

    def _split(self) -> None:
        self._by_hand = True
        self._fit_pictures()

    def _title(self) -> None:
        title = self._session.document.project.title
        self.setWindowTitle(f"Variants side by side – {title or 'Throwover'}")
        self.chooser.setText(f"Variants: {len(self._chosen)} of {len(self._names)}")
        self.chooser.setMinimumWidth(self.chooser.sizeHint().width() + ARROW)

    def _fill_choices(self) -> None:
        """Offer every variant; two stay chosen and no more than four are."""
        self.choices.clear()
        for name in self._names:
            action = self.choices.addAction(name.replace("&", "&&"))
            action.setCheckable(True)
            action.setChecked(name in self._chosen)
            action.setData(name)
            action.toggled.connect(partial(self._choose, name))
        self.choices.addSection(f"{LEAST} to {MOST} at a time")
        self._able_choices()

    def _able_choices(self) -> None:
        """Grey out what cannot be chosen, or taken away, at present."""
        count = len(self._chosen)
        for action in self.choices.actions():
            if action.isCheckable():
                chosen = action.data() in self._chosen
                action.setEnabled(count > LEAST if chosen else count < MOST)

    def _choose(self, name: str, chosen: bool) -> None:
        kept = [other for other in self._chosen if other != name]
        self.choose(*(*kept, name) if chosen else kept)
        self._able_choices()

    # ---- export -------------------------------------------------------------------------

    def _save_pdf(self) -> None:
        self._save("PDF", ".pdf")

    def _save_csv(self) -> None:
        self._save("CSV", ".csv")

    def _save(self, kind: str, suffix: str) -> None:
        """Ask for a name and write the comparison under it; a failure becomes a notice."""
        finish_entry()
        self.refresh()
        comparison = self.comparison
        if comparison is None:
            return
        source = self._session.document.path
        path = export.ask(self, kind, beside(source, "compared", suffix))
        if path is None:
            return
        self._say_saved()
        try:
            file = source.name if source is not None else ""
            export.write(with_copies(comparison), path, self.share, self.together, file)
        except ThrowoverError as problem:
            self.notices.say(str(problem))
        else:
            self._say_saved(f"Saved as {path}.")

    def _say_saved(self, sentence: str = "") -> None:
        """Say in the bar what was written, until something changes.

        A long path loses its middle.
        """
        self.saved.setToolTip(sentence)
        width = self.saved.width() - 8
        self.saved.setText(shortened(sentence, QFontMetricsF(self.saved.font()), width))
