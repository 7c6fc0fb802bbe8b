"""What the spring gauge shows of each spring: scale, worked range, margins and their sentences."""

import math
from dataclasses import dataclass
from typing import Literal

from app.whereabouts import place_phrase
from solver import units
from solver.analysis import Analysis
from solver.model import CompressionSpring, ExtensionSpring, Spring, TorsionSpring
from solver.project import Display
from solver.spring_work import SpringWork
from solver.units import Quantity

End = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Margin:
    """What is left at one end of the bar; `text` names it, or says what goes wrong."""

    end: End
    holds: bool
    text: str


@dataclass(frozen=True, slots=True)
class Bar:
    """One spring on its scale, in base units (mm, or degrees of twist from the free angle).

    `left` and `right` are the ends of what the spring may do, None where nothing was given;
    `low` to `high` is what it does. `sign` turns a torsion spring's twist so that winding is
    to the right.
    """

    name: str
    kind: str
    quantity: Quantity
    force_quantity: Quantity
    sign: float
    left: float | None
    right: float | None
    left_text: str
    right_text: str
    low: float
    high: float
    at_rest_a: float
    at_rest_b: float
    at_dead_centre: float | None
    margins: tuple[Margin, ...]

    def extent(self) -> tuple[float, float]:
        """The scale: all that is allowed and all that happens, with air at an open end."""
        low = min(self.low, self.low if self.left is None else self.left)
        high = max(self.high, self.high if self.right is None else self.right)
        if self.right is None:
            high += 0.15 * max(high - low, 1e-6)
        return (low, high) if high - low > 1e-9 else (low - 0.5, high + 0.5)


def bars(analysis: Analysis, display: Display) -> tuple[Bar, ...]:
    """A bar for each spring of the design, in its order."""
    return tuple(
        _bar(spring, work, analysis, display)
        for spring, work in zip(analysis.design.springs, analysis.springs, strict=True)
    )


def described(bar: Bar, display: Display) -> str:
    """The bar in a sentence or two, for those who do not see it."""
    low, high = (units.show(value, bar.quantity, display) for value in (bar.low, bar.high))
    margins = "; ".join(margin.text for margin in bar.margins)
    return f"{bar.name}, {bar.kind}: works from {low} to {high}. {margins}."


def _bar(spring: Spring, work: SpringWork, analysis: Analysis, display: Display) -> Bar:
    quantity: Quantity = "angle" if isinstance(spring, TorsionSpring) else "length"
    sign = -1.0 if isinstance(spring, TorsionSpring) and _unwinds(work) else 1.0
    low, high = sorted((sign * work.shortest, sign * work.longest))
    compression = isinstance(spring, CompressionSpring)
    ends = (work.solid, work.free) if compression else (work.free, work.most)
    texts = (_closed_texts if compression else _open_texts)(work, quantity, display)
    centre = work.at_dead_centre
    return Bar(
        name=work.name,
        kind=f"{work.kind} spring",
        quantity=quantity,
        force_quantity="torque" if isinstance(spring, TorsionSpring) else "force",
        sign=sign,
        left=ends[0],
        right=ends[1],
        left_text=texts[0],
        right_text=texts[1],
        low=low,
        high=high,
        at_rest_a=sign * work.at_rest_a,
        at_rest_b=sign * work.at_rest_b,
        at_dead_centre=None if centre is None else sign * centre,
        margins=_margins(spring, work, analysis, display),
    )


def _unwinds(work: SpringWork) -> bool:
    """Whether the twist is mostly negative."""
    return abs(work.shortest) > abs(work.longest)


def _closed_texts(work: SpringWork, quantity: Quantity, display: Display) -> tuple[str, str]:
    """The end texts of compression springs."""
    assert work.solid is not None
    free = f"free {units.show(work.free, quantity, display)}"
    return f"bottoms at {units.show(work.solid, quantity, display)}", free


def _open_texts(work: SpringWork, quantity: Quantity, display: Display) -> tuple[str, str]:
    """The end texts of springs that work upwards from free."""
    free = "free" if quantity == "angle" else f"free {units.show(work.free, quantity, display)}"
    if work.most is None:
        return free, "greatest twist not given" if quantity == "angle" else "longest not given"
    return free, f"at most {units.show(work.most, quantity, display)}"


def _margins(
    spring: Spring, work: SpringWork, analysis: Analysis, display: Display
) -> tuple[Margin, ...]:
    """Left end first. A margin that does not apply is left out."""
    compression = isinstance(spring, CompressionSpring)
    found: list[Margin] = []
    for value, at, slack in (
        (work.slack_margin, work.slack_at, True),
        (work.bottoming_margin, work.bottoming_at, False),
    ):
        if math.isnan(value):
            continue
        say = _slack_text if slack else _end_text
        text = say(spring, value, at, analysis, display)
        found.append(Margin("left" if slack != compression else "right", value >= 0, text))
    return tuple(sorted(found, key=lambda margin: margin.end))


def _slack_text(
    spring: Spring, value: float, at: float, analysis: Analysis, display: Display
) -> str:
    quantity: Quantity = "angle" if isinstance(spring, TorsionSpring) else "length"
    if value >= 0:
        return f"slack margin {units.show(value, quantity, display)}"
    amount = units.show(-value, quantity, display)
    if isinstance(spring, TorsionSpring) and spring.acts == "both":
        return f"passes its free angle by {amount} {place_phrase(at, analysis)}"
    if isinstance(spring, CompressionSpring) and spring.captive:
        return f"{amount} past its free length {place_phrase(at, analysis)}, where it pulls"
    return f"lets go: {amount} past its free {_free(quantity)} {place_phrase(at, analysis)}"


def _end_text(spring: Spring, value: float, at: float, analysis: Analysis, display: Display) -> str:
    """The margin at the end that is a hard limit: bottomed, overstretched, overwound."""
    quantity: Quantity = "angle" if isinstance(spring, TorsionSpring) else "length"
    amount = units.show(abs(value), quantity, display)
    if isinstance(spring, CompressionSpring):
        beyond = f"would bottom: {amount} too far {place_phrase(at, analysis)}"
        return f"bottoming margin {amount}" if value >= 0 else beyond
    word = "overstretch" if isinstance(spring, ExtensionSpring) else "overwinding"
    done = "stretched" if isinstance(spring, ExtensionSpring) else "wound"
    if value >= 0:
        return f"{word} margin {amount}"
    return f"would be {done} {amount} too far {place_phrase(at, analysis)}"


def _free(quantity: Quantity) -> str:
    return "angle" if quantity == "angle" else "length"
