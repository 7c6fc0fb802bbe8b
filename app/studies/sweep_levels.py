"""Lines of one level in the map of a sweep. Needs no Qt."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from app.curves.scale import round_step
from solver.sweep import Values

_LEVELS = 9
"""Contour lines of a map, at most."""


def round_levels(low: float, high: float) -> list[tuple[float, float]]:
    """Round values between two others for contour lines, each with the step between them."""
    if not high > low:
        return []
    step = round_step(high - low, _LEVELS)
    every = np.arange(np.ceil(low / step), np.floor(high / step) + 1) * step
    return [(float(level), step) for level in every]


def level_lines(xs: Values, ys: Values, values: Values, level: float) -> list[Values]:
    """The lines (N, 2) along which values (K, L) of a map are at a level; NaN has none."""
    from contourpy import contour_generator

    found: Any = contour_generator(xs, ys, np.ma.masked_invalid(values)).lines(level)
    return [line for line in found if len(line) > 1]


def longest(lines: Sequence[Values]) -> Values:
    """The line with most corners."""
    return max(lines, key=len)
