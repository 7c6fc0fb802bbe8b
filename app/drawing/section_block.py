"""The joints of a linkage in section side by side, as a block among the tables of a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from app.drawing.blocks import Block
from app.drawing.figures import SheetUnits, length
from app.drawing.metrics import text_width
from app.drawing.model import LEAST_TEXT, Element, Layer, Line, Place, Text
from app.drawing.names import hole_numbers
from app.drawing.paper import scale_name, scales
from app.drawing.pin_section import LINE, PinSection, drawn, lefts, section_of, shape_of, spread
from app.drawing.poses import Posed, datum_of
from solver.layers import Heights
from solver.project import Sheet
from solver.stack import PinStack, Stack, stack

_HIGHEST = 48.0
"""The section is no higher on paper, mm."""
_HEAD, _FOOT = 8.0, 10.5
"""What the names over a row and the sizes under it take, mm."""
_BETWEEN = 4.0
"""Between two rows, mm."""
_TICK = 3.0
"""From the labels of the heights to their ticks' ends, mm."""


@dataclass(frozen=True, slots=True)
class SectionBlock(Block):
    """Sections of pins in rows, all to one scale and from one level.

    `faces` are the heights (mm) of the layers' faces, told at the left of every row.
    """

    sections: tuple[PinSection, ...] = ()
    faces: tuple[tuple[float, str], ...] = ()
    scale: float = 1.0

    @property
    def least_width(self) -> float:
        """One row where the sheet has the room, else the room of the sheet; mm."""
        return sum(self.widths)

    @property
    def in_one_row(self) -> float:
        """What all its sections take side by side, mm."""
        return self._ladder() + sum(section.width for section in self.sections)

    @property
    def height(self) -> float:
        """What it takes from top to bottom, mm."""
        rows = self._rows()
        return self._head + sum(map(self._row_height, rows)) + (len(rows) - 1) * _BETWEEN

    def stretched(self, width: float) -> Block:
        """The block in a width (mm): its sections in as many rows as they need."""
        return replace(self, span=width)

    def split(self, room: float) -> tuple[Block, Block] | None:
        """What goes into so much height, and the rest; None: no row does."""
        rows = self._rows()
        ends = accumulate(self._row_height(row) + _BETWEEN for row in rows)
        fitting = sum(1 for end in ends if self._head + end - _BETWEEN <= room + 1e-9)
        if not 0 < fitting < len(rows):
            return None
        first = sum(len(row) for row in rows[:fitting])
        return (
            replace(self, sections=self.sections[:first]),
            replace(self, heading=self.continued(), sections=self.sections[first:]),
        )

    def elements(self, at: Place) -> Iterator[Element]:
        """The block with its upper left corner at a place."""
        yield from self.heading_at(at)
        top = at[1] - self._head
        for row in self._rows():
            yield from self._row(row, (at[0], top))
            top -= self._row_height(row) + _BETWEEN

    def _rows(self) -> list[list[PinSection]]:
        """The sections in as few rows as a width holds."""
        room = (self.span or self.least_width) - self._ladder() + 1e-6
        rows: list[list[PinSection]] = [[]]
        used = 0.0
        for section in self.sections:
            if rows[-1] and used + section.width > room:
                rows.append([])
                used = 0.0
            rows[-1].append(section)
            used += section.width
        return rows

    def _ladder(self) -> float:
        """What the heights at the left take, mm."""
        return max(text_width(text, LEAST_TEXT) for _, text in self.faces) + 2.0 * _TICK

    def _reach(self, row: Sequence[PinSection]) -> tuple[float, float]:
        """From the lowest to the highest of what is drawn and of its labels, mm from the face."""
        lows = [self.scale * section.pin.low for section in row]
        tops = [self.scale * section.pin.high for section in row]
        told = [[*self._told(), self._told()[-1] + LINE]]
        for section in row:
            told.append(
                spread(
                    [self.scale * (piece.low + piece.high) / 2.0 for piece in section.pin.pieces]
                )
            )
        lows += [places[0] - LINE / 2.0 for places in told]
        tops += [places[-1] + LINE / 2.0 for places in told]
        return min(lows), max(tops)

    def _told(self) -> list[float]:
        return spread([self.scale * height for height, _ in self.faces])

    def _row_height(self, row: Sequence[PinSection]) -> float:
        low, high = self._reach(row)
        return _HEAD + high - low + _FOOT

    def _row(self, sections: Sequence[PinSection], at: Place) -> Iterator[Element]:
        x, top = at
        low, high = self._reach(sections)
        face = top - _HEAD - high
        yield from self._heights(x, face)
        for section, left in zip(sections, lefts(sections, x + self._ladder()), strict=True):
            yield Text(section.names, (left, top - 4.0), LEAST_TEXT, bold=True)
            yield from drawn(section, left, lambda z: face + self.scale * z)
            for index, line in enumerate(section.foot):
                yield Text(line, (left, face + low - 5.0 - LINE * index), LEAST_TEXT)

    def _heights(self, x: float, face: float) -> Iterator[Element]:
        """The heights of the layers' faces, each with a tick."""
        right = x + self._ladder() - _TICK
        yield Text(
            "z", (right - _TICK, face + self._told()[-1] + LINE), LEAST_TEXT, "right", "middle"
        )
        for (height, text), y in zip(self.faces, self._told(), strict=True):
            tick = face + self.scale * height
            yield Text(text, (right - _TICK, face + y), LEAST_TEXT, "right", "middle")
            yield Line(Layer.DIMENSIONS, (right - _TICK + 0.8, face + y), (right, tick))
            yield Line(Layer.DIMENSIONS, (right, tick), (right + 2.0, tick))


def section_block(posed: Posed, sheet: Sheet, width: float) -> Block | None:
    """The pins of a linkage in section; None where no link is cut from plate."""
    design = posed.design
    if not design.plates:
        return None
    held = stack(design)
    scale = _scale(held)
    numbers = hole_numbers(posed, datum_of(design, sheet.datum))
    alike: dict[object, list[PinStack]] = {}
    for pin in sorted(held.pins, key=lambda pin: numbers.get(pin.name, len(numbers))):
        alike.setdefault(shape_of(pin), []).append(pin)
    sections = tuple(
        section_of(_names(pins, numbers), pins, sheet.units, scale) for pins in alike.values()
    )
    unit = {"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units]
    heading = (
        f"Joints in section, {scale_name(scale)}, plates cut short, rings as signs: heights z from "
        f"the frame's face and thicknesses in {unit}"
    )
    faces = _faces(held.layers, sheet.units)
    made = SectionBlock(heading, (), (), sections=sections, faces=faces, scale=scale)
    return replace(made, widths=(min(made.in_one_row, width),))


def _names(pins: Sequence[PinStack], numbers: Mapping[str, int]) -> str:
    """The numbers of pins that are alike, and the name of one that is by itself."""
    if len(pins) == 1:
        return f"{numbers[pins[0].name]} {pins[0].name}"
    return ", ".join(str(numbers[pin.name]) for pin in pins)


def _faces(layers: Heights, units: SheetUnits) -> tuple[tuple[float, str], ...]:
    """The heights of the faces of all layers, rising, each once."""
    heights = sorted({height for span in layers.values() for height in span})
    return tuple((height, length(height, units)) for height in heights)


def _scale(held: Stack) -> float:
    """The largest scale at which the whole depth keeps to its height on paper."""
    return next(scale for scale in scales() if scale * held.total <= _HIGHEST)
