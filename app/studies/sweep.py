"""The dialog that lets one number, or two, go through a range and draws a reading over it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QSize, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.background.worker import Worker
from app.closing import close_button
from app.file_names import beside
from app.inspect.choice_box import ChoiceBox
from app.screen_room import fitted
from app.session import Session
from app.studies.number_range import NumberRange, sweepable
from app.studies.sweep_plot import SweepPlot
from app.studies.sweep_words import coarse
from app.study_words import with_units
from solver.errors import ThrowoverError
from solver.files import write_whole
from solver.model import Design
from solver.readings import ReadingKind, catalogue
from solver.sweep import Sweep, SweepMap, map_csv, sweep_csv
from solver.sweep_copies import HOLD_ALL

_STEPS, _MAP_STEPS, _COPY_STEPS = 121, 61, 31
_ONE_ONLY = "Copies are swept over one number: choose another reading for a map."
_NO_MAP = "Copies are swept over one number, not over a map of two."


class SweepDialog(QDialog):
    """Sweeps the design of a session; follows it while it changes."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._worker = Worker(self)
        self._kind = ""
        self._swept_design: Design = session.document.design
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.across = NumberRange("Number", session.display, self)
        self.two = QCheckBox("and a second number, as a map", self)
        self.up = NumberRange("Second number", session.display, self)
        self.reading = ChoiceBox("Reading", "The reading that is drawn.", parent=self)
        self.plot = SweepPlot(self)
        self.told = QLabel(self)
        self.csv = QPushButton("Save as &CSV…", self)
        self.png = QPushButton("Save as &PNG…", self)
        self._lay_out()
        self._offer()
        self._connect()
        self.resize(fitted(self, self.sizeHint()))
        self._ask()

    def _lay_out(self) -> None:
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.told.setMinimumHeight(3 * self.fontMetrics().lineSpacing())
        self.told.setAlignment(Qt.AlignmentFlag.AlignTop)
        left = QVBoxLayout()
        wish = QFormLayout()
        wish.addRow("&Reading", self.reading)
        left.addLayout(wish)
        left.addWidget(self.across)
        left.addWidget(self.two)
        left.addWidget(self.up)
        left.addStretch(1)
        right = QVBoxLayout()
        right.addWidget(self.plot, 1)
        right.addWidget(self.told)
        halves = QHBoxLayout()
        halves.addLayout(left, 0)
        halves.addLayout(right, 1)
        buttons = QHBoxLayout()
        for button in (self.csv, self.png):
            buttons.addWidget(button)
        buttons.addStretch(1)
        buttons.addWidget(close_button(self, "C&lose"))
        column = QVBoxLayout(self)
        column.addLayout(halves, 1)
        column.addLayout(buttons)
        self.up.hide()

    def _title(self) -> None:
        """Name the variant that is swept: the window follows the one on the sheet."""
        title = f"Sweep of “{self._session.document.project.variant.name}”"
        if title != self.windowTitle():
            self.setWindowTitle(title)

    def _offer(self) -> None:
        design = self._session.document.design
        kinds = _swept_kinds(design)
        self.reading.offer(tuple((kind.key, kind.label) for kind in kinds))
        limited = [limit.reading for limit in design.limits]
        self.reading.load((limited or [kinds[0].key if kinds else ""])[0])
        numbers = sweepable(design)
        self.across.offer(numbers, numbers[0])
        self.up.offer(numbers, numbers[1])

    def _connect(self) -> None:
        self.reading.edited.connect(self._ask)
        self.across.changed.connect(lambda: self._tell_apart(self.up, self.across))
        self.up.changed.connect(lambda: self._tell_apart(self.across, self.up))
        self.two.toggled.connect(self.up.setVisible)
        self.two.toggled.connect(self._ask)
        self.plot.pointed.connect(self._point)
        self.csv.clicked.connect(self._save_csv)
        self.png.clicked.connect(self._save_png)
        self._worker.answered.connect(self._take)
        self._worker.failed.connect(self._refuse)
        self._worker.trouble.connect(self._say)
        self._session.updated.connect(self._follow)

    def sizeHint(self) -> QSize:
        """Room for the plot."""
        return QSize(900, 560)

    def done(self, result: int) -> None:
        """End what is worked out with the dialog, however it closes."""
        self._worker.close()
        super().done(result)

    @property
    def busy(self) -> bool:
        """Whether the picture is still to come."""
        return self._worker.busy

    def _follow(self) -> None:
        numbers = sweepable(self._session.document.design)
        for chosen in (self.across, self.up):
            chosen.set_display(self._session.display)
            chosen.offer(numbers, numbers[0])
        kinds = _swept_kinds(self._session.document.design)
        self.reading.offer(tuple((kind.key, kind.label) for kind in kinds))
        self._tell_apart(self.up, self.across)

    def _tell_apart(self, other: NumberRange, chosen: NumberRange) -> None:
        """Draw anew; a map is of two numbers, so that the other one gives way to the chosen."""
        if other.path == chosen.path:
            other.take_another(chosen.path)
        self._ask()

    def _ask(self) -> None:
        design = self._session.document.design
        self._title()
        reading = next(
            (k.key for k in _swept_kinds(design) if k.label == self.reading.currentText()), None
        )
        self._bar(reading)
        if reading is None:
            self._say("Choose a reading.")
            return
        self._swept_design = design
        copies, two = reading == HOLD_ALL.key, self.two.isChecked()
        self._kind = "copies" if copies else "map" if two else "sweep"
        if self._kind == "copies":
            self._worker.ask("copies", design, *self.across.pair(_COPY_STEPS))
        elif self._kind == "map":
            across, up = (chosen.pair(_MAP_STEPS) for chosen in (self.across, self.up))
            self._worker.ask("map", design, across, up, reading)
        else:
            self._worker.ask("sweep", design, *self.across.pair(_STEPS), reading)

    def _bar(self, reading: str | None) -> None:
        """Keep from choosing what does not go together, a map and the copies, and say why."""
        copies = reading == HOLD_ALL.key
        self.two.setEnabled(not copies)
        self.two.setToolTip(_ONE_ONLY if copies else "")
        self.reading.withhold({HOLD_ALL.key: _NO_MAP} if self.two.isChecked() else {})

    def _take(self, kind: str, ticket: int, swept: Sweep | SweepMap) -> None:
        if kind != self._kind:
            return
        self.plot.show_sweep(swept, self._swept_design, self._session.display)
        self._say(self._told())

    def _told(self) -> str:
        """What there is to say of the whole picture."""
        swept = self.plot.swept
        sure = coarse(swept) if isinstance(swept, Sweep) and swept.copies else ""
        return with_units(f"{self.plot.crossed()} {sure}".strip())

    def _refuse(self, kind: str, ticket: int, sentence: str) -> None:
        if kind != self._kind:
            return
        self.plot.show_sweep(None, self._swept_design, self._session.display)
        self._say(sentence)

    def _point(self, words: str) -> None:
        if self.plot.swept is not None:
            self._say(words or self._told())

    def _say(self, text: str) -> None:
        self.told.setText(text)
        for button in (self.csv, self.png):
            button.setEnabled(self.plot.swept is not None)

    def _save_csv(self) -> None:
        swept = self.plot.swept
        path = self._where(".csv", "Tables (*.csv)")
        if path is not None and swept is not None:
            write = map_csv if isinstance(swept, SweepMap) else sweep_csv
            text = write(swept, self._session.display)  # type: ignore[arg-type]
            self._write(path, text.encode())

    def _save_png(self) -> None:
        from app.studies.sweep_picture import sweep_image

        swept = self.plot.swept
        path = self._where(".png", "Pictures (*.png)")
        if path is None or swept is None:
            return
        project = self._session.document.project
        head = ", ".join(filter(None, (project.title, project.variant.name)))
        image = sweep_image(swept, self._swept_design, self._session.display, head)
        data = QBuffer()
        image.save(data, "PNG")  # type: ignore[call-overload]  # a device is taken as well
        self._write(path, bytes(data.data().data()))

    def _write(self, path: Path, data: bytes) -> None:
        """Write a file, and say that, or why not."""
        try:
            write_whole(path, data)
        except ThrowoverError as problem:
            self._say(str(problem))
        else:
            self._say(f"Saved as {path}.")

    def _where(self, suffix: str, kinds: str) -> Path | None:
        """The file name that the user gives, with the suffix if it has none; None if none."""
        offered = beside(self._session.document.path, "sweep", suffix)
        chosen, _ = QFileDialog.getSaveFileName(self, "Save the sweep", str(offered), kinds)
        path = Path(chosen) if chosen else None
        return path.with_suffix(suffix) if path and not path.suffix else path


def _swept_kinds(design: Design) -> tuple[ReadingKind, ...]:
    """The design's readings, and the share of copies where there are limits to hold."""
    return (*catalogue(design), *((HOLD_ALL,) if design.limits else ()))


def show_sweep(session: Session, parent: QWidget) -> SweepDialog:
    """Open the dialog, or bring up the one that is open."""
    found = parent.findChild(SweepDialog)
    dialog = found if isinstance(found, SweepDialog) else SweepDialog(session, parent)
    dialog.show()
    dialog.raise_()
    dialog.activateWindow()
    return dialog
