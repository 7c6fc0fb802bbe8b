"""Sheets and scales: ISO 216 and ANSI sizes, margins after ISO 5457, scales of ISO 5455."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.drawing.model import Element, Layer, Line, Place, Polyline

SizeName = Literal["A4", "A3", "Letter", "Tabloid"]

SIZES: dict[SizeName, tuple[float, float]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
}
"""Width and height upright, mm: ISO 216; 8.5 by 11 in and 11 by 17 in."""

BINDING = 20.0
"""Margin on the left, mm: room to file the sheet (ISO 5457)."""
MARGIN = 10.0
"""Margin on the other sides, mm."""

SCALES: tuple[tuple[float, float], ...] = (
    *((50.0, 1.0), (20.0, 1.0), (10.0, 1.0), (5.0, 1.0), (2.0, 1.0), (1.0, 1.0)),
    *((1.0, 2.0), (1.0, 5.0), (1.0, 10.0), (1.0, 20.0), (1.0, 50.0), (1.0, 100.0)),
    *((1.0, 200.0), (1.0, 500.0), (1.0, 1000.0), (1.0, 2000.0), (1.0, 5000.0), (1.0, 10000.0)),
)
"""Preferred scales of ISO 5455, paper to real, largest first."""


@dataclass(frozen=True, slots=True)
class Area:
    """An upright rectangle on paper, mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top."""
        return self.top - self.bottom

    @property
    def middle(self) -> Place:
        """The place in its middle."""
        return ((self.left + self.right) / 2.0, (self.bottom + self.top) / 2.0)


def sheet_size(name: SizeName, landscape: bool) -> tuple[float, float]:
    """Width and height of a sheet as it lies, mm."""
    width, height = SIZES[name]
    return (height, width) if landscape else (width, height)


def drawing_area(size: tuple[float, float]) -> Area:
    """What lies within the border of a sheet."""
    return Area(BINDING, MARGIN, size[0] - MARGIN, size[1] - MARGIN)


def border(size: tuple[float, float]) -> list[Element]:
    """The border line and the centring marks at the middle of each side."""
    area = drawing_area(size)
    width, height = size
    corners = (
        (area.left, area.bottom),
        (area.right, area.bottom),
        (area.right, area.top),
        (area.left, area.top),
    )
    out = 6.0
    marks = (
        ((area.left - out, height / 2.0), (area.left, height / 2.0)),
        ((area.right + out, height / 2.0), (area.right, height / 2.0)),
        ((width / 2.0, area.bottom - out), (width / 2.0, area.bottom)),
        ((width / 2.0, area.top + out), (width / 2.0, area.top)),
    )
    lines = [Line(Layer.BORDER, start, end) for start, end in marks]
    return [Polyline(Layer.BORDER, corners, closed=True), *lines]


def scale_name(scale: float) -> str:
    """A scale as it stands in the title block, such as "1:2"."""
    return f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}"


def scale_of(name: str) -> float | None:
    """The scale that is written so; None where it is none of the preferred ones."""
    scales = {scale_name(paper / real): paper / real for paper, real in SCALES}
    return scales.get(name.replace(" ", ""))


def scales() -> tuple[float, ...]:
    """The preferred scales, largest first."""
    return tuple(paper / real for paper, real in SCALES)
