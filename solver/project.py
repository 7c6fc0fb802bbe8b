"""The project: what one file holds. Immutable values, like the designs in it."""

from __future__ import annotations

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


@dataclass(frozen=True, slots=True)
class Variant:
    """One saved state of the design, with a name and a note of the builder's own."""

    name: str
    design: Design
    note: str = ""


@dataclass(frozen=True, slots=True)
class Project:
    """The variants of one linkage; `current` is the index of the one being worked on.

    ValueError where there is no variant or `current` points at none.
    """

    title: str
    variants: tuple[Variant, ...]
    current: int = 0
    display: Display = field(default_factory=Display)

    def __post_init__(self) -> None:
        """Refuse a project in which no variant is current."""
        if not 0 <= self.current < len(self.variants):
            raise ValueError("a project needs a variant, and `current` must point at one")

    @property
    def variant(self) -> Variant:
        """The variant being worked on."""
        return self.variants[self.current]

    @property
    def design(self) -> Design:
        """The design of the variant being worked on."""
        return self.variant.design

    def with_design(self, design: Design) -> Project:
        """This project with `design` in place of the current variant's."""
        changed = replace(self.variant, design=design)
        before, after = self.variants[: self.current], self.variants[self.current + 1 :]
        return replace(self, variants=(*before, changed, *after))
