"""Pinch gaps and room for the hand.

Least gaps that keep a part of the body from being crushed are those of ISO 13854 (EN 349):
finger 25 mm, hand 100 mm. Only gaps that close are told of: where nothing moves, nothing pinches.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray

from solver.layers import jointed, pinned_links
from solver.model import FRAME
from solver.project import Display
from solver.remark import Remark
from solver.safe_gaps import FINGER, HAND
from solver.sweep_shapes import Pieces, Shapes, discs, rectangles
from solver.units import show

TIP = 8.0
"""mm; a gap that never opens this far lets no finger in (the lower bound that EN 527-2 gives)."""

CLOSES = 1.0
"""mm by which a gap must close to count."""

HAIR = 1e-6
"""mm that a gap may be under the limit by rounding."""

KNOB = 30.0
"""mm; diameter that a knob is taken to have, common practice, no source."""

HAND_LONG, HAND_DEEP = 100.0, 60.0
"""mm along and across the lever that a hand about the grip takes; common practice, no source."""


def pinch_remarks(put: Pieces, stops: Mapping[str, Shapes], display: Display) -> Iterator[Remark]:
    """Cautions for gaps that close on fingers, and for what stands in the hand's way."""
    travel = partial(show, quantity="angle", display=display)
    say = partial(show, quantity="length", display=display)
    lever = put.design.lever
    if stops:
        yield Remark(
            "pinch",
            False,
            (lever, *stops),
            f"“{lever}” closes on its stops: keep fingers out of the throw.",
            0.0,
        )
    called = partial(_called, stops)
    for a, b, apart in _closing(put, stops):
        at, widest = int(np.argmin(apart)), float(np.max(apart))
        least = float(apart[at])
        if least < FINGER - HAIR and widest >= TIP and widest - least > CLOSES:
            where = float(put.travel[at])
            yield Remark(
                "pinch",
                False,
                (a, b),
                f"The gap between {called(a)} and {called(b)} closes from {say(widest)} to "
                f"{say(least)}, {travel(where)} from rest A; a finger needs {say(FINGER)} "
                "(ISO 13854): guard it or keep fingers out.",
                least,
                where,
            )
    yield from _hand(put, stops, display)


def _called(stops: Mapping[str, Shapes], name: str) -> str:
    return name if name in stops else f"“{name}”"


def _closing(
    put: Pieces, stops: Mapping[str, Shapes]
) -> Iterator[tuple[str, str, NDArray[np.float64]]]:
    """Pairs of parts that are not pinned together, with their gaps over the throw."""
    links = [link for link in put.plates if link != FRAME]
    pins = [set(pinned_links(put.design, point)) for point in jointed(put.design)]
    for a, b in combinations(links, 2):
        if not any({a, b} <= pin for pin in pins):
            yield a, b, shapely.distance(put.plates[a], put.plates[b])
    for name, stop in stops.items():
        for link in links:
            if link != put.design.lever:
                yield link, name, shapely.distance(put.plates[link], stop)


def _hand(put: Pieces, stops: Mapping[str, Shapes], display: Display) -> Iterator[Remark]:
    """Parts that come near the knob, or into the space of the hand that holds it."""
    say = partial(show, quantity="length", display=display)
    design = put.design
    grip, pivot = put.points[design.grip], put.points[design.lever_pivot()]
    along = (grip - pivot) / np.abs(grip - pivot)
    called = partial(_called, stops)
    hand = rectangles(grip, along, HAND_LONG, HAND_DEEP)
    knob = discs(grip, KNOB / 2.0)
    plates = {k: v for k, v in put.plates.items() if k not in (FRAME, design.lever)}
    for name, shapes in (*plates.items(), *put.springs.items(), *stops.items()):
        apart = shapely.distance(knob, shapes)
        at = int(np.argmin(apart))
        where = show(float(put.travel[at]), "angle", display)
        least, widest = float(apart[at]), float(np.max(apart))
        inside = shapely.intersects(hand, shapes)
        if inside.any():
            yield Remark(
                "hand",
                False,
                (design.grip, name),
                f"{called(name)} comes within the {say(HAND_LONG)} by {say(HAND_DEEP)} that a hand "
                f"at “{design.grip}” takes, {where} from rest A: make the lever longer or keep it "
                "clear.",
                least,
                float(put.travel[at]),
            )
        elif (
            name not in stops  # the lever closes on them: told already
            and least < HAND - HAIR
            and widest >= FINGER
            and widest - least > CLOSES
        ):
            yield Remark(
                "pinch",
                False,
                (design.grip, name),
                f"The gap between the knob at “{design.grip}” and {called(name)} closes to "
                f"{say(least)}, {where} from rest A; a hand needs {say(HAND)} (ISO 13854).",
                least,
                float(put.travel[at]),
            )
