"""Boxes and straight pieces in arrays: which of many meet which, and how far they go together.

Only pairs whose upright surroundings overlap are looked at: on a page that is one in a hundred.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from app.drawing.boxes import Box

Segments = NDArray[np.float64]
"""(S, 4): x1, y1, x2, y2 of straight pieces, mm."""

Frames = NDArray[np.float64]
"""(K, 6): middle x, y, half of width and height (mm), cosine and sine of the turn of boxes."""

Bounds = NDArray[np.float64]
"""(N, 4): least x, least y, greatest x, greatest y, mm."""

Index = NDArray[np.intp]

_SLACK = 1e-6
"""Boxes that overlap by less (mm) only touch."""


def frames(boxes: Sequence[Box]) -> Frames:
    """Boxes as an array."""
    found = [
        (
            *box.middle,
            box.half_width,
            box.half_height,
            math.cos(math.radians(box.turn)),
            math.sin(math.radians(box.turn)),
        )
        for box in boxes
    ]
    return np.asarray(found, dtype=np.float64).reshape(-1, 6)


def grown(boxes: Frames, wide: float | NDArray[np.float64], high: float) -> Frames:
    """Boxes with a margin (mm) at the sides, and above and below."""
    found = boxes.copy()
    found[:, 2] += wide
    found[:, 3] += high
    return found


def around_frames(boxes: Frames) -> Bounds:
    """The upright rectangles around boxes."""
    x, y, wide, high, cosine, sine = boxes.T
    out_x = np.abs(wide * cosine) + np.abs(high * sine)
    out_y = np.abs(wide * sine) + np.abs(high * cosine)
    return np.stack((x - out_x, y - out_y, x + out_x, y + out_y), axis=1)


def around_lines(lines: Segments) -> Bounds:
    """The upright rectangles around straight pieces."""
    low = np.minimum(lines[:, :2], lines[:, 2:])
    return np.concatenate((low, np.maximum(lines[:, :2], lines[:, 2:])), axis=1)


def close(first: Bounds, second: Bounds) -> tuple[Index, Index]:
    """Every pair of rectangles that overlap or touch: indices into the first and the second."""
    if not len(first) or not len(second):
        none = np.zeros(0, dtype=np.intp)
        return none, none
    left, bottom = first[:, 0].min(), first[:, 1].min()
    right, top = first[:, 2].max(), first[:, 3].max()
    x1, y1, x2, y2 = second.T
    (kept,) = np.nonzero((x1 <= right) & (x2 >= left) & (y1 <= top) & (y2 >= bottom))
    x1, y1, x2, y2 = second[kept].T
    meet = (first[:, 0, None] <= x2) & (first[:, 2, None] >= x1)
    meet &= (first[:, 1, None] <= y2) & (first[:, 3, None] >= y1)
    one, other = np.nonzero(meet)
    return one, kept[other]


def lengths(boxes: Frames, lines: Segments) -> NDArray[np.float64]:
    """The length (mm), (P,), of each piece that lies in the box with the same index."""
    wide, high, cosine, sine = boxes[:, 2], boxes[:, 3], boxes[:, 4], boxes[:, 5]
    x, y = lines[:, 0::2] - boxes[:, 0, None], lines[:, 1::2] - boxes[:, 1, None]
    u = x * cosine[:, None] + y * sine[:, None]
    v = y * cosine[:, None] - x * sine[:, None]
    enter, leave = np.zeros(len(lines)), np.ones(len(lines))
    for along, half in ((u, wide), (v, high)):
        start, run = along[:, 0], along[:, 1] - along[:, 0]
        still = np.abs(run) < 1e-12
        safe = np.where(still, 1.0, run)
        first, second = (-half - start) / safe, (half - start) / safe
        outside = still & (np.abs(start) > half)
        low, high_end = np.minimum(first, second), np.maximum(first, second)
        enter = np.maximum(enter, np.where(still, np.where(outside, 2.0, 0.0), low))
        leave = np.minimum(leave, np.where(still, 1.0, high_end))
    found: NDArray[np.float64] = np.hypot(u[:, 1] - u[:, 0], v[:, 1] - v[:, 0])
    return np.maximum(leave - enter, 0.0) * found


def overlap(first: Frames, second: Frames) -> NDArray[np.bool_]:
    """Whether boxes, (P,), overlap those with the same index; boxes that touch do not."""
    mine, theirs = _corners(first), _corners(second)
    apart = np.zeros(len(first), dtype=np.bool_)
    for boxes in (first, second):
        for way in (boxes[:, 4:6], np.stack((-boxes[:, 5], boxes[:, 4]), axis=1)):
            own = np.einsum("pcx,px->pc", mine, way)
            other = np.einsum("pcx,px->pc", theirs, way)
            apart |= own.max(axis=1) <= other.min(axis=1) + _SLACK
            apart |= other.max(axis=1) <= own.min(axis=1) + _SLACK
    return ~apart


def _corners(boxes: Frames) -> NDArray[np.float64]:
    """The corners of boxes, (P, 4, 2)."""
    x, y, wide, high, cosine, sine = (column[:, None] for column in boxes.T)
    u = wide * np.asarray((-1.0, 1.0, 1.0, -1.0))
    v = high * np.asarray((-1.0, -1.0, 1.0, 1.0))
    return np.stack((x + u * cosine - v * sine, y + u * sine + v * cosine), axis=2)


def cross(lines: Segments, others: Segments) -> NDArray[np.bool_]:
    """Whether pieces, (P,), cross those with the same index; pieces that touch do not."""
    first = _side(lines, others[:, :2]) * _side(lines, others[:, 2:])
    back = _side(others, lines[:, :2]) * _side(others, lines[:, 2:])
    found: NDArray[np.bool_] = (first < 0.0) & (back < 0.0)
    return found


def _side(line: Segments, place: NDArray[np.float64]) -> NDArray[np.float64]:
    """On which side of a line a place lies, by sign."""
    dx, dy = line[:, 2] - line[:, 0], line[:, 3] - line[:, 1]
    found: NDArray[np.float64] = dx * (place[:, 1] - line[:, 1])
    return found - dy * (place[:, 0] - line[:, 0])
