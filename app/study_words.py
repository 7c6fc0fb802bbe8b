"""Shares, limits and effects in words. Needs no Qt; the command line says the same."""

from __future__ import annotations

import math
import re

from solver import units
from solver.model import Limit
from solver.project import Display
from solver.quantiles import Share
from solver.sensitivity import Sensitivity
from solver.units import Quantity

_TINY = 1e-8
"""Bounds below this only say "above zero"."""


TIED = "\N{NO-BREAK SPACE}"
"""Between words that stay on one line."""
_BEFORE_UNIT = re.compile(
    r"(?<=\d) (?=(?:N|mm|mJ|kg|in|in·lbf|lbf|lb|N·mm|N/mm|%|\d{3})(?:[\s.,;:]|$))"
)


def tied(words: str) -> str:
    """Words that a line does not end between."""
    return words.replace(" ", TIED)


def with_units(sentence: str) -> str:
    """A sentence whose lines do not end between a number and its unit, nor within a number."""
    return _BEFORE_UNIT.sub(TIED, sentence)


def percent(share: float) -> str:
    """A share to a tenth of a percent; all and none only where it is exactly that."""
    if math.isnan(share):
        return "–"
    value = 100.0 * share
    if value in (0.0, 100.0):
        return f"{value:.0f} %"
    return f"{min(max(value, 0.1), 99.9):.1f} %"


def interval(share: Share) -> str:
    """What the share may be of all copies that could ever be made."""
    return f"{percent(share.low)} to {percent(share.high)}"


def count(number: int) -> str:
    """A count with thin groups of three."""
    return f"{number:,}".replace(",", " ")


def counted(number: int, one: str) -> str:
    """A count with the noun that it counts: `one`, with an s where there are none or several."""
    return f"{count(number)} {one if number == 1 else one + 's'}"


def bound(limit: Limit, quantity: Quantity, display: Display) -> str:
    """What a limit asks for; "" where it only asks for more than nothing."""
    parts = []
    if limit.at_least is not None and abs(limit.at_least) > _TINY:
        parts.append(f"at least {units.show(limit.at_least, quantity, display)}")
    elif limit.at_least is not None and limit.at_least == 0.0:
        parts.append(f"at least {units.show(0.0, quantity, display)}")
    if limit.at_most is not None:
        parts.append(f"at most {units.show(limit.at_most, quantity, display)}")
    return ", ".join(parts)


CORNER = "all tolerances at their worst at once, a corner that almost no copy sees"


def corner(limit: Limit, worst: float, holds: bool, quantity: Quantity, display: Display) -> str:
    """Whether a limit holds there with the reading `worst`, or by how much it does not."""
    if holds:
        return "holds"
    if math.isnan(worst):
        return "locks or has no such reading"
    if not bound(limit, quantity, display):
        return "does not hold"
    under = limit.at_least is not None and worst < limit.at_least
    edge = limit.at_least if under else limit.at_most
    kind: Quantity = "angle" if quantity == "direction" else quantity
    gap = units.show(abs(worst - (edge or 0.0)), kind, display)
    return f"{gap} {'short' if under else 'over'}"


def change(value: float, quantity: Quantity, display: Display) -> str:
    """A change with its sign, none where it rounds to nothing; of a direction, the plain angle."""
    kind: Quantity = "angle" if quantity == "direction" else quantity
    if math.isnan(value):
        return "–"
    text = units.show(abs(value), kind, display)
    if not re.search("[1-9]", units.number(abs(value), kind, display)):
        return text
    return f"{'−' if value < 0.0 else '+'}{text}"


def step(effect: Sensitivity, display: Display) -> str:
    """The change of a number that its effect is told for."""
    quantity = effect.number.quantity
    kind: Quantity = "angle" if quantity == "direction" else quantity
    return units.show(effect.typical, kind, display)


def gain(per_mm: float, quantity: Quantity, display: Display, better: int) -> str:
    """What moving a point brings: +0.42 N per mm; − where less of it is better."""
    step, called = (25.4 / 16.0, "1/16 in") if display.units == "inch" else (1.0, "mm")
    way = -1.0 if better < 0 else 1.0
    return f"{change(way * per_mm * step, quantity, display)} per {called}"
