"""A drawing as plain values, in mm on paper: what every export and the preview are made from.

x points right and y up from the lower left corner of the sheet; angles are degrees, counter-
clockwise from +x. Nothing in here knows Qt, or how a drawing is painted.

Dimensions hold what they measure and where they stand; `app.drawing.dimension_parts` turns them
into lines, arrows and text for whoever cannot draw a dimension as such, `app.drawing.table_parts`
does so for tables.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Literal

Place = tuple[float, float]
"""x and y, mm on paper."""

Corners = tuple[Place, Place, Place, Place]
"""A quadrilateral, its corners counter-clockwise."""

Across = Literal["left", "middle", "right"]
Upward = Literal["base", "middle", "top"]

LEAST_TEXT = 2.5
"""Height of capital letters (mm) below which no text goes: the least size of ISO 3098-1."""


class Layer(Enum):
    """The layers of a drawing: name, line type and line width (mm) by ISO 128-2, group 0.5.

    The line type is a key of `PATTERNS`.
    """

    OUTLINE = ("Outline", "continuous", 0.5)
    HOLES = ("Holes", "continuous", 0.5)
    SYMBOLS = ("Symbols", "continuous", 0.35)
    THIN = ("Thin", "continuous", 0.25)
    HATCH = ("Hatch", "continuous", 0.18)
    HIDDEN = ("Hidden", "dashed", 0.25)
    CENTRES = ("Centres", "long dash dot", 0.18)
    PHANTOM = ("Phantom", "long dash double dot", 0.25)
    DEAD_CENTRE = ("Dead centre", "phantom short", 0.25)
    DIMENSIONS = ("Dimensions", "continuous", 0.18)
    TEXT = ("Text", "continuous", 0.25)
    TABLES = ("Tables", "continuous", 0.25)
    BORDER = ("Border", "continuous", 0.7)

    def __init__(self, title: str, pattern: str, width: float) -> None:
        self.title = title
        self.pattern = pattern
        self.width = width


PATTERNS: dict[str, tuple[float, ...]] = {
    "continuous": (),
    "dashed": (12.0, 3.0),
    "long dash dot": (24.0, 3.0, 1.0, 3.0),
    "long dash double dot": (24.0, 3.0, 1.0, 3.0, 1.0, 3.0),
    "phantom short": (12.0, 3.0, 1.0, 3.0, 1.0, 3.0),
}
"""Line types 01, 02, 04, 05 (and 05 with shorter dashes) of ISO 128-2: line, gap, line, gap …

In widths of the line. A dot is one width long, so that printers do not lose it.
"""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    layer: Layer
    start: Place
    end: Place


@dataclass(frozen=True, slots=True)
class Polyline:
    """Straight lines through at least two points; `filled` ones are closed and solid."""

    layer: Layer
    points: tuple[Place, ...]
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle; a filled one is a dot."""

    layer: Layer
    centre: Place
    radius: float
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Arc:
    """The arc counter-clockwise from direction `start` to `end` (degrees, end > start)."""

    layer: Layer
    centre: Place
    radius: float
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; `height` is that of its capital letters (mm), `at` its anchor.

    `turn` rotates it about the anchor. Its width is the one of `app.drawing.metrics`, and whoever
    paints it keeps to that width.
    """

    text: str
    at: Place
    height: float = LEAST_TEXT
    across: Across = "left"
    upward: Upward = "base"
    turn: float = 0.0
    bold: bool = False
    layer: Layer = Layer.TEXT


@dataclass(frozen=True, slots=True)
class Table:
    """A ruled table; `at` is its upper left corner.

    Rows have as many cells as there are `widths` (mm); the first `headers` rows are bold.
    `aligned` holds the side that each column's text keeps to. Cells are cut to their column; one
    with line ends has several lines and makes its row higher than `row_height` (mm).
    """

    at: Place
    widths: tuple[float, ...]
    rows: tuple[tuple[str, ...], ...]
    row_height: float = 5.0
    height: float = LEAST_TEXT
    headers: int = 1
    aligned: tuple[Across, ...] = ()
    layer: Layer = Layer.TABLES


@dataclass(frozen=True, slots=True)
class LinearDimension:
    """The distance of two points along a direction.

    `angle` is the direction of the dimension line (0: across, 90: up; None: along the two
    points); `through` is a place on the dimension line. `value` is the distance in model mm, and
    `scale` paper mm per model mm. `text_at` is the middle of the text (None: above the middle of
    the line). `key` names the dimension in the builder's choices. Its lines are interrupted within
    `gaps`, where texts of others stand.
    """

    key: str
    start: Place
    end: Place
    through: Place
    value: float
    text: str
    angle: float | None = None
    scale: float = 1.0
    text_at: Place | None = None
    height: float = LEAST_TEXT
    layer: Layer = Layer.DIMENSIONS
    gaps: tuple[Corners, ...] = ()


@dataclass(frozen=True, slots=True)
class AngularDimension:
    """The angle counter-clockwise from direction `start` to `end` about `centre` (end > start).

    `radius` is that of the dimension line's arc; extension lines begin `reach` from the centre.
    `gaps` as in `LinearDimension`.
    """

    key: str
    centre: Place
    start: float
    end: float
    radius: float
    text: str
    reach: tuple[float, float] = (0.0, 0.0)
    text_at: Place | None = None
    height: float = LEAST_TEXT
    layer: Layer = Layer.DIMENSIONS
    gaps: tuple[Corners, ...] = ()

    @property
    def value(self) -> float:
        """The angle in degrees."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class RadialDimension:
    """A radius or diameter: a leader from the circle, at a direction, to the text.

    `radius` is that on paper; `value` the radius or diameter in model mm. `text_at` is the left
    or right end of the text, whichever is nearer to the circle. `gaps` as in `LinearDimension`.
    """

    key: str
    kind: Literal["radius", "diameter"]
    centre: Place
    radius: float
    direction: float
    value: float
    text: str
    text_at: Place
    scale: float = 1.0
    height: float = LEAST_TEXT
    layer: Layer = Layer.DIMENSIONS
    gaps: tuple[Corners, ...] = ()


Dimension = LinearDimension | AngularDimension | RadialDimension
Element = Line | Polyline | Circle | Arc | Text | Table | Dimension


@dataclass(frozen=True, slots=True)
class Drawing:
    """One page: its width and height (mm), what is on it, and the scale of its main view.

    `scale` is paper mm per model mm, `origin` the place on paper that is the model's zero: the
    exchange file for CAD is drawn 1:1 in model mm about it. `title` and `name` (a file name's
    part, "" for the only page) tell the pages apart. `notices` are sentences that whoever asked for
    the page should read, such as that it could not be drawn as wished.
    """

    size: tuple[float, float]
    elements: tuple[Element, ...]
    scale: float = 1.0
    origin: Place = (0.0, 0.0)
    title: str = ""
    name: str = ""
    notices: tuple[str, ...] = ()

    def dimensions(self) -> tuple[Dimension, ...]:
        """The dimensions on the page, in their order."""
        return tuple(
            element
            for element in self.elements
            if isinstance(element, LinearDimension | AngularDimension | RadialDimension)
        )
