"""A torsion spring in words: how it is coiled and held, how long its legs are, what does not fit.

What it looks like is derived in `torsion_shape`; nothing here moves a reading.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solver.layers import pinned_links
from solver.model import Design, TorsionSpring
from solver.outlines import layer_of
from solver.project import Display
from solver.spring_data import coil_size, coils_text
from solver.torsion_shape import (
    Twists,
    coil_of,
    fitting_coils,
    hand,
    inside_wound,
    known,
    legs,
    straight_angle,
    unwound,
    wound_up,
)
from solver.units import show, show_each

COILS_OFF = 0.1
"""Coils by which a spring may be off what its free angle asks for: 36° of a leg; our own."""

_HAIR = 0.05
"""Degrees, and mm, that count as nothing."""


def held_rows(design: Design, spring: TorsionSpring) -> Iterator[tuple[str, str]]:
    """What a torsion spring lies on and against, and what holds for every one: what, and where."""
    yield "Lies on pin", _on_pin(design, spring.pivot)
    for leg in legs(design, spring):
        yield f"Leg {leg.end.upper()} lies against pin", _on_pin(design, leg.point)


def order_words(design: Design, spring: TorsionSpring) -> tuple[str, str]:
    """What whoever winds it has to know of its legs: the hand, and the angle between them."""
    between = straight_text(design, spring)
    return f"{hand(design, spring)} coiled", f"free angle between the straight legs {between}"


def free_angle_off(design: Design, spring: TorsionSpring) -> str:
    """What its free angle may be off by, as the design's tolerances say: " ±5°", or ""."""
    own = {each.number: each.plus_minus for each in design.tolerances.own}
    off = own.get(f"springs.{spring.name}.free_angle", design.tolerances.free_angle)
    return f" ±{off:g}°" if off else ""


def straight_text(design: Design, spring: TorsionSpring) -> str:
    """The free angle between the legs themselves with its tolerance: "87.0° ±5°"."""
    size = show(straight_angle(design, spring), "angle", Display())
    return f"{size}{free_angle_off(design, spring)}"


def torsion_rows(
    design: Design, spring: TorsionSpring, twists: Twists, displays: Sequence[Display]
) -> Iterator[tuple[str, str]]:
    """How a torsion spring is coiled: what, and its value in each of the displays.

    `twists` are those over the throw (N,), degrees.
    """
    yield "Coiled", f"{hand(design, spring)}, leg A lowest"
    yield "Legs", "straight, tangential"
    yield "Free angle, straight legs", straight_text(design, spring)
    least = (
        f"{leg.end.upper()} {show_each(leg.least, 'length', displays)}"
        for leg in legs(design, spring)
    )
    yield "Legs from the axis at least", ", ".join(least)
    if spring.leg_length is not None:
        yield "Legs from the axis, as bought", show_each(spring.leg_length, "length", displays)
    wound = wound_up(design, spring, twists)
    yield "Wound up at most", show(wound, "angle", displays[0])
    if known(spring):
        coil = coil_of(design, spring)
        inside = inside_wound(coil.wire, coil.mean, coil.coils, wound)
        yield "Inside diameter, wound up", f"⌀{coil_size(inside, displays)}"
        yield "Room along the pin, wound up", show_each(coil.room, "length", displays)
        yield "Coils for its free angle", coils_text(fitting_coils(design, spring))


def _on_pin(design: Design, point: str) -> str:
    """Such as "latch arm, above rod"."""
    links = pinned_links(design, point)
    above = max(links, key=lambda link: layer_of(design, link), default="")
    return f"{point}, above {above}"


def torsion_remarks(
    design: Design, spring: TorsionSpring, twists: Twists, display: Display
) -> Iterator[str]:
    """Sentences on coils, legs and winding that do not fit the pins they lie against."""
    for wrong in (
        *_coils(design, spring, display),
        *_legs(design, spring, display),
        *_winding(design, spring, twists, display),
    ):
        yield f"Spring “{spring.name}”: {wrong}."


def _coils(design: Design, spring: TorsionSpring, display: Display) -> Iterator[str]:
    if not known(spring) or spring.coils is None:
        return
    fitting = fitting_coils(design, spring)
    if abs(fitting - spring.coils) > COILS_OFF:
        yield (
            f"with {coils_text(spring.coils)} coils its legs do not stand at the free angle of "
            f"{show(spring.free_angle, 'angle', display)}, from the axis to “{spring.leg_a}” and "
            f"“{spring.leg_b}”: that takes {coils_text(fitting)} coils, or any whole number of "
            "coils more"
        )


def _legs(design: Design, spring: TorsionSpring, display: Display) -> Iterator[str]:
    if spring.leg_length is None:
        return
    for leg in legs(design, spring):
        if spring.leg_length < leg.least - _HAIR:
            yield (
                f"its legs of {show(spring.leg_length, 'length', display)} do not reach over the "
                f"pin “{leg.point}”: that takes {show(leg.least, 'length', display)} from the "
                "axis; take longer legs, or put the pin nearer"
            )


def _winding(
    design: Design, spring: TorsionSpring, twists: Twists, display: Display
) -> Iterator[str]:
    against = unwound(design, spring, twists)
    if against > _HAIR:
        yield (
            f"it is turned against its winding by up to {show(against, 'angle', display)}, which "
            "opens its coils: let it push on one side of its free angle only, or take two springs"
        )
