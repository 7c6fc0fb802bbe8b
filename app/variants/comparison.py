"""Two to four variants held against each other. Needs no Qt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from app.variants.outcomes import Outcome, Outcomes
from solver import units
from solver.analysis import Analysis
from solver.model import Design
from solver.project import Display, Project

if TYPE_CHECKING:
    from solver.spread import Spread

LEAST, MOST = 2, 4
"""How many variants are compared at a time."""

Together = Literal["share", "direction"]
"""How the levers go together: the same share of each one's travel, or the same direction."""

Curve = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Entry:
    """One of the variants compared; `number` counts from 1 and marks it everywhere.

    copies: what copies of it do, each off by its tolerances; None while that is not known.
    """

    number: int
    name: str
    note: str
    outcome: Outcome
    copies: Spread | None = None

    @property
    def analysis(self) -> Analysis | None:
        """Its analysis; None where it cannot be solved."""
        return self.outcome.analysis


@dataclass(frozen=True, slots=True)
class Comparison:
    """The variants compared; `against` is the index of the entry that the others are held to."""

    title: str
    entries: tuple[Entry, ...]
    display: Display
    against: int = 0

    @property
    def base(self) -> Entry:
        """The entry that the others are held against."""
        return self.entries[self.against]

    def others(self) -> tuple[Entry, ...]:
        """All entries but that one."""
        return tuple(entry for entry in self.entries if entry is not self.base)

    def solved(self) -> tuple[Entry, ...]:
        """Those that can be solved."""
        return tuple(entry for entry in self.entries if entry.analysis is not None)


@dataclass(frozen=True, slots=True)
class Plot:
    """One diagram: its curves, (x, y) of each entry in display units, and where each entry is.

    `quantity` is that of y; `ends` and `centres` are the places of rest B and of dead centre on
    the x axis (NaN where there is none).
    """

    title: str
    quantity: units.Quantity
    unit: str
    entries: tuple[Entry, ...]
    curves: tuple[tuple[Curve, Curve], ...]
    centres: tuple[float, ...]


def compared(
    project: Project,
    indices: tuple[int, ...],
    outcomes: Outcomes,
    copies: Callable[[Design], Spread | None] = lambda design: None,
    against: int = 0,
) -> Comparison:
    """The comparison of a project's variants at `indices`, in that order.

    `copies` gives what copies of a design do, as far as it is known; `against` is the place in
    `indices` of the variant that the others are held against.
    """
    chosen = [project.variants[index] for index in indices]
    entries = tuple(
        Entry(
            number,
            each.name,
            each.note,
            outcomes.of(each.design, project.display),
            copies(each.design),
        )
        for number, each in enumerate(chosen, start=1)
    )
    return Comparison(project.title, entries, project.display, against)


def with_copies(comparison: Comparison) -> Comparison:
    """The same with what is not known of the copies found now."""
    from solver.spread import spread

    return replace(
        comparison,
        entries=tuple(
            replace(entry, copies=spread(entry.outcome.design))
            if entry.copies is None and entry.analysis is not None
            else entry
            for entry in comparison.entries
        ),
    )


def travel_of(entry: Entry, comparison: Comparison, share: float, together: Together) -> float:
    """Where the lever of an entry is, degrees from its rest A, with the first one at `share`.

    Going by direction, a lever waits on its stop where the first one leaves its throw.
    """
    analysis = entry.analysis
    first = next((other.analysis for other in comparison.entries if other.analysis), None)
    if analysis is None or first is None:
        return 0.0
    if together == "share":
        return share * analysis.throw
    direction = float(first.direction[0]) + first.sense * share * first.throw
    return min(max(_travel_at(analysis, direction), 0.0), analysis.throw)


def share_at(entry: Entry, comparison: Comparison, travel: float, together: Together) -> float:
    """The first entry's share of travel that brings an entry's lever to `travel` (degrees)."""
    analysis = entry.analysis
    first = next((other.analysis for other in comparison.entries if other.analysis), None)
    if analysis is None or first is None:
        return 0.0
    if together == "share":
        share = travel / analysis.throw
    else:
        direction = float(analysis.direction[0]) + analysis.sense * travel
        share = _travel_at(first, direction) / first.throw
    return min(max(share, 0.0), 1.0)


def plots(comparison: Comparison, together: Together) -> tuple[Plot, ...]:
    """Energy, and the effort each way, of all entries that can be solved."""
    entries, display = comparison.solved(), comparison.display
    analyses = [entry.analysis for entry in entries if entry.analysis is not None]
    xs = [_along(analysis.travel, analysis, analyses[0], together) for analysis in analyses]
    centres = tuple(
        float(_along(np.array([_or_nan(a.dead_centre)]), a, analyses[0], together)[0])
        for a in analyses
    )
    made = []
    for title, quantity, values in (
        ("Energy", "energy", [a.energy for a in analyses]),
        ("Effort A → B", "force", [a.effort_to_b for a in analyses]),
        ("Effort B → A", "force", [a.effort_to_a for a in analyses]),
    ):
        kind: units.Quantity = "energy" if quantity == "energy" else "force"
        size = units.factor(kind, display)
        curves = tuple((x, y * size) for x, y in zip(xs, values, strict=True))
        unit = units.unit_of(kind, display)
        made.append(Plot(title, kind, unit, entries, curves, centres))
    return tuple(made)


def place_on_axis(comparison: Comparison, share: float, together: Together) -> float:
    """Where the levers are on the plots' x axis, with the first one at `share`."""
    first = next((other.analysis for other in comparison.entries if other.analysis), None)
    if first is None or together == "share":
        return 100.0 * share
    return share * first.throw


def axis_name(together: Together) -> str:
    """What the plots' x axis shows."""
    return "% of the travel" if together == "share" else "° from rest A of 1"


def _along(travel: Curve, analysis: Analysis, first: Analysis, together: Together) -> Curve:
    """Travel (degrees from rest A) as places on the x axis."""
    if together == "share":
        return 100.0 * travel / analysis.throw
    offset = _travel_at(first, float(analysis.direction[0]))
    return offset + analysis.sense * first.sense * travel


def _travel_at(analysis: Analysis, direction: float) -> float:
    """The travel from rest A (degrees) at a lever direction, on the turn nearest to the throw."""
    away = direction - float(analysis.direction[0])
    middle = analysis.throw / 2.0
    return middle + (analysis.sense * away - middle + 180.0) % 360.0 - 180.0


def _or_nan(value: float | None) -> float:
    return float("nan") if value is None else value
