"""Quantities as people read and type them; plain floats in base units everywhere else.

Base units: length and diameter mm, angle and direction degree, force N, torque N·mm, energy mJ
(= N·mm), rate N/mm, angular_rate N·mm per degree, mass kg, ratio, count and coils 1, percent %,
acceleration m/s², stress N/mm².

A direction is an angle from +x in the design and obeys `Display.angle_from` on screen; it is
never wrapped, because a stop at 190° and one at -170° are different stops.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from solver.errors import UnitProblem
from solver.project import Display
from solver.typed import terms

if TYPE_CHECKING:
    import pint

Quantity = Literal[
    "length",
    "diameter",
    "angle",
    "direction",
    "force",
    "torque",
    "energy",
    "rate",
    "angular_rate",
    "mass",
    "ratio",
    "percent",
    "count",
    "coils",
    "acceleration",
    "stress",
]

LARGEST = 1e9
"""Greatest size, in base units, of a number that may be typed."""

_UPRIGHT = 90.0
_DEFINITIONS = Path(__file__).with_name("units.txt")


@dataclass(frozen=True, slots=True)
class _Unit:
    """A unit on screen: displayed value = base value / size.

    `decimals` holds the digits after the point for sizes of 10 and more, and for less.
    """

    label: str
    size: float
    decimals: tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Kind:
    """What a quantity is called, an example to type, its base unit and its units on screen."""

    called: str
    example: str
    base: str
    metric: _Unit
    inch: _Unit


_INCH = 25.4
_POUND = 0.45359237
_POUND_FORCE = 4.4482216152605
_FOOT = 0.3048

_DEGREE = _Unit("°", 1.0, (1, 2))
_BARE = _Unit("", 1.0, (3, 3))
_PERCENT = _Unit("%", 1.0, (1, 1))
_WHOLE = _Unit("", 1.0, (0, 0))
_QUARTERS = _Unit("", 1.0, (2, 2))

_KINDS: Mapping[Quantity, _Kind] = {
    "length": _Kind(
        *("a length", "12 mm or 3/8 in", "mm"),
        *(_Unit("mm", 1.0, (1, 1)), _Unit("in", _INCH, (3, 3))),
    ),
    "diameter": _Kind(  # of wire, whose sizes differ by less than other lengths need be told
        *("a diameter", "1.2 mm or 1/16 in", "mm"),
        *(_Unit("mm", 1.0, (1, 2)), _Unit("in", _INCH, (4, 4))),
    ),
    "angle": _Kind("an angle", "30° or 0.5 rad", "deg", _DEGREE, _DEGREE),
    "direction": _Kind("a direction", "30° or 0.5 rad", "deg", _DEGREE, _DEGREE),
    "force": _Kind(
        *("a force", "12 N or 3 lbf", "N"),
        *(_Unit("N", 1.0, (1, 2)), _Unit("lbf", _POUND_FORCE, (1, 2))),
    ),
    "torque": _Kind(
        *("a torque", "800 N·mm or 7 in·lbf", "N*mm"),
        *(_Unit("N·mm", 1.0, (0, 1)), _Unit("in·lbf", _INCH * _POUND_FORCE, (2, 3))),
    ),
    "energy": _Kind(
        *("an energy", "800 mJ or 7 in·lbf", "mJ"),
        *(_Unit("mJ", 1.0, (1, 2)), _Unit("in·lbf", _INCH * _POUND_FORCE, (2, 3))),
    ),
    "rate": _Kind(
        *("a spring rate", "1.5 N/mm or 8 lbf/in", "N/mm"),
        *(_Unit("N/mm", 1.0, (2, 3)), _Unit("lbf/in", _POUND_FORCE / _INCH, (2, 3))),
    ),
    "angular_rate": _Kind(
        *("a torsion rate", "12 N·mm/° or 0.1 in·lbf/°", "N*mm/deg"),
        *(_Unit("N·mm/°", 1.0, (2, 3)), _Unit("in·lbf/°", _INCH * _POUND_FORCE, (3, 4))),
    ),
    "mass": _Kind(
        *("a mass", "0.4 kg or 12 oz", "kg"),
        *(_Unit("kg", 1.0, (3, 3)), _Unit("lb", _POUND, (3, 3))),
    ),
    "ratio": _Kind("a plain number", "0.15 or 15 %", "unity", _BARE, _BARE),
    "percent": _Kind("a percentage", "10 %", "percent", _PERCENT, _PERCENT),
    "count": _Kind("a whole number", "3", "unity", _WHOLE, _WHOLE),
    "coils": _Kind("a number of coils", "9.5", "unity", _QUARTERS, _QUARTERS),
    "acceleration": _Kind(
        *("an acceleration", "9.81 m/s² or 32.2 ft/s²", "m/s**2"),
        *(_Unit("m/s²", 1.0, (2, 3)), _Unit("ft/s²", _FOOT, (2, 3))),
    ),
    "stress": _Kind(
        *("a stress", "900 N/mm² or 130000 psi", "N/mm**2"),
        *(_Unit("N/mm²", 1.0, (0, 1)), _Unit("psi", _POUND_FORCE / _INCH**2, (0, 1))),
    ),
}


def unit_of(quantity: Quantity, display: Display) -> str:
    """The label of the unit on screen, such as "mm", "lbf", "°"; "" for plain numbers."""
    return _unit(quantity, display).label


def factor(quantity: Quantity, display: Display) -> float:
    """Displayed value = base value * factor (for a direction: plus a shift, see `displayed`)."""
    return 1.0 / _unit(quantity, display).size


def displayed(value: float, quantity: Quantity, display: Display) -> float:
    """The number on screen for a value in base units."""
    # A plain number also of one out of an array, whose comparisons index nothing.
    return float(value - _zero(quantity, display)) / _unit(quantity, display).size


def number(value: float, quantity: Quantity, display: Display, digits: int | None = None) -> str:
    """The number on screen without its unit, to `digits` decimals or the quantity's usual ones.

    "–" for NaN, "∞" for infinity.
    """
    return _written(displayed(value, quantity, display), _unit(quantity, display), digits)


def show(value: float, quantity: Quantity, display: Display, digits: int | None = None) -> str:
    """The number on screen with its unit, such as "12.3 mm", "−4.00°"; of both units in both."""
    return show_each(value, quantity, display.each, digits)


def show_each(
    value: float, quantity: Quantity, displays: Sequence[Display], digits: int | None = None
) -> str:
    """As `show`, in each of the displays that tells it otherwise: "12 mm [0.472 in]"."""
    first, *more = dict.fromkeys(
        _with_label(number(value, quantity, display, digits), unit_of(quantity, display))
        for display in displays
    )
    return f"{first} [{more[0]}]" if more else first


def exact(value: float, quantity: Quantity, display: Display) -> str:
    """As `show`, with as many decimals as the value needs, up to six: for a field to edit.

    `read` gives the value back to within half of the sixth decimal.
    """
    unit = _unit(quantity, display)
    shown = displayed(value, quantity, display)
    usual = unit.decimals[abs(shown) < 10.0]
    longest = _written(shown, unit, 6)
    if longest[-1] not in "0123456789" or "e" in longest:
        return _with_label(longest, unit.label)
    whole, _, decimals = longest.partition(".")
    decimals = decimals.rstrip("0").ljust(usual, "0")
    return _with_label(f"{whole}.{decimals}" if decimals else whole, unit.label)


def read(text: str, quantity: Quantity, display: Display) -> float:
    """The value in base units of what was typed: any unit, fractions, sums.

    A number without a unit is in the unit on screen. Raises UnitProblem with a sentence.
    """
    kind = _KINDS[quantity]
    takes = f"This field takes {kind.called}, such as {kind.example}"
    if not text.strip():
        raise UnitProblem(f"{takes}.")
    size = _unit(quantity, display).size
    total = _zero(quantity, display)
    for term in terms(text, angles=kind.base == "deg"):
        total += term.value * (_size(term.unit, term.text, kind, takes) if term.unit else size)
    if not abs(total) <= LARGEST:
        raise UnitProblem(f"“{text.strip()}” is too large a number for this field.")
    if quantity == "count" and total != round(total):
        raise UnitProblem(f"{takes}; “{text.strip()}” is not whole.")
    # Binary leftovers of the sum and the conversion (3/8 in = 9.524999…) are not kept.
    return float(f"{total:.12g}")


def _unit(quantity: Quantity, display: Display) -> _Unit:
    kind = _KINDS[quantity]
    return kind.inch if display.units == "inch" else kind.metric


def _zero(quantity: Quantity, display: Display) -> float:
    """The base value at which the screen shows 0."""
    return _UPRIGHT if quantity == "direction" and display.angle_from == "upright" else 0.0


def _written(shown: float, unit: _Unit, digits: int | None) -> str:
    if math.isnan(shown):
        return "–"
    if math.isinf(shown):
        return "∞" if shown > 0.0 else "−∞"
    if abs(shown) >= 1e12:
        return f"{shown:.3e}".replace("-", "−")
    decimals = unit.decimals[abs(shown) < 10.0] if digits is None else digits
    text = f"{shown:.{decimals}f}"
    if text.startswith("-"):
        text = text[1:] if float(text) == 0.0 else "−" + text[1:]
    return text


def _with_label(text: str, label: str) -> str:
    if text == "–" or not label:
        return text
    return f"{text}{label}" if label == "°" else f"{text} {label}"


def _size(unit: str, text: str, kind: _Kind, takes: str) -> float:
    """Base units in one typed unit; UnitProblem where it is unknown or of another kind."""
    typed = _measure(unit)
    if typed is None:
        raise UnitProblem(f"{takes}; the unit of “{text}” is not known.")
    size, dimensions = typed
    base = _measure(kind.base)
    if base is None or base[1] != dimensions:
        raise UnitProblem(f"{takes}; “{text}” is {_called(dimensions)}.")
    return size / base[0]


def _called(dimensions: str) -> str:
    """What a typed quantity of these dimensions is, as a noun with its article."""
    for kind in _KINDS.values():
        base = _measure(kind.base)
        if base is not None and base[1] == dimensions:
            return kind.called
    return "something else"


@cache
def _registry() -> "pint.UnitRegistry[float]":
    # Late and from a small file of our own: the library and its usual registry would take a
    # good part of the program's start.
    import pint

    return pint.UnitRegistry(str(_DEFINITIONS))


def _measure(unit: str) -> tuple[float, str] | None:
    """Size in root units and dimensions of a product of words; None where a word is unknown."""
    registry = _registry()
    try:
        quantity = registry.Quantity(1.0, registry.parse_units(unit)).to_root_units()
    except (AttributeError, ValueError):  # an unknown word is an AttributeError there
        return None
    return float(quantity.magnitude), str(quantity.dimensionality)
