"""Blocks of a sheet: headed tables and notes, and how they flow through the room there is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from app.drawing.metrics import text_width, wrap
from app.drawing.model import LEAST_TEXT, Across, Element, Place, Table, Text
from app.drawing.paper import Area
from app.drawing.table_parts import PADDING, fitting_widths, parts_of_table, row_height

ROW = 4.4
"""Height of a table's row, mm."""
HEADING = 5.0
"""What a heading takes over its block, mm."""
HEADING_LINE = 3.9
"""What each further line of a heading takes, mm."""
BETWEEN = 4.0
"""Between two blocks, mm."""

Row = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """A heading over a table, or over lines of text where `ruled` is not set; widths in mm.

    `span` is the width that it was brought to, 0 for its own; its heading then goes on in further
    lines. `notes` are the sentences that its lines of text were made from. `wraps` lets the cells
    of the last column go on in further lines of their rows.
    """

    heading: str
    rows: tuple[Row, ...]
    widths: tuple[float, ...]
    aligned: tuple[Across, ...] = ()
    headers: int = 1
    ruled: bool = True
    span: float = 0.0
    notes: tuple[str, ...] = ()
    wraps: bool = False

    @property
    def width(self) -> float:
        """What it takes from left to right, mm."""
        heading = text_width(self.heading, LEAST_TEXT, bold=True)
        return self.span or max(sum(self.widths), heading)

    @property
    def least_width(self) -> float:
        """What it needs from left to right, mm; lines of text fit into any width."""
        return 0.0 if self.notes else sum(self.widths)

    @property
    def height(self) -> float:
        """What it takes from top to bottom, mm."""
        return self._head + sum(row_height(row, ROW) for row in self._broken())

    @property
    def _head(self) -> float:
        return HEADING + HEADING_LINE * (len(self._heading_lines()) - 1)

    def _broken(self) -> tuple[Row, ...]:
        """The rows with their last cells broken into the lines that their column holds."""
        if not self.wraps:
            return self.rows
        room = self.widths[-1] - 2.0 * PADDING + 0.01
        return tuple((*row[:-1], "\n".join(wrap(row[-1], LEAST_TEXT, room))) for row in self.rows)

    def _heading_lines(self) -> list[str]:
        if not self.span:
            return [self.heading]
        return wrap(self.heading, LEAST_TEXT, self.span, bold=True)

    def stretched(self, width: float) -> Block:
        """The block brought to a width (mm): columns of words widened, lines broken anew."""
        if self.notes:
            return replace(notes_block(self.heading, self.notes, width), span=width)
        if self.wraps:
            natural = fitting_widths(self.rows, LEAST_TEXT, self.headers)[-1]
            last = min(self.widths[-1] + max(width - sum(self.widths), 0.0), natural)
            wider = replace(self, widths=(*self.widths[:-1], max(last, self.widths[-1])))
            return replace(replace(wider, wraps=False).stretched(width), wraps=True)
        sides = [*self.aligned, *("left" for _ in self.widths)][: len(self.widths)]
        wordy = [side == "left" for side in sides]
        takers = wordy if any(wordy) else [True] * len(sides)
        share = max(width - sum(self.widths), 0.0) / sum(takers)
        widths = (
            one + share if takes else one for one, takes in zip(self.widths, takers, strict=True)
        )
        return replace(self, widths=tuple(widths), span=width)

    def elements(self, at: Place) -> Iterator[Element]:
        """The block with its upper left corner at a place."""
        x, y = at
        yield from self.heading_at(at)
        table = Table(
            (x, y - self._head),
            self.widths,
            self._broken(),
            ROW,
            headers=self.headers,
            aligned=self.aligned,
        )
        if self.ruled:
            yield table
        else:
            yield from (part for part in parts_of_table(table) if isinstance(part, Text))

    def heading_at(self, at: Place) -> Iterator[Element]:
        """The lines of the heading alone."""
        x, y = at
        for index, line in enumerate(self._heading_lines()):
            yield Text(line, (x, y - 3.2 - HEADING_LINE * index), LEAST_TEXT, bold=True)

    def continued(self) -> str:
        """The heading of what goes on overleaf."""
        return f"{self.heading.removesuffix(_GOES_ON)}{_GOES_ON}"

    def split(self, room: float) -> tuple[Block, Block] | None:
        """What goes into so much height, and the rest under the same heads; None: nothing does."""
        ends = accumulate(row_height(row, ROW) for row in self._broken())
        fitting = sum(1 for end in ends if self._head + end <= room + 1e-9)
        if fitting < self.headers + 2 or fitting >= len(self.rows):
            return None
        heads = self.rows[: self.headers]
        rest = replace(
            self,
            heading=self.continued(),
            rows=(*heads, *self.rows[fitting:]),
        )
        return replace(self, rows=self.rows[:fitting], notes=()), replace(rest, notes=())


_GOES_ON = " (continued)"


def table_block(
    heading: str,
    rows: Sequence[Row],
    limit: float,
    aligned: Sequence[Across] = (),
    headers: int = 1,
) -> Block:
    """A table as wide as its texts want, its widest columns narrowed to keep within `limit` mm."""
    widths = _narrowed(fitting_widths(tuple(rows), LEAST_TEXT, headers), limit)
    return Block(heading, tuple(rows), widths, tuple(aligned), headers)


def wrapping_table(
    heading: str, rows: Sequence[Row], limit: float, aligned: Sequence[Across], last: float
) -> Block:
    """A table whose last column wraps and need be no wider than `last`; within `limit` mm."""
    *others, natural = fitting_widths(tuple(rows), LEAST_TEXT)
    last = min(natural, last)
    widths = (*_narrowed(tuple(others), limit - last), last)
    return Block(heading, tuple(rows), widths, tuple(aligned), wraps=True)


def _narrowed(natural: tuple[float, ...], limit: float) -> tuple[float, ...]:
    """Widths of columns, the widest narrowed until all keep within `limit` mm."""
    widths = list(natural)
    while sum(widths) > limit + 1e-9:
        widest = max(widths)
        second = max((width for width in widths if width < widest - 1e-9), default=0.0)
        count = sum(1 for width in widths if width >= widest - 1e-9)
        target = max(second, widest - (sum(widths) - limit) / count)
        widths = [min(width, target) for width in widths]
    return tuple(widths)


def notes_block(heading: str, notes: Sequence[str], width: float) -> Block:
    """Sentences as lines of text, each beginning on a line of its own."""
    text_room = width - _DASH - 2.0 * PADDING
    rows = [
        ("–" if index == 0 else "", line)
        for note in notes
        for index, line in enumerate(wrap(note, LEAST_TEXT, text_room))
    ]
    widths = (_DASH, width - _DASH)
    return Block(heading, tuple(rows), widths, headers=0, ruled=False, notes=tuple(notes))


_DASH = 4.5
"""Width of the column in which the dashes before notes stand, mm."""


def flow(blocks: Sequence[Block], areas: Sequence[Area]) -> tuple[list[list[Element]], list[Block]]:
    """Lay blocks into areas, side by side where two are narrow; and the blocks that are left.

    Keeps their order; a table that is too long goes on in the next area.
    """
    left = list(blocks)
    filled: list[list[Element]] = []
    for area in areas:
        elements, left = _fill(left, area)
        filled.append(elements)
    return filled, left


def _fill(blocks: list[Block], area: Area) -> tuple[list[Element], list[Block]]:
    """Blocks in shelves from the top; within a shelf, low ones stand under each other."""
    elements: list[Element] = []
    left = list(blocks)
    shelf = _Shelf(area, area.top)
    while left:
        block = left[0]
        at = shelf.take(block)
        if at is None and shelf.height > 0.0:
            shelf = _Shelf(area, shelf.top - shelf.height - BETWEEN)
            at = shelf.take(block)
        if at is None:
            parted = block.split(shelf.top - area.bottom)
            if parted is not None:
                elements += parted[0].elements((area.left, shelf.top))
                left[0] = parted[1]
            break
        elements += block.elements(at)
        del left[0]
    return elements, left


class _Shelf:
    """A row of blocks; the first gives its height, unless a later one is higher."""

    def __init__(self, area: Area, top: float) -> None:
        self.top = top
        self.height = 0.0
        self._area = area
        self._x = area.left
        self._width = 0.0
        self._used = 0.0

    def take(self, block: Block) -> Place | None:
        """Where a block goes: under the last one or beside it; None where it does not fit."""
        room = self.top - self._area.bottom + 1e-6
        under = self._used + BETWEEN
        if self._used and under + block.height <= self.height:
            if self._x + block.width > self._area.right + 0.1:
                return None
            self._used = under + block.height
            self._width = max(self._width, block.width)
            return (self._x, self.top - under)
        x = self._x + self._width + BETWEEN if self._used else self._x
        if block.height > room or x + block.width > self._area.right + 0.1:
            return None
        self._x, self._width, self._used = x, block.width, block.height
        self.height = max(self.height, block.height)
        return (x, self.top)
