"""What a form is made of: rows as plain data, one for each value that can be edited."""

from dataclasses import dataclass

from solver.ranges import Range
from solver.units import Quantity

Value = float | str | bool | tuple[str, ...] | None
"""What a row holds; a row whose key is missing from the values is not shown."""


@dataclass(frozen=True, slots=True)
class Number:
    """A quantity in base units, within `allowed`. `optional`: it may be left empty (None)."""

    key: str
    label: str
    quantity: Quantity
    tip: str = ""
    allowed: Range | None = None
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Flag:
    """Yes or no; the label is the check box's own words."""

    key: str
    label: str
    tip: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several: pairs of value and words, or none here where the page offers them.

    With a `prompt` nothing is chosen to begin with and choosing is an act (join with …).
    """

    key: str
    label: str
    tip: str = ""
    options: tuple[tuple[str, str], ...] = ()
    prompt: str = ""


@dataclass(frozen=True, slots=True)
class Checklist:
    """Any of several names; the page offers them."""

    key: str
    label: str
    tip: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """A name, or with `lines` above 1 a note."""

    key: str
    label: str
    tip: str = ""
    lines: int = 1


@dataclass(frozen=True, slots=True)
class Heading:
    """The title of the rows under it; hidden when all of them are."""

    key: str
    label: str


Row = Number | Flag | Choice | Checklist | Text | Heading
