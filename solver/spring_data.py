"""What is known of a spring as a thing to buy: wire, diameters, coils; and whether they agree.

They move no reading, so what does not agree with rate or solid length is a remark, no problem.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from solver.model import CompressionSpring, ExtensionSpring, Spring, TorsionSpring
from solver.project import Display
from solver.spring_formulas import (
    ELASTIC_PATENTED,
    ELASTIC_STAINLESS,
    END_COILS,
    SHEAR_PATENTED,
    SHEAR_STAINLESS,
    USUAL_INDEX,
    coil_rate,
    solid_lengths,
    spring_index,
    torsion_rate,
)
from solver.units import Quantity, displayed, show, show_each, unit_of

SPRING_WORDS: Mapping[type[Spring], str] = {
    CompressionSpring: "compression spring",
    ExtensionSpring: "extension spring",
    TorsionSpring: "torsion spring",
}
"""Class -> what it is called."""

RATE_OFF = 0.1
"""Share by which a rate may be off what wire and coils give without a remark: what we let springs
from stock be off (`Tolerances.rate`); our own judgement, no source."""

SOLID_OFF = 0.05
"""The same for the solid length: the wire's tolerance and a supplier's rounding; our own."""

_THICK = 6.5
"""mm; thicker wire and wider coils are told apart by a thousandth of an inch."""

_WORDS = (("wire", "wire"), ("outside_diameter", "outside diameter"), ("coils", "coils"))


def missing(spring: Spring) -> tuple[str, ...]:
    """Which of wire, outside diameter and coils are not known, in words."""
    return tuple(words for field, words in _WORDS if getattr(spring, field) is None)


def mean_diameter(spring: Spring) -> float | None:
    """Mean diameter of the coils (mm); None where wire or outside diameter is not known."""
    if spring.wire is None or spring.outside_diameter is None:
        return None
    return spring.outside_diameter - spring.wire


def inside_diameter(spring: Spring) -> float | None:
    """Inside diameter of the coils (mm); None where wire or outside diameter is not known."""
    mean = mean_diameter(spring)
    return None if mean is None or spring.wire is None else mean - spring.wire


def working_coils(spring: Spring) -> float | None:
    """How many coils work, those closed at the ends left out; None where it is not known."""
    if spring.coils is None or not isinstance(spring, CompressionSpring):
        return spring.coils
    return spring.coils - END_COILS


def steel_rates(spring: Spring, legs: float = 0.0) -> tuple[float, float] | None:
    """The rates that its wire and coils have of stainless and of patented drawn steel wire.

    N/mm, or N·mm per degree for a torsion spring, whose legs bear `legs` mm from the axis, both
    together; None where not enough is known, or no coil works.
    """
    mean, working = mean_diameter(spring), working_coils(spring)
    if spring.wire is None or mean is None or working is None or min(mean, working) <= 0.0:
        return None
    stainless, patented = (
        torsion_rate(spring.wire, mean, working, elastic, legs)
        if isinstance(spring, TorsionSpring)
        else coil_rate(spring.wire, mean, working, shear)
        for shear, elastic in (
            (SHEAR_STAINLESS, ELASTIC_STAINLESS),
            (SHEAR_PATENTED, ELASTIC_PATENTED),
        )
    )
    return stainless, patented


# ---- words ------------------------------------------------------------------------------


def trim_length(length: float, display: Display) -> str:
    """A wire's or a coil's size without its unit, to 0.01 mm and no zeros at the end.

    In inches to a thousandth, and thin wires, which differ by less, to a tenth of that; there the
    zeros at the end say how fine, as with all inches.
    """
    size = displayed(length, "length", display)
    if display.units == "inch":
        return f"{size:.{4 if length < _THICK else 3}f}"
    return _trimmed(size, 2)


def coils_text(coils: float) -> str:
    """A number of coils to a hundredth: "9", "8.25"."""
    return _trimmed(coils, 2)


def coil_size(length: float, displays: Sequence[Display]) -> str:
    """The same with its unit, in each of the displays: "1.2 mm [0.0472 in]"."""
    first, *more = dict.fromkeys(
        f"{trim_length(length, display)} {unit_of('length', display)}" for display in displays
    )
    return f"{first} [{more[0]}]" if more else first


def size_words(spring: Spring, display: Display) -> str:
    """What is known of it as one orders it: "1.2 × 12 mm × 9 coils"; "" where nothing is."""
    unit = unit_of("length", display)
    wire, outside = (
        None if size is None else trim_length(size, display)
        for size in (spring.wire, spring.outside_diameter)
    )
    coils = None if spring.coils is None else f"{coils_text(spring.coils)} coils"
    if wire and outside:
        return " × ".join(part for part in (wire, f"{outside} {unit}", coils) if part)
    told = (wire and f"wire {wire} {unit}", outside and f"outside {outside} {unit}", coils)
    return ", ".join(part for part in told if part)


def to_buy(spring: Spring, displays: Sequence[Display], coiled: Sequence[str] = ()) -> str:
    """What to ask a supplier for, the order number or note at the end, in each of the displays.

    "compression spring 1.2 × 12 mm × 9 coils, 3.52 N/mm, free length 80.0 mm"; what is not known
    is named: "wire not given". `coiled` is what a torsion spring's place in the design says of it.
    """
    kind = SPRING_WORDS[type(spring)]
    sizes, *more = dict.fromkeys(size_words(spring, display) for display in displays)
    sizes += f" [{more[0]}]" if more else ""
    told = [f"{kind} {sizes}"] if sizes[:1].isdigit() else [kind, *([sizes] if sizes else [])]
    if isinstance(spring, TorsionSpring):
        told += coiled
        told.append(show_each(spring.rate, "angular_rate", displays))
        if spring.leg_length is not None:
            told.append(f"legs {show_each(spring.leg_length, 'length', displays)} from the axis")
    else:
        told.append(show_each(spring.rate, "rate", displays))
        told.append(f"free length {show_each(spring.free_length, 'length', displays)}")
    if isinstance(spring, ExtensionSpring):
        told.append(f"initial tension {show_each(spring.initial_tension, 'force', displays)}")
    told += [not_given] if (not_given := not_given_words(spring)) else []
    told += [spring.order_note] if spring.order_note else []
    return ", ".join(told)


def not_given_words(spring: Spring) -> str:
    """Such as "wire and coils not given"; "" where all is known."""
    lacking = missing(spring)
    *most, last = lacking or ("",)
    listed = f"{', '.join(most)} and {last}" if most else last
    return f"{listed} not given" if lacking else ""


def _trimmed(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".")


# ---- remarks ----------------------------------------------------------------------------


@lru_cache(maxsize=64)  # asked for in every frame of a drag
def spring_remarks(spring: Spring, display: Display, legs: float = 0.0) -> tuple[str, ...]:
    """Sentences on wire, diameter and coils that do not agree with the spring's other numbers.

    `legs` as for `steel_rates`.
    """
    return tuple(
        f"Spring “{spring.name}”: {wrong}."
        for wrong in (*_index(spring), *_coils(spring, display), *_rate(spring, legs, display))
    )


def _index(spring: Spring) -> Iterator[str]:
    mean = mean_diameter(spring)
    if mean is None or spring.wire is None:
        return
    least, most = USUAL_INDEX
    index = spring_index(spring.wire, mean)
    if not least <= index <= most:
        yield (
            f"its coils are {index:.1f} times as wide as its wire, in the mean; {least:g} to "
            f"{most:g} times are usual (EN 15800): check wire and diameter"
        )


def _coils(spring: Spring, display: Display) -> Iterator[str]:
    """Of a compression spring: whether any coil works, and whether its solid length fits."""
    if not isinstance(spring, CompressionSpring) or spring.coils is None:
        return
    if spring.coils <= END_COILS:
        yield (
            f"of {coils_text(spring.coils)} coils, with one closed at each end, none is left to "
            "work: give all coils, those at the ends too"
        )
        return
    if spring.wire is None:
        return
    ground, unground = solid_lengths(spring.wire, spring.coils)
    if not (1.0 - SOLID_OFF) * ground <= spring.solid_length <= (1.0 + SOLID_OFF) * unground:
        yield (
            f"{coils_text(spring.coils)} coils of {coil_size(spring.wire, display.each)} wire "
            f"close solid at {show(ground, 'length', display)} with ground ends, "
            f"{show(unground, 'length', display)} without; the solid length typed is "
            f"{show(spring.solid_length, 'length', display)}: check them"
        )


def _rate(spring: Spring, legs: float, display: Display) -> Iterator[str]:
    rates = steel_rates(spring, legs)
    if rates is None or spring.wire is None or spring.outside_diameter is None:
        return
    stainless, patented = rates
    if (1.0 - RATE_OFF) * stainless <= spring.rate <= (1.0 + RATE_OFF) * patented:
        return
    working = working_coils(spring) or 0.0
    all_of_them = coils_text(spring.coils or 0.0)
    counted = f"{coils_text(working)} of {all_of_them} coils working"
    if not isinstance(spring, CompressionSpring):
        counted = f"{all_of_them} coils"
    if legs:
        counted += f" and legs that bend over {show(legs, 'length', display)} together"
    quantity: Quantity = "angular_rate" if isinstance(spring, TorsionSpring) else "rate"
    yield (
        f"with {coil_size(spring.wire, display.each)} wire, "
        f"{coil_size(spring.outside_diameter, display.each)} outside and {counted} a steel spring "
        f"has about {show(patented, quantity, display)}; the rate typed is "
        f"{show(spring.rate, quantity, display)}: check them"
    )
