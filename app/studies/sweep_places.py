"""Where words stand clear of the curve of a sweep, and inside its map. Needs no Qt."""

from __future__ import annotations

import numpy as np

from solver.sweep import Values

_CLEAR = 0.2
"""Share of the plot beyond which being farther away is no better."""


def free_place(
    xs: Values, ys: Values, bound: float, span: float, here: float, half: float = 0.15
) -> float:
    """The part of a level line, 0 to 1, far from the curve (N,) and from the value `here`.

    The line is at `bound` of a plot that is `span` high; all in display units. What stands there
    is `half` of the plot wide to either side, below 0.5.
    """
    parts = np.linspace(half, 1.0 - half, 15)
    wide = max(float(np.ptp(xs)), 1e-12)
    sides = parts[:, None] + np.linspace(-half, half, 9)
    off = np.abs(np.interp(sides, (xs - xs.min()) / wide, ys) - bound) / max(span, 1e-12)
    away = np.minimum(np.where(np.isfinite(off), off, 1.0).min(axis=1), _CLEAR)
    present = np.minimum(np.abs(parts - (here - xs.min()) / wide), _CLEAR)
    return float(parts[np.argmax(away + present)])


def is_high(xs: Values, ys: Values, here: float, low: float, high: float) -> bool:
    """Whether the curve (N,) is in the upper half of a plot from low to high, at a place."""
    value = float(np.interp(here, xs, ys))
    return bool(np.isfinite(value) and value > (low + high) / 2.0)


def inmost(line: Values, xs: Values, ys: Values) -> tuple[float, float]:
    """The corner (x, y) of a line (N, 2) that is farthest from the edges of a map."""
    shares = (line - [xs[0], ys[0]]) / [xs[-1] - xs[0], ys[-1] - ys[0]]
    at = int(np.minimum(shares, 1.0 - shares).min(axis=1).argmax())
    return float(line[at, 0]), float(line[at, 1])
