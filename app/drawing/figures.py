"""Numbers as a sheet prints them: mm, inch, or mm with inches in brackets."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

from solver import units
from solver.project import SYSTEMS, Display
from solver.units import Quantity

SheetUnits = Literal["mm", "inch", "both"]
INCH = 25.4
"""mm."""
NOTHING = "–"
"""What stands where there is nothing to say."""


def length(value: float, sheet_units: SheetUnits) -> str:
    """A length (mm) as a dimension says it: no unit, mm without zeros at the end."""
    metric = trimmed(value, 2)
    if sheet_units == "mm":
        return metric
    if metric == "0":
        return metric
    inch = _signed(f"{value / INCH:.3f}")
    return inch if sheet_units == "inch" else f"{metric} [{inch}]"


def sized(value: float, sheet_units: SheetUnits) -> str:
    """The same with its unit: "80 mm", "3.150 in", "80 mm [3.150 in]"."""
    metric, inch = f"{length(value, 'mm')} mm", f"{length(value, 'inch')} in"
    return {"mm": metric, "inch": inch, "both": f"{metric} [{inch}]"}[sheet_units]


def angle(value: float) -> str:
    """An angle (degrees) to a hundredth."""
    return f"{trimmed(value, 2)}°"


def direction(value: float, display: Display, told: Callable[[float], str] = angle) -> str:
    """A direction (degrees from +x) as the builder counts directions, in (−180°, 180°].

    `told` writes the angle.
    """
    turned = math.remainder(value - _zero(display), 360.0)
    return told(turned + 360.0 if turned <= -180.0 + 1e-9 else turned)


def zero_words(display: Display) -> str:
    """Where directions are counted from, in the window's words."""
    return "straight up" if _zero(display) else "the right (+x)"


def origin_words(display: Display) -> str:
    """Where directions are counted from, and which way."""
    return f"{zero_words(display)}, counter-clockwise positive"


def _zero(display: Display) -> float:
    return 90.0 if display.angle_from == "upright" else 0.0


def trimmed(value: float, decimals: int) -> str:
    """A number to so many decimals, without zeros at the end."""
    text = f"{value:.{decimals}f}"
    return _signed(text.rstrip("0").rstrip(".") if "." in text else text)


def rounded_down(value: float, decimals: int) -> str:
    """What is allowed (above 0) to so many decimals, never more than it is."""
    step = 10.0**decimals
    return f"{math.floor(value * step + 1e-9) / step:.{decimals}f}"


def _signed(text: str) -> str:
    if text.startswith("-"):
        return text[1:] if float(text) == 0.0 else f"−{text[1:]}"
    return text


def with_unit(value: float | None, quantity: Quantity, sheet_units: SheetUnits) -> str:
    """What was chosen, with its unit: a length as a dimension has it; "–" for none."""
    if quantity == "length" and value is not None and math.isfinite(value):
        return sized(value, sheet_units)
    return reading(value, quantity, sheet_units)


def reading(value: float | None, quantity: Quantity, sheet_units: SheetUnits) -> str:
    """What was computed, with its unit, to the digits that every reading has; "–" for none."""
    if value is None or not math.isfinite(value):
        return NOTHING
    return units.show_each(value, quantity, [Display(one) for one in SYSTEMS[sheet_units]])
