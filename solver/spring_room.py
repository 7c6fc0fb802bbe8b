"""The room that springs take: what is taken of it where it is not known, and what must fit into it.

A straight spring's coil sweeps over the plates, a torsion spring's goes over its pin (`gaps`).
"""

from __future__ import annotations

from collections.abc import Iterator

from solver.layers import LEAST_COIL, MOST_COIL, coil_width
from solver.model import Design, TorsionSpring
from solver.project import Display
from solver.remark import Remark
from solver.spring_data import inside_diameter
from solver.sweep_shapes import Pieces
from solver.torsion_shape import coil_of, inside_wound, known, legs, wound_up
from solver.units import show


def coil_remarks(put: Pieces, display: Display) -> Iterator[Remark]:
    """Torsion springs that do not go over their pin, or whose legs do not reach past the coils."""
    for spring in put.design.springs:
        if isinstance(spring, TorsionSpring):
            yield from _over_pin(put, spring, display)
            yield from _near_legs(put.design, spring, display)


def _over_pin(put: Pieces, spring: TorsionSpring, display: Display) -> Iterator[Remark]:
    """Whether the coils clear the pin, as they are and wound up as far as the throw does."""
    inside, pin = inside_diameter(spring), put.design.pivot_at(spring.pivot).pin_diameter
    if inside is None:
        return
    wide, over = show(inside, "length", display), show(pin, "length", display)
    cure = "take a wider spring or a thinner pin"
    if inside <= pin:
        yield Remark(
            "spring",
            True,
            (spring.name, spring.pivot),
            f"The coils of “{spring.name}” are {wide} wide inside and do not go over the pin "
            f"“{spring.pivot}” of {over}: {cure}.",
            inside - pin,
        )
    elif known(spring):
        coil, wound = (
            coil_of(put.design, spring),
            wound_up(put.design, spring, put.twists[spring.name]),
        )
        tight = inside_wound(coil.wire, coil.mean, coil.coils, wound)
        if tight <= pin:
            yield Remark(
                "spring",
                True,
                (spring.name, spring.pivot),
                f"The coils of “{spring.name}” close to {show(tight, 'length', display)} inside, "
                f"wound up by {show(wound, 'angle', display)}, and jam on the pin "
                f"“{spring.pivot}” of {over}: {cure}.",
                tight - pin,
            )


def _near_legs(design: Design, spring: TorsionSpring, display: Display) -> Iterator[Remark]:
    coil = coil_of(design, spring)
    for leg in legs(design, spring):
        least = (coil.outside + leg.pin) / 2.0
        if leg.reach < least:
            yield Remark(
                "spring",
                True,
                (spring.name, leg.point),
                f"“{leg.point}” is {show(leg.reach, 'length', display)} from the axis of "
                f"“{spring.name}”, and its pin of {show(leg.pin, 'length', display)} would stand "
                f"in the coils: put it {show(least, 'length', display)} away or more.",
                leg.reach - least,
            )


def spring_notes(design: Design, display: Display) -> Iterator[str]:
    """What was taken for the room that each spring needs."""
    for spring in design.springs:
        if isinstance(spring, TorsionSpring):
            yield _torsion_note(design, spring, display)
            continue
        width = show(coil_width(spring), "length", display)
        if spring.outside_diameter is not None:
            yield (
                f"“{spring.name}” is {width} wide, as given, and taken to lie above the plates on "
                "its ends."
            )
        else:
            least, most = (show(bound, "length", display) for bound in (LEAST_COIL, MOST_COIL))
            yield (
                f"“{spring.name}” is taken to be {width} wide (a fifth of its free length, {least} "
                f"to {most}), for its outside diameter is not given, and to lie above the plates "
                "on its ends."
            )


def _torsion_note(design: Design, spring: TorsionSpring, display: Display) -> str:
    coil = coil_of(design, spring)
    wide, long = (show(size, "length", display) for size in (coil.outside, coil.room))
    guessed = "" if known(spring) else ", as far as its sizes are not given by a usual guess"
    return (
        f"“{spring.name}” is taken to be {wide} wide and {long} long when wound up{guessed}, and "
        f"to lie above the plates on “{spring.pivot}”."
    )
