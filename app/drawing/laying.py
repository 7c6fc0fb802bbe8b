"""The blocks of a sheet laid onto its pages: on few of them, and on none a leftover alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.drawing.blocks import Block
from app.drawing.columns import fill
from app.drawing.model import Element
from app.drawing.paper import Area

_STEPS = 8
"""In so many steps the pages of tables are made lower, down to half, to share blocks evenly."""


@dataclass(frozen=True, slots=True)
class _Laid:
    """The elements of each page, how many tables go on overleaf, and the last page's blocks."""

    pages: tuple[list[Element], ...]
    parted: int
    last: int

    @property
    def badness(self) -> tuple[int, int]:
        """What is to be as small as can be, first things first."""
        return len(self.pages), self.parted


def laid(blocks: Sequence[Block], first: Sequence[Area], page: Area) -> list[list[Element]]:
    """What stands in the areas of the first page, and on each page of tables after it.

    As few pages as can be, in the order given unless another takes fewer; then as even as they
    can be with that order, so that none has a lone block where they could share. What no page can
    hold is left out.
    """
    orders = (blocks, sorted(blocks, key=lambda block: -block.height))
    order = min(orders, key=lambda one: _in_order(one, first, page).badness)
    best = _in_order(order, first, page)
    for step in range(1, _STEPS + 1 if len(best.pages) > 2 else 1):
        lower = replace(page, bottom=page.bottom + page.height * step / (2.0 * _STEPS))
        found = _in_order(order, first, lower)
        if found.badness <= best.badness and found.last >= best.last:
            best = found
    for most in range(len(blocks) - 1, 1, -1) if best.last == 1 and len(best.pages) > 2 else ():
        found = _in_order(order, first, page, most)
        if found.badness <= best.badness and found.last > 1:
            return list(found.pages)
    return list(best.pages)


def _in_order(
    blocks: Sequence[Block], first: Sequence[Area], page: Area, most: int | None = None
) -> _Laid:
    """The blocks laid in their order, no more than `most` on a page of tables."""
    left = list(blocks)
    pages: list[list[Element]] = [[]]
    last, parted = len(left), 0
    for area in first:
        elements, left = fill(left, area)
        pages[0] += elements
    while left:
        elements, rest = fill(left[:most], page)
        rest += left[len(left[:most]) :]
        if not elements:
            break  # blocks that no page can hold
        last = len(left)
        parted += len({id(block) for block in rest} - {id(block) for block in left})
        pages.append(elements)
        left = rest
    return _Laid(tuple(pages), parted, last)
