"""Scales that stay put: round steps, and a range that changes only when it must."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

_MARGIN = 0.06
"""Room above and below the curve, as a part of its span."""

_LEAST_FILL = 0.5
"""A range that the curve fills less than this is given up; a fitted one is always fuller."""

_PARTS = 7
"""Steps on a vertical axis, at most."""


@dataclass(frozen=True, slots=True)
class Scale:
    """What an axis shows, in display units, and the round step between its grid lines."""

    low: float
    high: float
    step: float

    def ticks(self) -> list[float]:
        """The multiples of the step within the range."""
        first = math.ceil(self.low / self.step - 1e-9)
        last = math.floor(self.high / self.step + 1e-9)
        return [index * self.step for index in range(first, last + 1)]


def round_step(span: float, parts: int) -> float:
    """The least of 1, 2, 5, 10 … that divides `span` into at most `parts` steps."""
    least = span / parts
    power = 10.0 ** math.floor(math.log10(least))
    for digit in (1.0, 2.0, 5.0):
        if digit * power >= least * (1 - 1e-9):
            return digit * power
    return 10.0 * power


def fitted(low: float, high: float) -> Scale:
    """A scale that holds `low` to `high` with a margin, its ends on half steps."""
    margin = _MARGIN * (high - low)
    low, high = low - margin, high + margin
    step = round_step(high - low, _PARTS)
    half = step / 2
    return Scale(math.floor(low / half) * half, math.ceil(high / half) * half, step)


def following(low: float, high: float, kept: Scale | None) -> Scale:
    """`kept` while `low` to `high` is inside and fills enough of it, else a scale that fits.

    So an axis does not jitter while the design is dragged. With nothing kept, the scale follows
    from the curve alone.
    """
    if kept is not None:
        inside = kept.low <= low and high <= kept.high
        if inside and high - low >= _LEAST_FILL * (kept.high - kept.low):
            return kept
    return fitted(low, high)


def span_of(*curves: NDArray[np.float64], with_zero: bool = False) -> tuple[float, float]:
    """Least and greatest finite value of the curves, never equal; with zero among them if asked."""
    values = np.concatenate(curves)
    values = values[np.isfinite(values)]
    low = float(values.min()) if values.size else 0.0
    high = float(values.max()) if values.size else 1.0
    if with_zero:
        low, high = min(low, 0.0), max(high, 0.0)
    if high - low < 1e-9 * max(1.0, abs(low), abs(high)):
        return low - 0.5, high + 0.5
    return low, high


def tick_text(value: float, step: float) -> str:
    """A tick's number with the decimals that the step needs and a real minus sign."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return f"{value:.{decimals}f}".replace("-", "−") if abs(value) > step / 2 else "0"
