"""What a sheet shows of all that can be dimensioned: by itself, as ticked, as it has room."""

from __future__ import annotations

from dataclasses import dataclass

from app.drawing.dimensioning import Distance, Measure, measures
from app.drawing.poses import Posed
from solver.project import Display, Sheet


@dataclass(frozen=True, slots=True)
class Choice:
    """One dimension in the list of what the sheet may show."""

    key: str
    title: str
    shown: bool


def choices(posed: Posed, sheet: Sheet, display: Display) -> tuple[Choice, ...]:
    """Every dimension that the sheet can show, and whether it does now."""
    wished = {choice.key: choice.shown for choice in sheet.dimensions}
    return tuple(
        Choice(one.key, one.title, wished.get(one.key, one.shown))
        for one in measures(posed, sheet, display)
    )


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a view dimensions: first what every sheet of the design shows, then what is added.

    The first are placed whether they are hidden or not, and before the others: so neither hiding
    nor adding one shifts the rest. `left_out` are the titles of those left to the tables.
    """

    regular: tuple[Measure, ...] = ()
    added: tuple[Measure, ...] = ()
    left_out: tuple[str, ...] = ()

    def spared(self, scale: float, sheet: Sheet) -> Wanted:
        """Without details that tables tell too, where a view of that scale has no room for them.

        Such are distances shorter on paper than their text with its arrows. What the builder
        moved or ticked stays.
        """
        chosen = {choice.key for choice in sheet.dimensions if choice.shown}
        spare = self._cramped(scale) - chosen
        return Wanted(
            tuple(one for one in self.regular if one.key not in spare),
            self.added,
            tuple(one.title for one in self.regular if one.key in spare),
        )

    def cramped(self, scale: float) -> int:
        """How many dimensions are so short in a view of that scale."""
        return len(self._cramped(scale))

    def _cramped(self, scale: float) -> set[str]:
        """Rows outside the view have room beside their arrows: they are not counted."""
        return {
            one.key
            for one in self.regular
            if isinstance(one, Distance) and one.angle is None and one.cramped(scale)
        }


def wanted(posed: Posed, sheet: Sheet, display: Display) -> Wanted:
    """What a project's sheet shows."""
    wished = {choice.key for choice in sheet.dimensions if choice.shown}
    every = measures(posed, sheet, display)
    return Wanted(
        tuple(one for one in every if one.shown and one.group != "own"),
        tuple(one for one in every if one.group == "own" or (one.key in wished and not one.shown)),
    )
