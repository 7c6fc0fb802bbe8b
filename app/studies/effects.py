"""The panel with what a reading depends on, and which way it would go."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app import study_words as words
from app.findings import findings_of
from app.seen import Seen
from app.session import Session
from app.studies.bar_list import Bar, BarList
from app.studies.reading_choice import ReadingChoice
from app.theme import theme_source
from solver import units
from solver.sensitivity import Sensitivities, Sensitivity

_WAITING = "Looking…"
_LEAST = 1e-3
"""Share of the greatest effect below which a number does not count."""


class EffectsPanel(QWidget):
    """Every number of the design by how much it does to one reading."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._findings = findings_of(session)
        self.choice = ReadingChoice(session, self._findings, "The reading looked into.", self)
        self.head = QLabel(_WAITING, self)
        self.head.setWordWrap(True)
        self.head.setTextFormat(Qt.TextFormat.PlainText)
        self.bars = BarList("What the reading depends on", ("a little more of", "does"), self)
        self.arrows = QCheckBox("Arrows in the sketch", self)
        self.arrows.setToolTip(
            "Draw at every point which way to move it for a better reading, and the gain per mm."
        )
        self.arrows.toggled.connect(lambda on: self._findings.switch("arrows", on))
        line = QHBoxLayout()
        title = QLabel("Effect on", self)
        title.setBuddy(self.choice)
        line.addWidget(title)
        line.addWidget(self.choice, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 6, 8, 6)
        column.setSpacing(4)
        column.addLayout(line)
        column.addWidget(self.head)
        column.addWidget(self.bars, 1)
        column.addWidget(self.arrows)
        self._seen = Seen(self)
        self._seen.changed.connect(self._come_and_go)
        self._findings.changed.connect(self._changed)
        self._findings.switched.connect(self.refresh)
        session.updated.connect(self._follow_problem)
        theme_source.changed.connect(self._colour)
        self._colour()

    def sizeHint(self) -> QSize:
        """Room for a dozen bars."""
        return QSize(380, 420)

    def minimumSizeHint(self) -> QSize:
        """Small enough for a low dock."""
        return QSize(240, 120)

    def _come_and_go(self, seen: bool) -> None:
        """Ask while on screen, and for nothing while not."""
        self._findings.want("effects", self, seen)
        self.refresh()

    def refresh(self) -> None:
        """Show what is known."""
        if not self._seen:
            return
        self.choice.follow()
        self.arrows.setChecked(self._findings.is_on("arrows"))
        effects = self._findings.effects
        if effects is None:
            told = self._findings.problem("effects") or self._session.problem or _WAITING
            self._say(told)
            self.bars.show_bars([])
            return
        display = self._session.display
        value = units.show(effects.value, effects.reading.quantity, display)
        better = {1: "; more is better", -1: "; less is better", 0: ""}[effects.better]
        self._say(f"Now {value}{better}. Each number changed by its tolerance:")
        self.bars.show_bars(self._rows(effects))

    def _rows(self, effects: Sensitivities) -> list[Bar]:
        most = max((each.effect for each in effects.ranked), default=0.0)
        if not most > 0.0:
            return []
        return [
            self._bar(effects, each, each.effect / most)
            for each in effects.ranked
            if each.effect > _LEAST * most
        ]

    def _bar(self, effects: Sensitivities, each: Sensitivity, share: float) -> Bar:
        display, quantity = self._session.display, effects.reading.quantity
        step = words.step(each, display)
        rise, fall = (words.change(value, quantity, display) for value in (each.rise, each.fall))
        tip = f"{each.number.label}: {step} more: {rise}; {step} less: {fall}"
        return Bar(f"{each.number.label}, {step}", share, rise, tip)

    def _changed(self, study: str) -> None:
        if study == "effects":
            self.refresh()

    def _follow_problem(self) -> None:
        if self._seen and self._findings.effects is None:
            self.refresh()

    def _say(self, text: str) -> None:
        if text != self.head.text():
            self.head.setText(text)

    def _colour(self) -> None:
        palette = QPalette(self.head.palette())
        palette.setColor(QPalette.ColorRole.WindowText, theme_source.theme.faint_ink)
        self.head.setPalette(palette)
