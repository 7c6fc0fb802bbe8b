"""Blocks laid onto the pages of a paper: on few of them, and on none a leftover alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.drawing.blocks import Block
from app.drawing.columns import LEAST, fill
from app.drawing.model import Element
from app.drawing.paper import Area

_STEPS = 8
"""In so many steps the pages of tables are made lower, down to half, to share blocks evenly."""


@dataclass(frozen=True, slots=True)
class Laid:
    """The elements of each page, how many tables go on overleaf, and the last page's blocks.

    `alone` is how many pages of tables hold a single block; `left_out` how many blocks no page
    holds; `reordered` where the blocks stand in another order than they were given in.
    """

    pages: tuple[list[Element], ...]
    parted: int
    last: int
    alone: int = 0
    left_out: int = 0
    reordered: bool = False

    @property
    def badness(self) -> tuple[int, int, int, int]:
        """What is to be as small as can be, first things first."""
        return self.left_out, len(self.pages), self.parted, self.alone


def laid(blocks: Sequence[Block], first: Sequence[Area], page: Area, leading: int = 0) -> Laid:
    """What stands in the areas of the first page, and on each page of tables after it.

    The first `leading` blocks stay before the others, so they are on the second page at the
    latest if that has room for them. As few pages as can be, in the order given unless another
    takes fewer; then as even as they can be with that order, so that none has a lone block where
    they could share. None begins on the first page that has no room for it whole. What no page
    can hold is left out.
    """
    orders = [
        list(blocks),
        *([*blocks[:leading], *sorted(blocks[leading:], key=key)] for key in (_high, _wide)),
    ]
    tried = [_in_order(order, first, page) for order in orders]
    fewest = min(one.badness[:3] for one in tried)
    found = [
        replace(_evened(one, order, first, page), reordered=index > 0)
        for index, (one, order) in enumerate(zip(tried, orders, strict=True))
        if one.badness[:3] == fewest
    ]
    return min(found, key=lambda one: one.badness)


def _high(block: Block) -> float:
    return -block.height


def _wide(block: Block) -> tuple[float, float]:
    """Those first that take several columns: narrow ones fill what they leave."""
    return -(block.least_width // LEAST), -block.height


def _evened(best: Laid, blocks: Sequence[Block], first: Sequence[Area], page: Area) -> Laid:
    """The same with the pages after the first as even as they can be in that order."""
    for step in range(1, _STEPS + 1 if len(best.pages) > 2 else 1):
        lower = replace(page, bottom=page.bottom + page.height * step / (2.0 * _STEPS))
        found = _in_order(blocks, first, lower)
        if (found.badness, -found.last) <= (best.badness, -best.last):
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
    last, parted, alone, left_out = len(left), 0, 0, 0
    for area in first:
        elements, left = fill(left, area, whole=True)
        pages[0] += elements
    while left:
        elements, rest = fill(left[:most], page)
        rest += left[len(left[:most]) :]
        if not elements:  # no page can hold the next one
            left, left_out = left[1:], left_out + 1
            continue
        last = len(left)
        parted += len({id(block) for block in rest} - {id(block) for block in left})
        alone += len(left) - len(rest) <= 1
        pages.append(elements)
        left = rest
    return Laid(tuple(pages), parted, last, alone, left_out)
