"""The paper and its grid: millimetres, or fractions of an inch. One drawLines call per weight."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter, QPen, QTransform

from app.theme import Theme
from solver.project import Units

INCH = 25.4
CLOSEST = 6.5
"""Least distance of grid lines, pixels."""
_BAR = 1.6
"""Width of the scale bar, pixels."""
_BAR_LEFT = 15.0
"""Pixels from the view's left edge to the scale bar."""

_METRIC = ((1.0, 10.0), (5.0, 50.0), (10.0, 100.0), (50.0, 500.0), (100.0, 1000.0))
_INCH = (
    (INCH / 32, INCH / 4),
    (INCH / 16, INCH / 2),
    (INCH / 8, INCH),
    (INCH / 4, INCH),
    (INCH / 2, 2 * INCH),
    (INCH, 12 * INCH),
    (6 * INCH, 36 * INCH),
)


def grid_steps(scale: float, units: Units) -> tuple[float, float]:
    """Spacing of the fine and of the strong lines (mm) at `scale` pixels per mm.

    The finest pair whose lines are far enough apart to be told apart; round numbers always.
    """
    pairs = _INCH if units == "inch" else _METRIC
    for fine, strong in pairs:
        if fine * scale >= CLOSEST:
            return fine, strong
    fine, strong = pairs[-1]
    more = 10.0 ** math.ceil(math.log10(CLOSEST / (fine * scale)))
    return fine * more, strong * more


def _lines(area: QRectF, step: float) -> list[QLineF]:
    """The grid lines of one spacing that cross an area."""
    left, right, low, high = area.left(), area.right(), area.top(), area.bottom()
    upright = [
        QLineF(x * step, low, x * step, high)
        for x in range(math.floor(left / step), math.ceil(right / step) + 1)
    ]
    level = [
        QLineF(left, y * step, right, y * step)
        for y in range(math.floor(low / step), math.ceil(high / step) + 1)
    ]
    return upright + level


def draw_grid(
    painter: QPainter, view: QTransform, area: QRectF, theme: Theme, units: Units
) -> None:
    """Paint paper and grid over an area (mm)."""
    painter.save()
    painter.setWorldTransform(view)
    painter.fillRect(area, theme.paper)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    fine, strong = grid_steps(view.m11(), units)
    for colour, step in ((theme.grid, fine), (theme.grid_major, strong)):
        line = QPen(colour, max(round(painter.device().devicePixelRatioF()), 1))
        line.setCosmetic(True)  # whole device pixels wherever the sheet lies: crisp
        painter.setPen(line)
        painter.drawLines(_lines(area, step))
    painter.restore()


def scale_bar_box(
    pixels_per_mm: float, height: float, units: Units
) -> tuple[float, float, float, float]:
    """Left, top, width and height (pixels) of what `draw_scale_bar` takes of a view."""
    length = grid_steps(pixels_per_mm, units)[1] * pixels_per_mm
    return (_BAR_LEFT - 3.0, height - 32.0, length + 60.0, 26.0)


def draw_scale_bar(
    painter: QPainter, pixels_per_mm: float, height: int, theme: Theme, units: Units
) -> None:
    """Show in the lower left corner of a view, `height` pixels high, how long a strong step is."""
    step = grid_steps(pixels_per_mm, units)[1]
    shown, unit = (step / INCH, "in") if units == "inch" else (step, "mm")
    left, base = _BAR_LEFT, height - 20.0
    right = left + step * pixels_per_mm
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(QPen(theme.faint_ink, _BAR))
    painter.drawLine(QPointF(left, base), QPointF(right, base))
    painter.setPen(QPen(theme.faint_ink, _BAR / 2.0))
    for x in (left, right):
        painter.drawLine(QPointF(x, base - 5.0), QPointF(x, base + 5.0))
    painter.drawText(QPointF(right + 8.0, base + 4.0), f"{shown:g} {unit}")
