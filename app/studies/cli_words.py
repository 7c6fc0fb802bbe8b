"""What is typed on the command line for what may change and what goes through a range."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import numpy as np

from app.studies import spring_lines
from solver import units
from solver.errors import DesignProblem, FileProblem
from solver.model import Design, Spring
from solver.movables import Movable, PointBox, SpringChoice, SpringNumber, StopRange
from solver.number_names import NamedNumber, find_number, number_called
from solver.parts import find
from solver.project import Display
from solver.sweep import Values
from solver.units import Quantity


def named_range(
    text: str, design: Design, display: Display, steps: int
) -> tuple[NamedNumber, Values]:
    """`NUMBER=FROM..TO`: a number of the design and its values. DesignProblem for another form.

    The number goes by its path or, as in the window, by its words.
    """
    name, low, high = _split(text, "NUMBER=FROM..TO")
    number = number_called(design, name)
    ends = [units.read(end, number.quantity, display) for end in (low, high)]
    return number, np.linspace(ends[0], ends[1], steps)


def point_box(text: str, display: Display) -> Movable:
    """`POINT=REACH`: a point that may move so far in x and in y, each way."""
    name, _, reach = text.rpartition("=")
    if not name:
        raise DesignProblem(f"“{text}” should be POINT=REACH, such as “spring anchor=10 mm”.")
    far = units.read(reach, "length", display)
    return PointBox(name, far, far)


def spring_number(text: str, field: str, design: Design, display: Display) -> Movable:
    """`SPRING=FROM..TO` for one number of a spring."""
    name, low, high = _split(text, "SPRING=FROM..TO")
    find(design, "spring", name)
    quantity = find_number(design, f"springs.{name}.{field}").quantity
    ends = [units.read(end, quantity, display) for end in (low, high)]
    return SpringNumber(name, field, *ends)


def spring_list(text: str, design: Design, display: Display) -> Movable:
    """`SPRING=FILE`: a spring that may be any of those in a text file."""
    name, _, file = text.partition("=")
    like = find(design, "spring", name)
    assert isinstance(like, Spring)
    try:
        lines = Path(file).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as problem:
        raise FileProblem(f"The list of springs {file} cannot be read: {problem}.") from problem
    return SpringChoice(name, spring_lines.read_springs(lines, like, display))


def rest_range(text: str, design: Design, display: Display) -> Movable:
    """`A=REACH` or `B=REACH`: a rest that may be so far off where it is."""
    rest, _, reach = text.partition("=")
    if rest not in ("A", "B"):
        raise DesignProblem(f"“{text}” should be A=REACH or B=REACH, such as “A=5°”.")
    which: Literal["A", "B"] = "A" if rest == "A" else "B"
    at = design.stops.rest_a if which == "A" else design.stops.rest_b
    kind: Quantity = "angle"
    far = units.read(reach, kind, display)
    return StopRange(which, at - far, at + far)


def _split(text: str, form: str) -> tuple[str, str, str]:
    name, _, span = text.rpartition("=")
    low, dots, high = span.partition("..")
    if not (name and dots):
        raise DesignProblem(f"“{text}” should be {form}.")
    return name, low, high
