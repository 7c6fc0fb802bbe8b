"""Where words stand in the picture of a sweep, clear of its lines and of each other. Needs no Qt.

Places are pixels from the left top corner of the plot, boxes (x, y, width, height) by their middle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from solver.sweep import Values

Size = tuple[float, float]
Box = tuple[float, float, float, float]

_CLEAR = 10.0
"""Pixels beyond which being farther away is no better."""
_EDGE = 3.0
"""Pixels that words keep from the edges of the plot."""
_BESIDE_LEVEL, _BESIDE_UPRIGHT, _BESIDE_POINT = 1.0, 5.0, 14.0
"""Pixels between words and the line, or the middle of the mark, that they belong to."""
_STEP = 3.0
"""Pixels between two points of a line that are looked at."""


@dataclass(frozen=True, slots=True)
class View:
    """What a plot shows: width and height in pixels, and the values at its four edges."""

    width: float
    height: float
    left: float
    right: float
    bottom: float
    top: float

    def pixels(self, points: Values) -> Values:
        """Pixels (N, 2) of points (N, 2) in the units of the axes."""
        x = (points[:, 0] - self.left) / (self.right - self.left) * self.width
        y = (self.top - points[:, 1]) / (self.top - self.bottom) * self.height
        return np.stack([x, y], axis=1)

    def point(self, x: float, y: float) -> tuple[float, float]:
        """The point of a place in pixels."""
        across = self.left + x / self.width * (self.right - self.left)
        return across, self.top - y / self.height * (self.top - self.bottom)

    def traced(self, line: Values) -> Values:
        """Places (M, 2) close to each other along a line (N, 2) of points, without its gaps."""
        corners = self.pixels(line)
        legs = np.hypot(*np.diff(corners, axis=0).T)
        known = np.isfinite(legs)
        longest = float(legs[known].max()) if known.any() else 0.0
        share = np.linspace(0.0, 1.0, min(int(longest / _STEP), 1000) + 2)[:, None, None]
        every = (corners[:-1] + share * (corners[1:] - corners[:-1])).reshape(-1, 2)
        inside = (every >= -_CLEAR) & (every <= [self.width + _CLEAR, self.height + _CLEAR])
        return every[inside.all(axis=1)]


def beside_level(value: float, view: View, size: Size) -> Values:
    """Places (C, 2) for words of a size above and below a level line, from the left."""
    (level,) = view.pixels(np.array([[view.left, value]]))[:, 1]
    wide = max(view.width / 2.0 - size[0] / 2.0 - _EDGE, 0.0)
    across = view.width / 2.0 + np.linspace(-wide, wide, 41)
    away = size[1] / 2.0 + _BESIDE_LEVEL
    return np.concatenate(
        [np.stack([across, np.full(41, level + side * away)], axis=1) for side in (-1.0, 1.0)]
    )


def beside_upright(value: float, view: View, size: Size) -> Values:
    """Places (C, 2) to the left and right of an upright line, from the foot."""
    (upright,) = view.pixels(np.array([[value, view.top]]))[:, 0]
    high = max(view.height / 2.0 - size[1] / 2.0 - _EDGE, 0.0)
    down = view.height / 2.0 + np.linspace(high, -high, 41)
    away = size[0] / 2.0 + _BESIDE_UPRIGHT
    return np.concatenate(
        [np.stack([np.full(41, upright + side * away), down], axis=1) for side in (1.0, -1.0)]
    )


def around(at: tuple[float, float], view: View, size: Size) -> Values:
    """Places (C, 2) around the mark at a point, the nearest first."""
    middle = view.pixels(np.array([at]))[0]
    ways = np.array([(1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (1, 1), (-1, -1), (-1, 1)])
    half = np.array(size) / 2.0
    return np.concatenate([middle + ways * (half + _BESIDE_POINT * far) for far in (1.0, 2.0, 3.0)])


def along(line: Values, view: View, size: Size) -> Values:
    """Places (C, 2) on a line, the one farthest from the edges first.

    Near an edge they are so far beside it that the words are whole, still over the line.
    """
    places = view.traced(line)
    ends = np.array([view.width, view.height])
    inmost = np.argsort(-np.minimum(places / ends, 1.0 - places / ends).min(axis=1))
    half = np.array(size) / 2.0 + _EDGE
    return np.clip(places[inmost], half, ends - half)


def clearest(
    view: View, places: Values, size: Size, lines: Sequence[Values], taken: Sequence[Box]
) -> tuple[float, Box] | None:
    """The box at the place that is clearest, the first of those as good; None where none is inside.

    lines: places (M, 2) as `View.traced` makes them. The number is how many pixels the box is away
    from lines and boxes taken, at most `_CLEAR`, 0 or less where it covers one.
    """
    half = np.array(size) / 2.0
    ends = np.array([view.width, view.height])
    slack = np.minimum(places - half, ends - half - places).min(axis=1)
    free = np.full(len(places), _CLEAR)
    for line in lines:
        if len(line):
            off = np.abs(line[None, :, :] - places[:, None, :]) - half
            free = np.minimum(free, _apart(off).min(axis=1))
    for box in taken:
        off = np.abs(np.array(box[:2]) - places) - half - np.array(box[2:]) / 2.0
        free = np.minimum(free, _apart(off))
    free = np.where(slack >= _EDGE - 1e-6, free, -np.inf)
    if not len(free) or not np.isfinite(free.max()):
        return None
    best = int(free.argmax())
    return float(free[best]), (*places[best].tolist(), *size)


def _apart(off: Values) -> Values:
    """How far things are apart (…) by what is between their sides, (…, 2); negative: they meet."""
    outside = np.hypot(*np.moveaxis(np.maximum(off, 0.0), -1, 0))
    found: Values = np.where((off > 0.0).any(axis=-1), outside, off.max(axis=-1))
    return found
