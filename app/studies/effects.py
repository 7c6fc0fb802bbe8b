"""The panel with what a reading depends on, and which way it would go."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QLabel, QVBoxLayout, QWidget

from app import study_words as words
from app.session import Session
from app.studies.bar_list import Bar, BarList
from app.studies.study_panel import StudyPanel
from solver import units
from solver.sensitivity import Sensitivities, Sensitivity

_WAITING = "Looking…"
_LEAST = 1e-3
"""Share of the greatest effect below which a number does not count."""


class EffectsPanel(StudyPanel):
    """Every number of the design by how much it does to one reading."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "effects", "The reading looked into.", parent)
        self.head = QLabel(_WAITING, self)
        self.head.setWordWrap(True)
        self.head.setTextFormat(Qt.TextFormat.PlainText)
        self.bars = BarList("What the reading depends on", ("A little more of", "Does"), self)
        self.arrows = QCheckBox("Arrows in the sketch", self)
        self.arrows.setToolTip(
            "Draw at every point which way to move it for a better reading, and the gain per mm."
        )
        self.arrows.toggled.connect(lambda on: self._findings.switch("arrows", on))
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 6, 8, 6)
        column.setSpacing(4)
        column.addLayout(self.choice_line("Effect on"))
        column.addWidget(self.head)
        column.addWidget(self.bars, 1)
        column.addWidget(self.arrows)
        self.start(self.head)

    def show_findings(self) -> None:
        """Show what is known."""
        self.arrows.setChecked(self._findings.is_on("arrows"))
        effects = self._findings.effects
        if effects is None:
            self._say(self.problem(_WAITING))
            self.bars.show_bars([])
            return
        display = self._session.display
        value = units.show(effects.value, effects.reading.quantity, display)
        better = {1: "; more is better", -1: "; less is better", 0: ""}[effects.better]
        self._say(
            f"Now {value}{better}. Each number changed by its tolerance, x and y as the lever "
            "stands now:"
        )
        self.bars.show_bars(self._rows(effects))

    def _rows(self, effects: Sensitivities) -> list[Bar]:
        most = max((each.effect for each in effects.ranked), default=0.0)
        if not most > 0.0:
            return []
        return [
            self._bar(effects, each, each.effect / most)
            for each in effects.ranked
            if each.effect > _LEAST * most and self._is_seen(effects, each)
        ]

    def _is_seen(self, effects: Sensitivities, each: Sensitivity) -> bool:
        """Whether a number does anything that its words show."""
        display, quantity = self._session.display, effects.reading.quantity
        nothing = words.change(0.0, quantity, display)
        return any(words.change(by, quantity, display) != nothing for by in (each.rise, each.fall))

    def _bar(self, effects: Sensitivities, each: Sensitivity, share: float) -> Bar:
        display, quantity = self._session.display, effects.reading.quantity
        step = words.step(each, display)
        rise, fall = (words.change(value, quantity, display) for value in (each.rise, each.fall))
        tip = f"{each.number.label}: {step} more: {rise}; {step} less: {fall}"
        return Bar(f"{each.number.label}, {step}", share, rise, tip)

    def _say(self, text: str) -> None:
        if text != self.head.text():
            self.head.setText(text)
