"""The project: what one file holds. Immutable values, like the designs in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from solver.model import Design

Units = Literal["metric", "inch"]
AngleFrom = Literal["upright", "x"]


@dataclass(frozen=True, slots=True)
class Display:
    """How numbers are shown and typed; the numbers in the file stay in base units.

    `angle_from` is where directions are counted from, counter-clockwise positive: "x" from
    +x, "upright" from +y (a lever that stands straight up then reads 0).
    """

    units: Units = "metric"
    angle_from: AngleFrom = "upright"

    @property
    def each(self) -> tuple[Display, ...]:
        """The displays, of one system of units each, that a number in a sentence is told in."""
        return (self,)


@dataclass(frozen=True, slots=True)
class BothUnits(Display):
    """For sentences that tell every number twice: "12.3 mm [0.484 in]". Nothing is typed in it."""

    @property
    def each(self) -> tuple[Display, ...]:
        """The metric display and the one in inches."""
        return tuple(Display(units, self.angle_from) for units in SYSTEMS["both"])


@dataclass(frozen=True, slots=True)
class Variant:
    """One saved state of the design, with a name and a note of the builder's own."""

    name: str
    design: Design
    note: str = ""


@dataclass(frozen=True, slots=True)
class DimensionChoice:
    """What the builder did to one dimension of the sheet: hid it, or moved its text (mm)."""

    key: str
    shown: bool = True
    shift_x: float = 0.0
    shift_y: float = 0.0


@dataclass(frozen=True, slots=True)
class OwnDimension:
    """A distance between two points that the builder wants on the sheet."""

    a: str
    b: str
    direction: Literal["straight", "across", "up"] = "straight"


@dataclass(frozen=True, slots=True)
class Sheet:
    """How the drawing is laid out and what its title block says (fields of ISO 7200).

    `scale` is such as "1:2"; empty takes the largest preferred scale that fits. `datum` is the
    point that hole positions count from; empty is the lever's pivot. `date` empty is the day of
    drawing. `levers` at `pitch` (mm) along the shaft make a row. `holes` is the ISO 273 series
    of clearance holes for the pins. `parts` puts the parts list among the sheet's tables.
    """

    size: Literal["A4", "A3", "Letter", "Tabloid"] = "A3"
    landscape: bool = True
    scale: str = ""
    units: Literal["mm", "inch", "both"] = "mm"
    tolerance_class: Literal["fine", "medium", "coarse", "very coarse"] = "medium"
    holes: Literal["fine", "medium", "coarse"] = "medium"
    datum: str = ""
    owner: str = ""
    number: str = ""
    revision: str = ""
    date: str = ""
    creator: str = ""
    approver: str = ""
    levers: int = 1
    pitch: float = 40.0
    dimensions: tuple[DimensionChoice, ...] = ()
    own_dimensions: tuple[OwnDimension, ...] = ()
    parts: bool = True


SYSTEMS: Mapping[str, tuple[Units, ...]] = {
    "mm": ("metric",),
    "inch": ("inch",),
    "both": ("metric", "inch"),
}
"""The units that a sheet shows, by what its units are called."""


@dataclass(frozen=True, slots=True)
class Project:
    """The variants of one linkage; `current` is the index of the one being worked on.

    ValueError where there is no variant or `current` points at none.
    """

    title: str
    variants: tuple[Variant, ...]
    current: int = 0
    display: Display = field(default_factory=Display)
    sheet: Sheet = field(default_factory=Sheet)

    def __post_init__(self) -> None:
        """Refuse a project in which no variant is current."""
        if not 0 <= self.current < len(self.variants):
            raise ValueError("a project needs a variant, and “current” must point at one")

    @property
    def variant(self) -> Variant:
        """The variant being worked on."""
        return self.variants[self.current]

    @property
    def design(self) -> Design:
        """The design of the variant being worked on."""
        return self.variant.design

    @property
    def paper_displays(self) -> tuple[Display, ...]:
        """How everything on paper is shown: as the sheet says, mm before inches if in both."""
        return tuple(replace(self.display, units=one) for one in SYSTEMS[self.sheet.units])

    @property
    def paper_wording(self) -> Display:
        """How sentences on paper tell numbers: in the units of all `paper_displays`."""
        first, *others = self.paper_displays
        return BothUnits(angle_from=first.angle_from) if others else first

    def in_units(self, units: Units) -> Project:
        """This project shown in other units, its sheet with it unless that has both."""
        sheet = self.sheet
        if sheet.units != "both":
            sheet = replace(sheet, units="inch" if units == "inch" else "mm")
        return replace(self, display=replace(self.display, units=units), sheet=sheet)

    def with_design(self, design: Design) -> Project:
        """This project with `design` in place of the current variant's."""
        changed = replace(self.variant, design=design)
        before, after = self.variants[: self.current], self.variants[self.current + 1 :]
        return replace(self, variants=(*before, changed, *after))
