"""The joints of a linkage in section side by side, as a block among the tables of a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from app.drawing.blocks import Block
from app.drawing.model import LEAST_TEXT, Element, Place, Text
from app.drawing.names import hole_numbers
from app.drawing.paper import scale_name, scales
from app.drawing.pin_section import LINE, PinSection, drawn, lefts, section_of, shape_of, spread
from app.drawing.poses import Posed, datum_of
from solver.holes import clearance_hole
from solver.project import Sheet
from solver.stack import PinStack, Stack, stack

_HIGHEST = 48.0
"""The section is no higher on paper, mm."""
_HEAD, _FOOT = 8.0, 14.3
"""What the names over a row and the sizes under it take, mm."""
_BETWEEN = 4.0
"""Between two rows, mm."""


@dataclass(frozen=True, slots=True)
class SectionBlock(Block):
    """Sections of pins in rows, all to one scale and from one level."""

    sections: tuple[PinSection, ...] = ()
    scale: float = 1.0

    @property
    def least_width(self) -> float:
        """One row where the sheet has the room, else the room of the sheet; mm."""
        return sum(self.widths)

    @property
    def in_one_row(self) -> float:
        """What all its sections take side by side, mm."""
        return sum(section.width for section in self.sections)

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
        room = (self.span or self.least_width) + 1e-6
        rows: list[list[PinSection]] = [[]]
        used = 0.0
        for section in self.sections:
            if rows[-1] and used + section.width > room:
                rows.append([])
                used = 0.0
            rows[-1].append(section)
            used += section.width
        return rows

    def _reach(self, row: Sequence[PinSection]) -> tuple[float, float]:
        """From the lowest to the highest of what is drawn and of its labels, mm from the face."""
        lows = [self.scale * section.pin.low for section in row]
        tops = [self.scale * section.pin.high for section in row]
        told = [
            spread([self.scale * (piece.low + piece.high) / 2.0 for piece in section.pin.pieces])
            for section in row
        ]
        lows += [places[0] - LINE / 2.0 for places in told]
        tops += [places[-1] + LINE / 2.0 for places in told]
        return min(lows), max(tops)

    def _row_height(self, row: Sequence[PinSection]) -> float:
        low, high = self._reach(row)
        return _HEAD + high - low + _FOOT

    def _row(self, sections: Sequence[PinSection], at: Place) -> Iterator[Element]:
        x, top = at
        low, high = self._reach(sections)
        face = top - _HEAD - high
        for section, left in zip(sections, lefts(sections, x), strict=True):
            yield Text(section.names, (left, top - 4.0), LEAST_TEXT, bold=True)
            yield from drawn(section, left, lambda z: face + self.scale * z)
            for index, line in enumerate(section.foot):
                yield Text(line, (left, face + low - 5.0 - LINE * index), LEAST_TEXT)


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
        section_of(
            *(_names(pins, numbers), pins, sheet.units, scale),
            clearance_hole(pins[0].diameter, sheet.holes),
        )
        for pins in alike.values()
    )
    unit = {"mm": "mm", "inch": "inches", "both": "mm [inches]"}[sheet.units]
    heading = (
        f"Joints in section, {scale_name(scale)}, plates cut short, rings as signs: heights z from "
        f"the frame's face and thicknesses in {unit}"
    )
    made = SectionBlock(heading, (), (), sections=sections, scale=scale)
    return replace(made, widths=(min(made.in_one_row, width),))


def _names(pins: Sequence[PinStack], numbers: Mapping[str, int]) -> str:
    """The numbers of pins that are alike; with their names those of stops and single ones."""
    if len(pins) == 1 or pins[0].kind == "stop":
        return ", ".join(f"{numbers[pin.name]} {pin.name}" for pin in pins)
    return ", ".join(str(numbers[pin.name]) for pin in pins)


def _scale(held: Stack) -> float:
    """The largest scale at which the whole depth keeps to its height on paper."""
    return next(scale for scale in scales() if scale * held.total <= _HIGHEST)
