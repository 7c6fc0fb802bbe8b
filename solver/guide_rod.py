"""How a spring's ends sit on their pins, and the telescopic rod in a compression spring, in words.

Nothing here moves a reading.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solver.holes import pin_at
from solver.model import CompressionSpring, Design, Spring, TorsionSpring
from solver.project import Display
from solver.spring_data import coil_size, inside_diameter
from solver.torsion_shape import spring_ends
from solver.units import show

ROD_PLAY = 0.05
"""Share of the coils' inside diameter that is left free beside a guide rod, both sides together,
and at least half a millimetre: our own judgement, no source."""

_LEAST_PLAY = 0.5
_HAIR = 0.05
"""mm, or N, that count as nothing."""


def greatest_diameter(spring: CompressionSpring) -> float | None:
    """The greatest diameter (mm) of rod and tube, a multiple of 0.5; None where none is known."""
    inside = inside_diameter(spring)
    if inside is None:
        return None
    most = math.floor((inside - max(ROD_PLAY * inside, _LEAST_PLAY)) * 2.0 + 1e-9) / 2.0
    return most if most > 0.0 else None


def rod_rows(spring: CompressionSpring, displays: Sequence[Display]) -> Iterator[tuple[str, str]]:
    """What a guide rod has to be: what, and its value in each of the displays; none without."""
    if spring.rod is None:
        return
    most, inside = greatest_diameter(spring), inside_diameter(spring)
    if most is not None and inside is not None:
        play = coil_size(inside - most, displays)
        yield "Telescopic guide rod at most", f"⌀{coil_size(most, displays)}, {play} play"
    yield "Guide rod closed, pin to pin", coil_size(spring.rod.closed, displays)
    yield "Guide rod out at, pin to pin", coil_size(spring.rod.reach, displays)
    if spring.outside_diameter is not None:
        yield "Spring seats at least", f"⌀{coil_size(spring.outside_diameter, displays)}"
    yield "Spring seats", _seats(spring, displays)
    if spring.end_pin_diameter:
        yield "Eyes of the rod, for pins", f"⌀{coil_size(spring.end_pin_diameter, displays)}"


def rod_words(spring: CompressionSpring, displays: Sequence[Display]) -> str:
    """The same as a remark in the parts list; "" without a rod."""
    if spring.rod is None:
        return ""
    told = [f"telescopic, in {spring.name}"]
    most, inside = greatest_diameter(spring), inside_diameter(spring)
    if most is not None and inside is not None:
        play = coil_size(inside - most, displays)
        told.append(f"rod and tube ⌀{coil_size(most, displays)} at most ({play} play)")
    closed, reach = (coil_size(size, displays) for size in (spring.rod.closed, spring.rod.reach))
    told.append(f"pin to pin {closed} closed, out of its guide at {reach}")
    wide = spring.outside_diameter
    sized = "" if wide is None else f" ⌀{coil_size(wide, displays)} or more"
    told.append(f"spring seats{sized} {_seats(spring, displays)}")
    if spring.end_pin_diameter:
        told.append(f"eyes for pins ⌀{coil_size(spring.end_pin_diameter, displays)}")
    return ", ".join(told)


def _seats(spring: CompressionSpring, displays: Sequence[Display]) -> str:
    """Where the spring's end coils rest, from the pins."""
    if not spring.fittings:
        return "at the pins' centres"
    return f"{coil_size(spring.fittings, displays)} off the pins in all"


def rod_remarks(design: Design, spring: Spring, display: Display) -> Iterator[str]:
    """Sentences on a rod that comes out under force, or whose pins run through the seats."""
    if not isinstance(spring, CompressionSpring) or spring.rod is None:
        return
    free = spring.free_length + spring.fittings
    left = spring.rate * (free - spring.rod.reach)
    if free - spring.rod.reach > _HAIR and left > _HAIR:
        yield (
            f"Spring “{spring.name}” still pushes with {show(left, 'force', display)} where its "
            f"guide rod comes out, {show(spring.rod.reach, 'length', display)} pin to pin: it "
            "flies apart when a pin is drawn. Let the rod reach "
            f"{show(free, 'length', display)} or more."
        )
    # A seat clears its pin where it lies half the pin's diameter off the centre, or farther.
    taken = sum(pin_at(design, end) or 0.0 for end in spring_ends(spring)) / 2.0
    if taken - spring.fittings > _HAIR:
        yield (
            f"The seats of spring “{spring.name}” on its guide rod lie where the pins at its ends "
            f"run through, {show(spring.fittings, 'length', display)} off their centres in all: "
            f"make its end fittings {show(taken, 'length', display)} or more."
        )


def end_remarks(design: Design, spring: Spring, display: Display) -> Iterator[str]:
    """A sentence on each pin that a straight spring's end does not fit; none without end pins."""
    if isinstance(spring, TorsionSpring) or not spring.end_pin_diameter:
        return
    own = spring.end_pin_diameter
    for end in spring_ends(spring):
        pin = pin_at(design, end)
        if pin and abs(pin - own) > _HAIR:
            yield (
                f"The ends of spring “{spring.name}” are for pins of {show(own, 'length', display)}"
                f", and the pin “{end}” that one hangs on has {show(pin, 'length', display)}: give "
                "both the same diameter."
            )
