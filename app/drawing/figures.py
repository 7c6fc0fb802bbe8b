"""Numbers as a sheet prints them: mm, inch, or mm with inches in brackets."""

from __future__ import annotations

import math
from typing import Literal

from solver import units
from solver.project import Display
from solver.units import Quantity

SheetUnits = Literal["mm", "inch", "both"]
_INCH = 25.4


def length(value: float, sheet_units: SheetUnits) -> str:
    """A length (mm) as a dimension says it: no unit, mm without zeros at the end."""
    metric = trimmed(value, 2)
    if sheet_units == "mm":
        return metric
    if metric == "0":
        return metric
    inch = _signed(f"{value / _INCH:.3f}")
    return inch if sheet_units == "inch" else f"{metric} [{inch}]"


def angle(value: float) -> str:
    """An angle (degrees) to a hundredth."""
    return f"{trimmed(value, 2)}°"


def direction(value: float, display: Display) -> str:
    """A direction (degrees from +x) as the builder counts directions, in (−180°, 180°]."""
    turned = math.remainder(value - _zero(display), 360.0)
    return angle(turned + 360.0 if turned <= -180.0 + 1e-9 else turned)


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


def _signed(text: str) -> str:
    if text.startswith("-"):
        return text[1:] if float(text) == 0.0 else f"−{text[1:]}"
    return text


def with_unit(value: float | None, quantity: Quantity, sheet_units: SheetUnits) -> str:
    """A reading with its unit, in the units of the sheet; "–" for none."""
    if value is None or not math.isfinite(value):
        return "–"
    if quantity == "length":
        unit = "in" if sheet_units == "inch" else "mm"
        return f"{length(value, sheet_units)} {unit}"
    shown = {"mm": ("metric",), "inch": ("inch",), "both": ("metric", "inch")}[sheet_units]
    metric, *inch = dict.fromkeys(_shown(value, quantity, kind) for kind in shown)
    return f"{metric} [{inch[0]}]" if inch else metric


def _shown(value: float, quantity: Quantity, kind: str) -> str:
    display = Display("inch" if kind == "inch" else "metric", "x")
    return units.show(value, quantity, display)
