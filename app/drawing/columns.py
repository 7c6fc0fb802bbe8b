"""Blocks in columns of one width: the tables of a sheet, as calm as they can stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from app.drawing.blocks import BETWEEN, Block
from app.drawing.model import Element, Place
from app.drawing.paper import Area

LEAST = 79.0
"""No column is narrower (mm) where two would fit."""
WIDEST = 110.0
"""No column is wider, mm."""
ASIDE = 4.0
"""Between two columns, mm."""


def column_count(width: float) -> int:
    """How many columns a room of that width (mm) has."""
    return max(1, int((width + ASIDE) / (LEAST + ASIDE) + 1e-9))


def column_width(width: float) -> float:
    """How wide the columns of a room of that width are, mm."""
    count = column_count(width)
    return min((width - (count - 1) * ASIDE) / count, WIDEST)


def columns_width(width: float) -> float:
    """What the columns of a room of that width take together, mm."""
    count = column_count(width)
    return count * column_width(width) + (count - 1) * ASIDE


def fill(
    blocks: Sequence[Block], area: Area, whole: bool = False
) -> tuple[list[Element], list[Block]]:
    """Blocks laid into an area, and those that are left for the next page.

    A block takes as many columns as it needs and goes where it stands highest; one that is too
    long is put off, and goes on overleaf where not even an empty page holds it, unless all are
    to stay `whole`.
    """
    columns = _Columns(area)
    elements: list[Element] = []
    left: list[Block] = []
    for block in blocks:
        fitted, at = columns.place(block)
        if at is None and not (elements or left or whole):
            parted = fitted.split(area.height)
            if parted is not None:
                fitted, rest = parted
                left.append(rest)
                at = columns.place(fitted)[1]
        if at is None:
            left.append(block)
        else:
            elements += fitted.elements(at)
    return elements, left


@dataclass
class _Columns:
    """The columns of an area, and how far down each is filled."""

    area: Area
    used: list[float] = field(init=False)

    def __post_init__(self) -> None:
        self.used = [0.0] * column_count(self.area.width)

    def place(self, block: Block) -> tuple[Block, Place | None]:
        """The block as wide as its columns, and its upper left corner; None where it has none."""
        unit = column_width(self.area.width)
        count = max(1, -int(-(block.least_width + ASIDE - 1e-6) // (unit + ASIDE)))
        block = block.stretched(count * unit + (count - 1) * ASIDE)
        starts = range(len(self.used) - count + 1)
        if not starts:
            return block, None
        start = min(starts, key=lambda one: (max(self.used[one : one + count]), one))
        top = max(self.used[start : start + count])
        if top + block.height > self.area.height + 1e-6:
            return block, None
        for column in range(start, start + count):
            self.used[column] = top + block.height + BETWEEN
        return block, (self.area.left + start * (unit + ASIDE), self.area.top - top)
