"""The dialog that tunes a design: what may change, what is wanted, the best so far, the answer."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, QSize, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDoubleSpinBox,
    QFormLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app import study_words as words
from app.background.tuned import Tuned
from app.background.worker import Worker
from app.closing import close_button
from app.inspect.choice_box import ChoiceBox
from app.screen_room import fitted
from app.session import Session
from app.studies import tuned_words
from app.studies.movable_rows import MovableRows
from app.studies.preview import Preview
from solver import variants
from solver.errors import ThrowoverError
from solver.model import Design
from solver.readings import catalogue
from solver.tuning_goal import Room, Wish

BUDGET = 12_000
_COPIES = 2000
_ROBUST = "robust"
_AIMS = (
    (_ROBUST, "most room for the tolerances"),
    ("most", "as much as can be of"),
    ("least", "as little as can be of"),
    ("near", "as little changed as can be"),
)
_OF_A_READING = ("most", "least")


class TunerDialog(QDialog):
    """Tunes the variant that was on the sheet when it opened. The document stays as it is.

    The answer becomes a new variant when the user goes on in it.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        project = session.document.project
        self._design, self._name = project.design, project.variant.name
        self._wish = Wish()
        self.tuned: Tuned | None = None
        self._worker = Worker(self)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(f"Tune “{self._name}”")
        self.rows = MovableRows(self._design, project.display, self)
        self.aim = ChoiceBox("What is wanted", "What is wanted besides the limits.", parent=self)
        self.reading = ChoiceBox("Reading", "The reading that the wish is about.", parent=self)
        self.share = QCheckBox("C&opies that hold all limits, at least", self)
        self.percent = QDoubleSpinBox(self)
        self.preview = Preview(project.display, self)
        self.told = _Told(self)
        self.margins = QTreeWidget(self)
        self.progress = QProgressBar(self)
        self.start = QPushButton("&Start", self)
        self.stop = QPushButton("S&top", self)
        self.go_on = QPushButton("&Go on in a new variant", self)
        self._build()
        self._lay_out()
        self._connect()
        _memory_of(session).recall(self)
        self._enable()
        self.preview.show_designs(self._design, self._design)
        self.resize(fitted(self, self.sizeHint()))

    def _build(self) -> None:
        self.aim.offer(_AIMS)
        self.aim.load(_ROBUST)
        kinds = catalogue(self._design)
        self.reading.offer(tuple((kind.key, kind.label) for kind in kinds))
        self.reading.load(kinds[0].key if kinds else None)
        self.share.setToolTip(
            "Copies are drawn of the answer, each off by its tolerances; the search goes on until "
            "so many of them hold."
        )
        self.percent.setRange(50.0, 99.9)
        self.percent.setDecimals(1)
        self.percent.setValue(99.0)
        self.percent.setSuffix(" %")
        self.percent.setAccessibleName("Share of copies")
        self.margins.setHeaderLabels(["Limit", "Room"])
        self.margins.setAccessibleName("Room to each limit")
        self.margins.setRootIsDecorated(False)
        self.margins.setAllColumnsShowFocus(True)
        header = self.margins.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        self.progress.setRange(0, BUDGET)
        self._count(0)
        self.progress.setAccessibleName("Designs tried")
        self.stop.setToolTip("End the search; the best so far is the answer.")
        self.go_on.setToolTip("Leave this variant as it is and go on in a new one: the answer.")

    def _lay_out(self) -> None:
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(self.rows)
        area.setMinimumWidth(320)
        self.rows.details.setMinimumHeight(self.rows.details.sizeHint().height())
        left = QVBoxLayout()
        left.addWidget(_title("What may change", self))
        left.addWidget(area, 1)
        left.addWidget(self.rows.details)
        left.addWidget(_title("What is wanted", self))
        wish = QFormLayout()
        wish.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        wish.addRow(QLabel("All limits hold, and", self))
        wish.addRow(self.aim)
        wish.addRow(self.reading)
        demand = QHBoxLayout()
        demand.addWidget(self.share, 1)
        demand.addWidget(self.percent)
        wish.addRow(demand)
        left.addLayout(wish)
        right = QVBoxLayout()
        right.addWidget(self.preview, 3)
        right.addWidget(self.progress)
        right.addWidget(self.told, 2)
        right.addWidget(self.margins, 2)
        halves = QHBoxLayout()
        halves.addLayout(left, 2)
        halves.addLayout(right, 3)
        buttons = QHBoxLayout()
        buttons.addWidget(self.start)
        buttons.addWidget(self.stop)
        buttons.addStretch(1)
        buttons.addWidget(self.go_on)
        buttons.addWidget(close_button(self))
        column = QVBoxLayout(self)
        column.addLayout(halves, 1)
        column.addLayout(buttons)

    def _connect(self) -> None:
        self.rows.changed.connect(self._enable)
        self.aim.edited.connect(self._enable)
        self.share.toggled.connect(self._enable)
        self.start.clicked.connect(self._begin)
        self.stop.clicked.connect(lambda: self._worker.hurry("tune"))
        self.go_on.clicked.connect(self._go_on)
        self._worker.progressed.connect(self._show_progress)
        self._worker.answered.connect(self._take)
        self._worker.failed.connect(lambda kind, ticket, sentence: self._say(sentence))
        self._worker.trouble.connect(self._say)
        # The answer belongs to the project that the search began in.
        self._session.document.replaced.connect(self.close)

    def sizeHint(self) -> QSize:
        """Room for both halves."""
        return QSize(920, 640)

    def done(self, result: int) -> None:
        """End the search with the dialog, however it closes; what was ticked is kept in mind."""
        _memory_of(self._session).note(self)
        self._worker.close()
        super().done(result)

    def _begin(self) -> None:
        self._wish = self._wished()
        try:
            movables = self.rows.movables()
        except ThrowoverError as problem:
            self._say(str(problem))
            return
        self.tuned = None
        self._count(0)
        self.margins.clear()
        self._say("Searching…")
        display = self._session.display
        self._worker.ask("tune", self._design, movables, self._wish, BUDGET, _COPIES, display)
        self._enable()

    def _wished(self) -> Wish:
        aim = self.aimed
        share = self.percent.value() / 100.0 if self.share.isChecked() else None
        if aim not in _OF_A_READING:
            return Wish(aim, share=share)  # type: ignore[arg-type]
        return Wish(aim, self.read, share)  # type: ignore[arg-type]

    @property
    def design(self) -> Design:
        """The design that is tuned."""
        return self._design

    @property
    def aimed(self) -> str:
        """The key of what is wanted."""
        return _AIMS[self.aim.currentIndex()][0]

    @property
    def read(self) -> str:
        """The key of the reading chosen."""
        kinds = catalogue(self._design)
        return kinds[self.reading.currentIndex()].key if kinds else ""

    def _show_progress(self, kind: str, ticket: int, progress: Any) -> None:  # noqa: ANN401
        self._count(progress.evaluations)
        self.preview.show_designs(self._design, progress.design)
        self._show_margins(progress.margins, progress.design)
        display = self._session.display
        self._write(tuned_words.best_so_far(self._design, self._wish, progress, display))

    def _take(self, kind: str, ticket: int, tuned: Tuned) -> None:
        self.tuned = tuned
        design, display = tuned.tuning.design, self._session.display
        self._count(tuned.tuning.evaluations, done=not tuned.tuning.cancelled)
        self.preview.show_designs(self._design, design)
        self._show_margins(tuned.tuning.margins, design)
        told = [
            tuned_words.outcome(tuned, self._wish),
            tuned_words.copies(tuned, self._wish),
            tuned_words.wished(self._wish, tuned.tuning.value, design, display),
            *(f"– {each}" for each in tuned_words.changed(tuned, display)),
            tuned_words.edges(tuned, self._wish),
        ]
        self._say("\n".join(filter(None, told)))

    def _count(self, tried: int, done: bool = False) -> None:
        """Say how many designs were tried; a search that came to its end fills the bar."""
        self.progress.setValue(BUDGET if done else min(tried, BUDGET))
        after = " tried" if done else f" of about {words.count(BUDGET)} tried"
        self.progress.setFormat(f"{words.counted(tried, 'design')}{after}")

    def _show_margins(self, margins: tuple[Room, ...], design: Design) -> None:
        display = self._session.display
        for place, each in enumerate(margins):
            item = self.margins.topLevelItem(place) or QTreeWidgetItem(self.margins)
            texts = (
                tuned_words.bounded(each, design, display),
                tuned_words.room(each, design, display),
            )
            for column, text in enumerate(texts):
                if item.text(column) != text:
                    item.setText(column, text)
                    item.setToolTip(column, text)

    def _go_on(self) -> None:
        """Put the answer beside the other variants, with what changed in its note."""
        if self.tuned is None:
            return
        document = self._session.document
        note = tuned_words.note(self.tuned, self._wish, self._name, self._session.display)
        name = f"{self._name} tuned"
        project = variants.add(document.project, self.tuned.tuning.design, name, note)
        document.apply_project(project, "Go on in a new variant")
        self._session.message.emit(f"You go on in the new variant “{project.variant.name}”.")
        self.tuned = None
        self._enable()

    def _say(self, sentence: str) -> None:
        self._write(sentence)
        self._enable()

    def _write(self, text: str) -> None:
        if text != self.told.text():
            self.told.setText(text)

    def _enable(self) -> None:
        busy = self._worker.busy
        self.start.setEnabled(not busy and any(row.chosen for row in self.rows.rows.values()))
        self.stop.setEnabled(busy)
        found = self.tuned is not None and not tuned_words.unchanged(self.tuned)
        self.go_on.setEnabled(not busy and found)
        self.rows.setEnabled(not busy)
        self.rows.details.setEnabled(not busy)
        self.aim.setEnabled(not busy)
        self.reading.setEnabled(not busy)
        self.share.setEnabled(not busy)
        self.percent.setEnabled(not busy and self.share.isChecked())
        self.reading.setVisible(_AIMS[self.aim.currentIndex()][0] in _OF_A_READING)


class _Told(QScrollArea):
    """Words of any length in a place whose size they do not change."""

    _LINES = 5

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._label = QLabel(self)
        self._label.setWordWrap(True)
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._label.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.setWidget(self._label)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def text(self) -> str:
        """What it says."""
        return self._label.text()

    def setText(self, text: str) -> None:
        """Say something else."""
        self._label.setText(text)

    def sizeHint(self) -> QSize:
        """Room for a few lines, whatever they are."""
        return QSize(300, self._LINES * self.fontMetrics().lineSpacing())

    def minimumSizeHint(self) -> QSize:
        """Two lines."""
        return QSize(160, 2 * self.fontMetrics().lineSpacing())


class _Memory(QObject):
    """What was ticked and wished last, for as long as the session has the project."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._ticks: dict[str, tuple[object, ...]] = {}
        self._wish: tuple[str, str, bool, float] | None = None
        session.document.replaced.connect(self._forget)

    def note(self, dialog: TunerDialog) -> None:
        """Keep in mind what a dialog says."""
        self._ticks = dialog.rows.ticks()
        share = dialog.share.isChecked()
        self._wish = (dialog.aimed, dialog.read, share, dialog.percent.value())

    def recall(self, dialog: TunerDialog) -> None:
        """Let a dialog begin with what the last one said."""
        dialog.rows.restore(self._ticks)
        if self._wish is not None:
            aim, reading, share, percent = self._wish
            dialog.aim.load(aim)
            if reading in {kind.key for kind in catalogue(dialog.design)}:
                dialog.reading.load(reading)
            dialog.share.setChecked(share)
            dialog.percent.setValue(percent)

    def _forget(self) -> None:
        self._ticks, self._wish = {}, None


def _memory_of(session: Session) -> _Memory:
    found = session.findChild(_Memory)
    return found if isinstance(found, _Memory) else _Memory(session)


def _title(text: str, parent: QWidget) -> QLabel:
    label = QLabel(text, parent)
    font = label.font()
    font.setBold(True)
    label.setFont(font)
    return label


def show_tuner(session: Session, parent: QWidget) -> TunerDialog:
    """Open the dialog, or bring up the one that is open."""
    found = parent.findChild(TunerDialog)
    dialog = found if isinstance(found, TunerDialog) else TunerDialog(session, parent)
    dialog.show()
    dialog.raise_()
    dialog.activateWindow()
    return dialog
