"""A list of springs, typed or pasted: one a line, as from a supplier's table. Needs no Qt."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from solver import units
from solver.errors import DesignProblem, UnitProblem
from solver.model import CompressionSpring, ExtensionSpring, Spring, TorsionSpring
from solver.project import Display
from solver.ranges import faults
from solver.units import Quantity

_BOUGHT: tuple[tuple[str, str, Quantity], ...] = (
    ("wire", "wire diameter", "diameter"),
    ("outside_diameter", "outside diameter", "diameter"),
    ("coils", "coils", "coils"),
)
_FIELDS: dict[type, tuple[tuple[str, str, Quantity], ...]] = {
    CompressionSpring: (
        ("rate", "rate", "rate"),
        ("free_length", "free length", "length"),
        ("solid_length", "solid length", "length"),
        *_BOUGHT,
    ),
    ExtensionSpring: (
        ("rate", "rate", "rate"),
        ("free_length", "free length", "length"),
        ("initial_tension", "initial tension", "force"),
        ("longest", "longest length", "length"),
        *_BOUGHT,
    ),
    TorsionSpring: (
        ("rate", "rate", "angular_rate"),
        ("free_angle", "free angle", "angle"),
        ("most_twist", "most twist", "angle"),
        *_BOUGHT,
        ("leg_length", "legs from the axis", "length"),
    ),
}
_LEAST = 3
"""Cells of a line that must be there: name, rate, free length or angle."""


def columns(like: Spring) -> str:
    """What a line holds, such as "name; rate; free length; solid length"."""
    return "; ".join(("name", *(words for _, words, _ in _FIELDS[type(like)])))


def read_springs(text: str, like: Spring, display: Display) -> tuple[Spring, ...]:
    """The springs of a text; all else is as the spring that they are to replace has it.

    But for wire, diameter, coils and order number, which are not known unless they are told.

    Cells are parted by semicolons or tabs, numbers may have any unit; empty lines and those that
    begin with # are left out. DesignProblem, naming the line, for one that cannot be read.
    """
    found = []
    for number, line in enumerate(text.splitlines(), start=1):
        if line.strip() and not line.lstrip().startswith("#"):
            try:
                found.append(_spring(line, like, display))
            except (UnitProblem, DesignProblem) as problem:
                raise DesignProblem(f"Line {number}, “{line.strip()}”: {problem}") from problem
    if not found:
        raise DesignProblem(f"The list of springs is empty: type lines of {columns(like)}.")
    return tuple(found)


def _spring(line: str, like: Spring, display: Display) -> Spring:
    name, *cells = (cell.strip() for cell in re.split(r"[;\t]", line))
    if len(cells) + 1 < _LEAST:
        raise DesignProblem(f"a line holds {columns(like)}.")
    other = replace(like, wire=None, outside_diameter=None, coils=None, order_note="")
    if isinstance(other, TorsionSpring):
        other = replace(other, leg_length=None)
    spring = replace(other, name=name or like.name, **dict(_numbers(cells, like, display)))  # type: ignore[arg-type]
    for fault in faults(spring):
        raise DesignProblem(f"{fault}.")
    return spring


def _numbers(cells: list[str], like: Spring, display: Display) -> Iterator[tuple[str, float]]:
    for cell, (field, _, quantity) in zip(cells, _FIELDS[type(like)], strict=False):
        if cell:
            yield field, units.read(cell, quantity, display)
