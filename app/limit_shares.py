"""In how many copies the limits hold, as far as that is known of the present design."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.findings import findings_of
from app.session import Session
from solver.model import Design, Limit

if TYPE_CHECKING:
    from solver.spread import Spread


class Shares(QObject):
    """In how many copies each limit holds, for as long as that is true of the present design.

    While copies are studied it is their latest answer; with no study on show, the last one that
    was not made in haste, if it is of this very design.
    """

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._findings = findings_of(session)
        self._asked: tuple[int, Design, bool] | None = None
        self._known: tuple[Design, dict[Limit, float]] | None = None
        self._findings.asked.connect(self._note)
        self._findings.answered.connect(self._keep)

    def now(self) -> Mapping[Limit, float]:
        """The share of each limit, 0 … 1; empty where it is not known."""
        if self._findings.spread is not None:
            return _shares(self._findings.spread)
        if self._known is not None and self._known[0] == self._session.document.design:
            return self._known[1]
        return {}

    def _note(self, study: str, ticket: int) -> None:
        if study == "spread":
            document = self._session.document
            self._asked = (ticket, document.design, document.in_gesture)

    def _keep(self, study: str, ticket: int) -> None:
        spread, asked = self._findings.spread, self._asked
        if study == "spread" and spread is not None and asked is not None:
            number, design, hasty = asked
            if ticket == number and not hasty:
                self._known = (design, _shares(spread))


def _shares(spread: Spread) -> dict[Limit, float]:
    return {each.limit: each.holds.share for each in spread.limits}
