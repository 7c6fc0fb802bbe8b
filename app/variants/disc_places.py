"""Where on its curve each variant's number stands: as far from the other curves as can be."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF

from app.variants.marks import DISC

Curve = NDArray[np.float64]

_WISHED = (0.16, 0.34, 0.66, 0.84)
"""Parts of the axis where the numbers stand if nothing is in the way, one each."""
_PARTS = np.concatenate([np.linspace(0.08, 0.42, 18), np.linspace(0.58, 0.92, 18)])
"""Parts where one may stand: not at the rests and half way, where the levers mostly are."""
_CLEAR = 1.5 * DISC
"""Pixels from a disc's middle beyond which another curve may be anywhere."""
_STRAY = 0.3
"""Price of a pixel away from the wished place, in pixels too near to another curve."""
_FOOT = 14.0
"""Pixels above a plot's foot that belong to the marks of dead centre."""
_NEVER = 1e3


def disc_places(
    numbers: Sequence[int], lines: Sequence[tuple[Curve, Curve]], box: QRectF
) -> tuple[tuple[int, QPointF], ...]:
    """Each number with the middle of its disc (pixels); none for a curve without points.

    lines: x and y (pixels) of each curve from left to right, in a plot that takes up `box`.
    """
    placed: list[tuple[int, QPointF]] = []
    for number, (across, down) in zip(numbers, lines, strict=True):
        if not len(across):
            continue
        x = across[0] + _PARTS * (across[-1] - across[0])
        y = np.interp(x, across, down)
        near = np.full(len(x), _CLEAR)
        for other in lines:
            if other[0] is not across and len(other[0]):
                near = np.minimum(near, _distance(x, y, other))
        cost = _CLEAR - near
        cost += _STRAY * np.abs(_PARTS - _WISHED[(number - 1) % len(_WISHED)]) * box.width()
        for _, at in placed:
            cost += _NEVER * (np.hypot(x - at.x(), y - at.y()) < DISC + 4.0)
        half = DISC / 2.0 + 1.0
        cost += _NEVER * ((y < box.top() + half) | (y > box.bottom() - half - _FOOT))
        best = int(np.argmin(cost))
        placed.append((number, QPointF(float(x[best]), float(y[best]))))
    return tuple(placed)


def _distance(x: Curve, y: Curve, line: tuple[Curve, Curve]) -> Curve:
    """Pixels (C,) from places to a curve; from the curve's points, which are a pixel apart."""
    across, down = line
    found: Curve = np.hypot(x[:, None] - across[None, :], y[:, None] - down[None, :]).min(axis=1)
    return found
