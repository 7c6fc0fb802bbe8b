"""What the builder does to single dimensions, as new sheets: hide, show, move, add, remove."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from solver.project import DimensionChoice, OwnDimension, Sheet

Way = Literal["straight", "across", "up"]


def choice_of(sheet: Sheet, key: str, shown: bool = True) -> DimensionChoice:
    """What is chosen for a dimension; `shown` is how it stands where nothing is."""
    for choice in sheet.dimensions:
        if choice.key == key:
            return choice
    return DimensionChoice(key, shown)


def with_choice(sheet: Sheet, choice: DimensionChoice) -> Sheet:
    """The sheet with that choice in place of the one of its key."""
    others = tuple(one for one in sheet.dimensions if one.key != choice.key)
    return replace(sheet, dimensions=(*others, choice))


def moved(sheet: Sheet, key: str, x: float, y: float) -> Sheet:
    """The sheet with a dimension's text moved by so many mm, to a tenth."""
    now = choice_of(sheet, key)
    return with_choice(
        sheet,
        replace(now, shift_x=round(now.shift_x + x, 1), shift_y=round(now.shift_y + y, 1)),
    )


def with_own(sheet: Sheet, a: str, b: str, way: Way) -> Sheet:
    """The sheet with one more distance; the same one where it has it, but shown."""
    own = OwnDimension(a, b, way)
    key = own_key(own)
    dimensions = tuple(choice for choice in sheet.dimensions if choice.key != key)
    if own in sheet.own_dimensions:
        return replace(sheet, dimensions=dimensions)
    return replace(sheet, dimensions=dimensions, own_dimensions=(*sheet.own_dimensions, own))


def without_own(sheet: Sheet, key: str) -> Sheet:
    """The sheet without an own distance and what was chosen for it."""
    return replace(
        sheet,
        own_dimensions=tuple(own for own in sheet.own_dimensions if own_key(own) != key),
        dimensions=tuple(choice for choice in sheet.dimensions if choice.key != key),
    )


def own_key(own: OwnDimension) -> str:
    """The key that the sheet knows an own distance by."""
    return f"own:{own.a}:{own.b}:{own.direction}"
