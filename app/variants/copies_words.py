"""What the copies of compared variants are off by, and how sure their shares are, in words."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.study_words import TIED, count, percent, tied
from app.tolerance_words import holes_alone, short
from solver import units
from solver.model import Design, ExtensionSpring, TorsionSpring
from solver.project import Display
from solver.quantiles import Share

if TYPE_CHECKING:
    from app.variants.comparison import Comparison

_LONGEST = 66
"""Characters of a line; as many fit into the narrowest table."""


def copies_words(comparison: Comparison) -> tuple[str, ...]:
    """How many copies were made and what each variant's are off by, in lines of a table.

    Variants with the same tolerances are told once; those that cannot be solved are left out.
    """
    known = comparison.solved()
    alike: dict[str, list[str]] = {}
    for entry in known:
        told = tolerances(entry.outcome.design, comparison.display)
        alike.setdefault(told, []).append(str(entry.number))
    made = " or ".join(dict.fromkeys(count(e.copies.copies) for e in known if e.copies))
    if len(alike) == 1:
        return tuple(_wrapped(f"{made} copies; {next(iter(alike))}"))
    lines = [f"{made} copies of each"]
    for told, numbers in alike.items():
        lines += _wrapped(f"{', '.join(numbers)}: {told}")
    return tuple(lines)


def tolerances(design: Design, display: Display) -> str:
    """What copies of a design may be off by, of the kinds of parts that it has."""
    alone = holes_alone(design, display)
    parts = alone.split(", ") if alone else _parts(design, display)
    return ", ".join(tied(part) for part in parts)


def share_words(share: Share) -> str:
    """A share and the 95 % range behind it, such as “98.0 %: 97.3–98.5”."""
    return f"{percent(share.count / share.of)}: {ends(share)}"


def ends(share: Share) -> str:
    """The ends of a share's 95 % range, in percent without the sign: “97.3–98.5”."""
    return "–".join(percent(end).removesuffix(" %") for end in (share.low, share.high))


def between(
    low: float, high: float, quantity: units.Quantity, display: Display, unit: bool = False
) -> str:
    """Both ends of a range, such as “4.95–5.87”, with the unit where it is asked for."""
    first, last = (units.number(each, quantity, display) for each in (low, high))
    if unit:
        last = units.show(high, quantity, display)
    return f"{first} to {last}" if "−" in first + last else f"{first}–{last}"


def _wrapped(text: str) -> list[str]:
    return [line.replace(TIED, " ") for line in textwrap.wrap(text, _LONGEST)]


def _parts(design: Design, display: Display) -> Iterator[str]:
    given, springs = design.tolerances, design.springs
    twisted = [spring for spring in springs if isinstance(spring, TorsionSpring)]
    if given.hole_class == "none":
        yield f"holes ±{short(given.hole, 'length', display)}"
    else:
        yield f"holes ISO 2768-1 {given.hole_class}"
    yield f"rests ±{given.stop:g}°"
    if springs:
        yield f"rate ±{given.rate:g} %"
    if len(twisted) < len(springs):
        yield f"free length ±{short(given.free_length, 'length', display)}"
    if twisted:
        yield f"free angle ±{given.free_angle:g}°"
    if any(isinstance(spring, ExtensionSpring) for spring in springs):
        yield f"initial tension ±{given.initial_tension:g} %"
    yield f"friction × {given.friction_least:g} … {given.friction_most:g}"
    if design.loads or design.weights:
        yield f"loads ±{given.load:g} %"
    if given.own:
        yield f"own tolerances of {len(given.own)}"
    yield "spread evenly" if given.spread == "uniform" else tied("± is 3 standard deviations")
