"""The room that springs take: what is taken of it where it is not known, and what must fit into it.

A straight spring's coil sweeps over the plates (`clearance`); a torsion spring's goes over its pin.
"""

from __future__ import annotations

from collections.abc import Iterator

from solver.model import Design, TorsionSpring
from solver.project import Display
from solver.remark import Remark
from solver.spring_data import inside_diameter
from solver.stack import LEAST_COIL, MOST_COIL, coil_width
from solver.units import show


def coil_remarks(design: Design, display: Display) -> Iterator[Remark]:
    """Torsion springs whose coils do not go over the pin that they are wound around."""
    for spring in design.springs:
        if not isinstance(spring, TorsionSpring):
            continue
        inside, pin = inside_diameter(spring), design.pivot_at(spring.pivot).pin_diameter
        if inside is not None and inside <= pin:
            yield Remark(
                "spring",
                True,
                (spring.name, spring.pivot),
                f"The coils of “{spring.name}” are {show(inside, 'length', display)} wide inside "
                f"and do not go over the pin “{spring.pivot}” of {show(pin, 'length', display)}: "
                "take a wider spring or a thinner pin.",
                inside - pin,
            )


def spring_notes(design: Design, display: Display) -> Iterator[str]:
    """What was taken for the room that each spring needs."""
    for spring in design.springs:
        if isinstance(spring, TorsionSpring):
            yield f"The room that the coil of “{spring.name}” takes is not looked at."
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
