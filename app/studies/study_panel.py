"""What the panels of studies share: they ask while on screen, and for nothing while not."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QSize
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from app.findings import findings_of
from app.seen import Seen
from app.session import Session
from app.studies.reading_choice import ReadingChoice
from app.theme import theme_source

_Study = Literal["spread", "effects"]


class StudyPanel(QWidget):
    """A panel that shows one study of the design, kept up to date while it is seen.

    `study` is its key among the findings. `start` has to be called once all is built.
    """

    def __init__(self, session: Session, study: _Study, tip: str, parent: QWidget | None) -> None:
        super().__init__(parent)
        self._session = session
        self._study = study
        self._findings = findings_of(session)
        self._faint: tuple[QLabel, ...] = ()
        self.choice = ReadingChoice(session, self._findings, tip, self)

    def start(self, *faint: QLabel) -> None:
        """Begin to follow the session; `faint` are the labels with words of less weight."""
        self._faint = faint
        self._seen = Seen(self)
        self._seen.changed.connect(self._come_and_go)
        self._findings.changed.connect(self._changed)
        self._findings.switched.connect(self.refresh)
        self._session.updated.connect(self._follow_problem)
        theme_source.changed.connect(self._colour)
        self._colour()

    def choice_line(self, title: str) -> QHBoxLayout:
        """The choice of the reading with words before it."""
        line = QHBoxLayout()
        label = QLabel(title, self)
        label.setBuddy(self.choice)
        line.addWidget(label)
        line.addWidget(self.choice, 1)
        return line

    def sizeHint(self) -> QSize:
        """Room for a few limits, or a dozen bars."""
        return QSize(380, 420)

    def minimumSizeHint(self) -> QSize:
        """Small enough for a low dock."""
        return QSize(240, 120)

    def refresh(self) -> None:
        """Show what is known, if on screen."""
        if self._seen:
            self.choice.follow()
            self.show_findings()

    def show_findings(self) -> None:
        """Show what is known; for each panel its own."""
        raise NotImplementedError

    def problem(self, waiting: str) -> str:
        """Why nothing is known: the study's problem, the design's, or that it is under way."""
        return self._findings.problem(self._study) or self._session.problem or waiting

    def _come_and_go(self, seen: bool) -> None:
        self._findings.want(self._study, self, seen)
        self.refresh()

    def _changed(self, study: str) -> None:
        if study == self._study:
            self.refresh()

    def _follow_problem(self) -> None:
        """A design that cannot be solved: what is shown is of the last one."""
        if self._seen and getattr(self._findings, self._study) is None:
            self.refresh()

    def _colour(self) -> None:
        for label in self._faint:
            palette = QPalette(label.palette())
            palette.setColor(QPalette.ColorRole.WindowText, theme_source.theme.faint_ink)
            label.setPalette(palette)
