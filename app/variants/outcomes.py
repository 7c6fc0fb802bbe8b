"""What becomes of each variant's design: its analysis, or the sentence on why there is none.

Needs no Qt.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from typing import Literal

from solver.analysis import Analysis, analyse
from solver.errors import ThrowoverError
from solver.model import Design
from solver.project import Display

State = Literal["good", "bad", "unknown"]

_KEPT = 24
"""Least number of outcomes that are remembered."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """One design solved, or `problem`: why it cannot be."""

    design: Design
    analysis: Analysis | None
    problem: str = ""

    @property
    def state(self) -> State:
        """Whether it works; unknown where it cannot be solved."""
        if self.analysis is None:
            return "unknown"
        return "good" if self.analysis.good else "bad"

    @property
    def words(self) -> str:
        """The state in a few words, with the count of limits that fail."""
        if self.analysis is None:
            return "Cannot be solved"
        failed = sum(not limit.holds for limit in self.analysis.limits)
        if failed:
            count = len(self.analysis.limits)
            return f"Does not work: {failed} of {count} limits fail{'s' if failed == 1 else ''}"
        return "Works" if self.analysis.good else "Does not work yet"

    @property
    def sentence(self) -> str:
        """The verdict, or why the design cannot be solved."""
        return self.problem if self.analysis is None else self.analysis.verdict


def outcome_of(design: Design, display: Display) -> Outcome:
    """Solve a design now."""
    try:
        return Outcome(design, analyse(design, display=display))
    except ThrowoverError as problem:
        return Outcome(design, None, str(problem))


class Outcomes:
    """The outcomes found last. Designs are told apart by identity: hashing one costs more."""

    def __init__(self) -> None:
        self._kept: OrderedDict[tuple[int, Display], Outcome] = OrderedDict()
        self._most = _KEPT

    def make_room(self, count: int) -> None:
        """Remember at least so many, so that nothing is worked out again and again."""
        self._most = max(_KEPT, count)

    def known(self, design: Design, display: Display) -> Outcome | None:
        """The outcome of a design if it has been found already."""
        found = self._kept.get((id(design), display))
        # The outcome holds its design, so an identity is not given out anew while it is kept.
        if found is not None:
            self._kept.move_to_end((id(design), display))
        return found

    def of(self, design: Design, display: Display) -> Outcome:
        """The outcome of a design, found now if need be."""
        return self.known(design, display) or self.learn(outcome_of(design, display), display)

    def learn(self, outcome: Outcome, display: Display) -> Outcome:
        """Keep an outcome that somebody else has found."""
        self._kept[id(outcome.design), display] = outcome
        while len(self._kept) > self._most:
            self._kept.popitem(last=False)
        return outcome
