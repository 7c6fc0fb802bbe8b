"""How many copies of each variant would hold its limits, found beside the window."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from app.background.worker import Worker
from solver.model import Design

if TYPE_CHECKING:
    from solver.spread import Spread

COPIES, POSITIONS = 2000, 181
"""As many as `throwover spread` makes, so that the numbers are the same."""
_KEPT = 16
_KIND = "spread"


class Copies(QObject):
    """What copies of the designs asked for do; one design after the other is worked out."""

    found = Signal()
    """There is another answer."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._worker = Worker(self)
        self._worker.answered.connect(self._take)
        self._worker.failed.connect(self._skip)
        # Designs are told apart by identity; each is kept with its answer, so none is mistaken.
        self._answers: dict[int, tuple[Design, Spread | None]] = {}
        self._wanted: tuple[Design, ...] = ()
        self._asked: tuple[int, Design] | None = None

    def of(self, design: Design) -> Spread | None:
        """What copies of a design do; None while that is not known, or cannot be."""
        found = self._answers.get(id(design))
        return None if found is None else found[1]

    def want(self, designs: Iterable[Design]) -> None:
        """Find the answers for these designs; others are not wanted any more."""
        self._wanted = tuple(designs)
        if self._asked is not None and all(self._asked[1] is not each for each in self._wanted):
            self._worker.cancel(_KIND)
            self._asked = None
        self._go_on()

    def close(self) -> None:
        """Stop working."""
        self._wanted, self._asked = (), None
        self._worker.close()

    def _go_on(self) -> None:
        unknown = [each for each in self._wanted if id(each) not in self._answers]
        if unknown and self._asked is None:
            ticket = self._worker.ask(_KIND, unknown[0], COPIES, POSITIONS)
            self._asked = (ticket, unknown[0])

    def _take(self, _kind: str, ticket: int, answer: Spread) -> None:
        self._learn(ticket, answer)

    def _skip(self, _kind: str, ticket: int, _sentence: str) -> None:
        self._learn(ticket, None)

    def _learn(self, ticket: int, answer: Spread | None) -> None:
        if self._asked is None or ticket != self._asked[0]:
            return
        design = self._asked[1]
        self._asked = None
        self._answers[id(design)] = (design, answer)
        while len(self._answers) > _KEPT:
            self._answers.pop(next(iter(self._answers)))
        self.found.emit()
        self._go_on()
