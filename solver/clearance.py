"""Does anything touch anything over the throw, and can a finger get caught?

What meets what is found by `gaps`: along the pins by the heights of `stack`, across them by
the shapes of `sweep_shapes`. A straight spring is a rectangle as wide as its coil, a torsion
spring a disc with two legs. Links without a plate are not looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely

from solver.gaps import Gap, Look
from solver.layers import WASHER, plate_span
from solver.model import FRAME, Design
from solver.outlines import layer_of
from solver.pinch import KNOB, pinch_remarks
from solver.project import Display
from solver.remark import Remark
from solver.safe_gaps import FINGER
from solver.spring_room import coil_remarks, spring_notes
from solver.stack import stack
from solver.sweep_shapes import pieces
from solver.units import show
from solver.wording import capital

NARROW = 1.0
"""mm; a gap between parts that is less gets a caution. Our own choice."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """What was found: gaps from the least up, remarks (serious first), swept outlines, notes.

    swept: what each link's plate covers over the throw, mm; notes: what was assumed or left out.
    """

    gaps: tuple[Gap, ...]
    remarks: tuple[Remark, ...]
    swept: Mapping[str, shapely.Geometry]
    notes: tuple[str, ...]

    @property
    def least(self) -> Gap | None:
        """The narrowest gap; None where no two parts could meet."""
        return self.gaps[0] if self.gaps else None

    @property
    def free(self) -> bool:
        """Whether nothing touches anything."""
        return not any(remark.serious for remark in self.remarks)


def clearance(design: Design, positions: int = 91, display: Display | None = None) -> Clearance:
    """Look at a design in `positions` places of its throw.

    Raises DesignProblem as `analyse` does where the linkage cannot be solved.
    """
    shown = display or Display()
    put = pieces(design, positions)
    look = Look.at(put, stack(design))
    gaps = sorted(look.gaps(), key=lambda gap: gap.least)
    remarks = [
        *_shared_layers(look),
        *(remark for gap in gaps if (remark := gap_remark(gap, shown)) is not None),
        *_posts(look, shown),
        *_behind(look, shown),
        *coil_remarks(put, shown),
        *_slots(look, shown),
        *pinch_remarks(put, look.stops, shown),
    ]
    remarks.sort(key=lambda remark: not remark.serious)
    swept = {link: shapely.union_all(shapes) for link, shapes in put.plates.items()}
    return Clearance(tuple(gaps), tuple(remarks), swept, tuple(_notes(design, shown)))


def row_remarks(
    design: Design, levers: int, pitch: float, display: Display | None = None
) -> tuple[Remark, ...]:
    """Whether several of the same linkage fit beside each other at a pitch (mm) along the shaft.

    A neighbour begins where the other ends, washer between; a finger between two knobs needs the
    gap of ISO 13854.
    """
    if levers < 2:
        return ()
    shown = display or Display()
    say = partial(show, quantity="length", display=shown)
    deep = stack(design).total + WASHER
    found = []
    if pitch < deep:
        found.append(
            Remark(
                "row",
                True,
                (),
                f"Levers at a pitch of {say(pitch)} do not fit beside each other: one is "
                f"{say(deep)} deep with its pins and springs. Make the pitch {say(deep)} or more.",
                pitch - deep,
            )
        )
    room = pitch - KNOB
    if room < FINGER:
        found.append(
            Remark(
                "row",
                False,
                (design.grip,),
                f"Between two knobs of {say(KNOB)} there are {say(max(room, 0.0))}; a finger "
                f"needs {say(FINGER)} (ISO 13854): a pitch of {say(KNOB + FINGER)} gives it.",
                room,
            )
        )
    return tuple(found)


def _shared_layers(look: Look) -> Iterator[Remark]:
    for a, b in look.pairs():
        if look.joined(a, b):
            yield Remark(
                "collision",
                True,
                (a, b),
                f"“{a}” and “{b}” are pinned together and lie in one layer "
                f"({layer_of(look.design, a)}): put one of them into another.",
            )


def _posts(look: Look, display: Display) -> Iterator[Remark]:
    """What sweeps through the post of a spring's end, which stands up to the spring."""
    for pin in look.stack.pins:
        if pin.kind != "spring":
            continue
        for gap in (*look.beside_pin(pin), *look.beside_post(pin)):
            if gap.least <= 0.0:
                springs = " and ".join(
                    f"“{piece.part}”" for piece in pin.pieces if piece.part in look.stack.springs
                )
                other = gap.called[1]
                met = "meets" if gap.kind == "pins" else "sweeps over"
                yield Remark(
                    "pin",
                    False,
                    (pin.name, gap.b),
                    f"{capital(other)} {met} “{pin.name}”, "
                    f"{_travel(gap.where, display)}: a post for {springs} cannot stand there. "
                    "Hang that end from a bracket that reaches over, or move it.",
                    where=gap.where,
                )


def _behind(look: Look, display: Display) -> Iterator[Remark]:
    """Pins that stand out behind a frame with nothing else there."""
    back = plate_span(look.design, FRAME, look.stack.layers)[0]
    if min(look.stack.layers) < 0:
        return
    for pin in look.stack.pins:
        if pin.low < back:
            yield Remark(
                "pin",
                False,
                (pin.name, FRAME),
                f"The pin “{pin.name}” stands out {show(back - pin.low, 'length', display)} behind "
                "the frame with its ring: leave room there, or cut a window into what the frame "
                "is fixed to.",
            )


def _slots(look: Look, display: Display) -> Iterator[Remark]:
    """Sliders whose pin leaves the slot that its two ends mark."""
    for slider in look.design.sliders:
        pin, a, b = (look.put.points[p] for p in (slider.point, *slider.along))
        reach = np.abs(b - a)
        along = ((pin - a) * (b - a).conj()).real / reach
        out = np.maximum(-along, along - reach)
        at = int(np.argmax(out))
        if out[at] > 1e-6:
            where = float(look.put.travel[at])
            yield Remark(
                "slot",
                True,
                (slider.name, slider.point),
                f"The pin “{slider.point}” runs {show(float(out[at]), 'length', display)} past "
                f"the end of its slot, {_travel(where, display)}: move the end that it passes.",
                -float(out[at]),
                where,
            )


def gap_remark(gap: Gap, display: Display) -> Remark | None:
    """What to say of a gap; None where there is room enough."""
    if gap.least >= NARROW:
        return None
    touch = gap.least <= 0.0
    apart = f"are only {show(gap.least, 'length', display)} apart"
    one, other = capital(gap.called[0]), gap.called[1]
    cure = _CURES["frame" if gap.kind == "end" and gap.b == FRAME else gap.kind]
    sentence = (
        f"{one} and {other} {'touch' if touch else apart}, {_travel(gap.where, display)}: {cure}."
    )
    return Remark(_KINDS[gap.kind], touch, (gap.a, gap.b), sentence, gap.least, gap.where)


def _travel(travel: float, display: Display) -> str:
    return f"{show(travel, 'angle', display)} from rest A"


_KINDS: Mapping[str, str] = {
    "links": "collision",
    "pin": "pin",
    "end": "pin",
    "spring": "spring",
    "over": "spring",
    "stop": "stop",
    "pins": "pin",
    "head": "screw",
    "nut": "screw",
}

_CURES: Mapping[str, str] = {
    "links": "put one into another layer, or make it narrower",
    "pin": "move the link out of the layers that the pin goes through",
    "end": "put the link into another layer, or leave a layer free for the end with its ring",
    "frame": "cut a window into the frame there, or leave a layer free above it",
    "spring": "move an end of the spring, or put the link below it",
    "over": "move an end of the spring, or raise it by putting a link at its ends a layer higher",
    "stop": "stop the lever at another place, or put the link above it",
    "pins": "pull their points apart, or put a link on one of them into another layer",
    "head": "sink the head, or move the screw",
    "nut": "leave a layer free there, or move the screw",
}


def _notes(design: Design, display: Display) -> Iterator[str]:
    bare = [link.name for link in design.links if design.plate_of(link.name) is None]
    if bare:
        names = ", ".join(f"“{name}”" for name in bare)
        yield f"Not looked at, for they have no plate: {names}."
    yield from spring_notes(design, display)
    if design.weights:
        yield "The room that weights take is not looked at: their size is free."
    yield (
        "The stops are taken to be pins in the frame that the lever leans against with its edge."
    )
