"""The answer of the tuner as it is shown and kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from solver.model import Design
from solver.quantiles import Share

if TYPE_CHECKING:
    from solver.tuner import Tuning


@dataclass(frozen=True, slots=True)
class Tuned:
    """A tuning and the design it began with; copies that hold all limits before and after."""

    start: Design
    tuning: Tuning
    held_before: Share
    held_after: Share
