"""The boxes that texts take, and which of them are in each other's way."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from app.drawing.dimension_parts import parts_of, text_of
from app.drawing.metrics import text_width, vertical_extent
from app.drawing.model import (
    AngularDimension,
    Arc,
    Circle,
    Element,
    Line,
    LinearDimension,
    Place,
    Polyline,
    RadialDimension,
    Table,
    Text,
)
from app.drawing.table_parts import parts_of_table

Primitive = Line | Polyline | Circle | Arc | Text


@dataclass(frozen=True, slots=True)
class Box:
    """A turned rectangle: middle, half of width and height (mm), direction (degrees)."""

    middle: Place
    half_width: float
    half_height: float
    turn: float = 0.0

    def corners(self) -> tuple[Place, Place, Place, Place]:
        """The four corners, counter-clockwise."""
        cosine, sine = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        x, y = self.middle
        a, b = self.half_width, self.half_height
        signs = ((-a, -b), (a, -b), (a, b), (-a, b))
        first, second, third, fourth = (
            (x + u * cosine - v * sine, y + u * sine + v * cosine) for u, v in signs
        )
        return first, second, third, fourth

    def grown(self, by: float) -> Box:
        """The box with a margin (mm) around it."""
        return Box(self.middle, self.half_width + by, self.half_height + by, self.turn)


def base_left(text: Text) -> Place:
    """Where the base line of a text begins, before it is turned, from its anchor (mm)."""
    width = text_width(text.text, text.height, text.bold)
    x = {"left": 0.0, "middle": -width / 2.0, "right": -width}[text.across]
    y = {"base": 0.0, "middle": -text.height / 2.0, "top": -text.height}[text.upward]
    return x, y


def text_box(text: Text) -> Box:
    """The box that a text takes."""
    width = text_width(text.text, text.height, text.bold)
    below, above = vertical_extent(text.height)
    x, y = base_left(text)
    x, y = x + width / 2.0, y + (above - below) / 2.0
    cosine, sine = math.cos(math.radians(text.turn)), math.sin(math.radians(text.turn))
    middle = (text.at[0] + x * cosine - y * sine, text.at[1] + x * sine + y * cosine)
    return Box(middle, width / 2.0, (above + below) / 2.0, text.turn)


def primitives(element: Element) -> Iterator[Primitive]:
    """An element as what every painter can draw."""
    if isinstance(element, LinearDimension | AngularDimension | RadialDimension):
        yield from parts_of(element)
    elif isinstance(element, Table):
        yield from parts_of_table(element)
    else:
        yield element


def texts_of(element: Element) -> Iterator[Text]:
    """The texts of an element alone."""
    if isinstance(element, LinearDimension | AngularDimension | RadialDimension):
        yield text_of(element)
    elif isinstance(element, Table | Text):
        yield from (part for part in primitives(element) if isinstance(part, Text))
