"""Upright boxes and straight pieces in pixels: which overlap, which pass through which.

Single boxes are plain tuples. What is weighed many at a time is in arrays: boxes (N, 4) are left,
top, width, height, pieces (M, 4) the x and y of both ends.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from solver.bars import Place

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

Rect = tuple[float, float, float, float]
"""Left, top, width, height."""

Bar = tuple[Place, Place, float]
"""A plate, spring, knob or ground in the way: ends of its middle line, half its width, pixels."""


def overlap(one: Rect, other: Rect) -> bool:
    """Whether two boxes have room in common."""
    return (
        one[0] < other[0] + other[2]
        and other[0] < one[0] + one[2]
        and one[1] < other[1] + other[3]
        and other[1] < one[1] + one[3]
    )


def within(box: Rect, area: Rect) -> bool:
    """Whether a box lies wholly in an area."""
    return (
        area[0] <= box[0]
        and area[1] <= box[1]
        and box[0] + box[2] <= area[0] + area[2]
        and box[1] + box[3] <= area[1] + area[3]
    )


def pieces_of(bars: Sequence[Bar]) -> tuple[Floats, Floats]:
    """The middle lines (M, 4) of bars, and half their widths (M,)."""
    ends = np.array([(*a, *b) for a, b, _ in bars], dtype=np.float64).reshape(-1, 4)
    return ends, np.array([half for _, _, half in bars], dtype=np.float64)


def touches_any(box: Rect, bars: Sequence[Bar], off: float = 0.0) -> bool:
    """Whether any bar passes through a box, or nearer than `off` to it."""
    ends, half = pieces_of(bars)
    return bool(crossing(np.array([box]), ends, half + off).any())


def overlapping(boxes: Floats, others: Floats, gap: float = 0.0) -> Flags:
    """Which of the boxes (N, 4) overlap or nearly touch which others (M, 4): (N, M)."""
    low, high = boxes[:, None, :2], boxes[:, None, :2] + boxes[:, None, 2:]
    other_low, other_high = others[None, :, :2] - gap, others[None, :, :2] + others[None, :, 2:]
    return np.asarray(((low < other_high + gap) & (other_low < high)).all(axis=2))


def crossing(boxes: Floats, pieces: Floats, half: Floats | float = 0.0) -> Flags:
    """Through which boxes (N, 4) which straight pieces (M, 4), so wide, pass: (N, M)."""
    start, run = pieces[None, :, :2], pieces[None, :, 2:] - pieces[None, :, :2]
    run = np.where(np.abs(run) < 1e-9, 1e-9, run)
    grown = np.broadcast_to(np.asarray(half, dtype=np.float64), len(pieces))[None, :, None]
    near = (boxes[:, None, :2] - grown - start) / run
    far = (boxes[:, None, :2] + boxes[:, None, 2:] + grown - start) / run
    enter = np.maximum(np.minimum(near, far).max(axis=2), 0.0)
    leave = np.minimum(np.maximum(near, far).min(axis=2), 1.0)
    return np.asarray(enter <= leave)


def meeting(lines: Floats, others: Floats) -> Flags:
    """Which straight pieces (N, 4) cross which others (M, 4): (N, M)."""
    one, other = lines[:, None], others[None]

    def side(piece: Floats, place: Floats) -> Floats:
        run, off = piece[..., 2:] - piece[..., :2], place - piece[..., :2]
        return run[..., 0] * off[..., 1] - run[..., 1] * off[..., 0]

    apart = side(one, other[..., :2]) * side(one, other[..., 2:]) < 0.0
    return np.asarray(apart & (side(other, one[..., :2]) * side(other, one[..., 2:]) < 0.0))
