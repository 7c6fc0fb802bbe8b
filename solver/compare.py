"""Several variants held against one of them: parts, readings and limits.

What changed between two designs, in words, is in `solver.changes`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from solver import units
from solver.analysis import Analysis
from solver.checks import problems
from solver.model import Design
from solver.parts_list import parts_list, piece_count
from solver.project import Display
from solver.results import LimitResult, Reading
from solver.units import Quantity

HIGHER = frozenset(
    {
        "holding_force",
        "holding_force_a",
        "holding_force_b",
        "seating_force_a",
        "seating_force_b",
        "barrier",
        "barrier_a",
        "barrier_b",
        "slack_margin",
        "bottoming_margin",
        "rod_margin",
    }
)
"""Stems of the readings of which more is better, other things being equal."""

LOWER = frozenset(
    {
        "peak_effort",
        "peak_effort_to_b",
        "peak_effort_to_a",
        "hang_zone",
        "hang_zone_mm",
    }
)
"""Stems of those of which less is better.

Of the others neither: they depend on the job. So does the load on a pin, which in one variant may
carry the lever and in another a light link.
"""

SAME = "same"
"""The difference between two numbers that are printed alike."""


@dataclass(frozen=True, slots=True)
class PartCount:
    """How many parts a design has: `links` with the frame, `pins` that join two or more links."""

    links: int
    pins: int
    sliders: int
    springs: int
    weights: int

    @property
    def total(self) -> int:
        """All of them."""
        return self.links + self.pins + self.sliders + self.springs + self.weights


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One reading of all variants, in base units; NaN where a variant does not have it.

    differences are those of the printed numbers to the variant that all are held against, see
    `difference` ("" for itself). best are the indices of those that are better than the others
    as shown, empty where none is, where neither way is better, or where a variant that is solved
    has no such reading.
    """

    key: str
    label: str
    quantity: Quantity
    group: str
    values: tuple[float, ...]
    differences: tuple[str, ...]
    best: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class LimitRow:
    """The limits on one reading; None for a variant that has none on it, or is not solved."""

    key: str
    label: str
    quantity: Quantity
    results: tuple[LimitResult | None, ...]


@dataclass(frozen=True, slots=True)
class CountRow:
    """One count of parts; best are the indices of those with the fewest."""

    label: str
    counts: tuple[int, ...]
    best: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Everything in numbers; one column for each variant, in their order."""

    counts: tuple[CountRow, ...]
    limits: tuple[LimitRow, ...]
    readings: tuple[ReadingRow, ...]


def part_count(design: Design) -> PartCount:
    """Count the parts of a design."""
    joined = sum(len(design.links_at(point.name)) > 1 for point in design.points)
    return PartCount(
        links=len(design.links),
        pins=joined,
        sliders=len(design.sliders),
        springs=len(design.springs),
        weights=len(design.weights),
    )


def table(
    designs: Sequence[Design],
    analyses: Sequence[Analysis | None],
    display: Display,
    against: int = 0,
) -> Table:
    """The table of several variants; an analysis is None where a design cannot be solved.

    `against` is the index of the one that differences are to.
    What the display rounds to the same number counts as equally good.
    """
    return Table(_counts(designs), _limits(analyses), _readings(analyses, display, against))


def difference(value: float, base: float, quantity: Quantity, display: Display) -> str:
    """How much the printed `value` (base units) is above the printed `base`, with its sign.

    It has the digits of the coarser of the two, or of the finer where it would else be lost;
    `SAME` where both are printed alike, "" where one of them is not known.
    """
    if math.isnan(value) or math.isnan(base):
        return ""
    shown, against = (units.number(each, quantity, display) for each in (value, base))
    if shown == against:
        return SAME
    try:
        one, other = (Decimal(text.replace("−", "-")) for text in (shown, against))
    except InvalidOperation:  # one of them is endless
        return ""
    steps = sorted(Decimal(1).scaleb(_exponent(each)) for each in (one, other))
    gap = one - other
    rounded = next((near for step in reversed(steps) if (near := gap.quantize(step))), gap)
    return f"{rounded:+f}".replace("-", "−")


def _exponent(number: Decimal) -> int:
    exponent = number.as_tuple().exponent
    assert isinstance(exponent, int)
    return exponent


def _counts(designs: Sequence[Design]) -> tuple[CountRow, ...]:
    counts = [part_count(design) for design in designs]
    rows = []
    for label, numbers in (
        ("Parts of the linkage, all together", [count.total for count in counts]),
        ("Links with the frame", [count.links for count in counts]),
        ("Pins", [count.pins for count in counts]),
        ("Sliders", [count.sliders for count in counts]),
        ("Springs", [count.springs for count in counts]),
        ("Weights", [count.weights for count in counts]),
        ("Pieces to make or buy, screws too", _pieces(designs)),
    ):
        if any(numbers):
            least = min(numbers)
            fewest = tuple(at for at, number in enumerate(numbers) if number == least)
            rows.append(CountRow(label, tuple(numbers), fewest if len(set(numbers)) > 1 else ()))
    return tuple(rows)


def _pieces(designs: Sequence[Design]) -> list[int]:
    """How many pieces each design's parts list has; all 0 where one cannot be made as it is."""
    if any(problems(design) for design in designs):
        return [0] * len(designs)
    return [piece_count(parts_list(design)) for design in designs]


def _limits(analyses: Sequence[Analysis | None]) -> tuple[LimitRow, ...]:
    found: dict[str, Reading] = {}
    results: list[dict[str, LimitResult]] = []
    for analysis in analyses:
        own = {} if analysis is None else {each.limit.reading: each for each in analysis.limits}
        results.append(own)
        for key, result in own.items():
            found.setdefault(key, result.reading)
    return tuple(
        LimitRow(key, reading.label, reading.quantity, tuple(own.get(key) for own in results))
        for key, reading in found.items()
    )


def _readings(
    analyses: Sequence[Analysis | None], display: Display, against: int
) -> tuple[ReadingRow, ...]:
    found: dict[str, Reading] = {}
    for analysis in analyses:
        for key, reading in ({} if analysis is None else analysis.readings).items():
            found.setdefault(key, reading)
    groups = list(dict.fromkeys(reading.group for reading in found.values()))
    rows = [_row(reading, analyses, display, against) for reading in found.values()]
    return tuple(sorted(rows, key=lambda row: groups.index(row.group)))


def _row(
    reading: Reading, analyses: Sequence[Analysis | None], display: Display, against: int
) -> ReadingRow:
    values = tuple(_value(analysis, reading.key) for analysis in analyses)
    differences = tuple(
        "" if at == against else difference(value, values[against], reading.quantity, display)
        for at, value in enumerate(values)
    )
    everywhere = all(analysis is None or reading.key in analysis.readings for analysis in analyses)
    best = _best(reading, values, display) if everywhere else ()
    return ReadingRow(
        reading.key, reading.label, reading.quantity, reading.group, values, differences, best
    )


def _value(analysis: Analysis | None, key: str) -> float:
    readings: Mapping[str, Reading] = {} if analysis is None else analysis.readings
    return readings[key].value if key in readings else math.nan


def _best(reading: Reading, values: Sequence[float], display: Display) -> tuple[int, ...]:
    stem = reading.key.partition(":")[0]
    known = [value for value in values if not math.isnan(value)]
    if len(known) < 2 or stem not in HIGHER | LOWER:
        return ()
    top = max(known) if stem in HIGHER else min(known)
    shown = [units.number(value, reading.quantity, display) for value in values]
    winner = units.number(top, reading.quantity, display)
    best = tuple(at for at, text in enumerate(shown) if text == winner)
    return best if len(best) < len(known) else ()
