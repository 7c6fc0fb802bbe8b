"""Blocks laid onto the pages of a paper: on few of them, and on none a leftover alone."""

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
class Laid:
    """The elements of each page, how many tables go on overleaf, and the last page's blocks.

    `reordered` where the blocks stand in another order than they were given in.
    """

    pages: tuple[list[Element], ...]
    parted: int
    last: int
    reordered: bool = False

    @property
    def badness(self) -> tuple[int, int]:
        """What is to be as small as can be, first things first."""
        return len(self.pages), self.parted


def laid(blocks: Sequence[Block], first: Sequence[Area], page: Area) -> Laid:
    """What stands in the areas of the first page, and on each page of tables after it.

    As few pages as can be, in the order given unless another takes fewer; then as even as they
    can be with that order, so that none has a lone block where they could share. None begins on
    the first page that has no room for it whole. What no page can hold is left out.
    """
    best = _in_order(blocks, first, page)
    by_height = sorted(blocks, key=lambda block: -block.height)
    other = _in_order(by_height, first, page)
    if other.badness < best.badness:
        return replace(_evened(other, by_height, first, page), reordered=True)
    return _evened(best, blocks, first, page)


def _evened(best: Laid, blocks: Sequence[Block], first: Sequence[Area], page: Area) -> Laid:
    """The same with the pages after the first as even as they can be in that order."""
    for step in range(1, _STEPS + 1 if len(best.pages) > 2 else 1):
        lower = replace(page, bottom=page.bottom + page.height * step / (2.0 * _STEPS))
        found = _in_order(blocks, first, lower)
        if found.badness <= best.badness and found.last >= best.last:
            best = found
    for most in range(len(blocks) - 1, 1, -1) if best.last == 1 and len(best.pages) > 2 else ():
        found = _in_order(blocks, first, page, most)
        if found.badness <= best.badness and found.last > 1:
            return found
    return best


def _in_order(
    blocks: Sequence[Block], first: Sequence[Area], page: Area, most: int | None = None
) -> Laid:
    """The blocks laid in their order, no more than `most` on a page of tables."""
    left = list(blocks)
    pages: list[list[Element]] = [[]]
    last, parted = len(left), 0
    for area in first:
        elements, left = fill(left, area, whole=True)
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
    return Laid(tuple(pages), parted, last)
