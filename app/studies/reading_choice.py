"""Chooses the reading that the studies of a session look into."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.findings import Findings
from app.inspect.choice_box import ChoiceBox
from app.session import Session
from solver.readings import catalogue


class ReadingChoice(ChoiceBox):
    """A drop-down of the design's readings; all of them show the same choice."""

    def __init__(
        self, session: Session, findings: Findings, tip: str, parent: QWidget | None = None
    ) -> None:
        super().__init__("Reading", tip, parent=parent)
        self._session = session
        self._findings = findings
        self.edited.connect(findings.look_into)

    def follow(self) -> None:
        """Offer what the present design has and show the one chosen."""
        kinds = catalogue(self._session.document.design)
        self.offer(tuple((kind.key, kind.label) for kind in kinds))
        self.set_value(self._findings.reading)
