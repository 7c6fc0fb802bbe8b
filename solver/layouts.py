"""Starting layouts: small linkages that work, to be dragged into shape.

All numbers are our own choice for a hand lever on light machinery; they are a start, not advice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    Limit,
    Link,
    Pivot,
    Plate,
    Point,
    Slider,
    Stops,
)


@dataclass(frozen=True, slots=True)
class Layout:
    """A named starting point; `build` makes its design."""

    key: str
    title: str
    sentence: str
    build: Callable[[], Design]


def _plates(lever: float, *others: str, width: float = 20.0) -> tuple[Plate, ...]:
    """A steel frame, the lever in the first layer, and the other links by turns above it."""
    return (
        Plate(FRAME, width=30.0, thickness=6.0, layer=0),
        Plate("lever", lever, 5.0, "aluminium", 1),
        *(Plate(link, width, 5.0, "aluminium", 2 - place % 2) for place, link in enumerate(others)),
    )


def _bare_lever() -> Design:
    return Design(
        points=(Point("pivot", 0.0, 0.0), Point("grip", 0.0, 120.0)),
        links=(Link(FRAME, ("pivot",)), Link("lever", ("pivot", "grip"))),
        lever="lever",
        grip="grip",
        stops=Stops(rest_a=120.0, rest_b=60.0),
        plates=_plates(28.0),
    )


def _direct_compression() -> Design:
    return Design(
        points=(
            Point("pivot", 0.0, 0.0),
            Point("grip", 0.0, 140.0),
            Point("lever foot", 0.0, -32.0),
            Point("spring anchor", 0.0, -92.0),
        ),
        links=(
            Link(FRAME, ("pivot", "spring anchor")),
            Link("lever", ("grip", "pivot", "lever foot")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(rest_a=114.0, rest_b=66.0),
        pivots=(Pivot("pivot", pin_diameter=6.0),),
        springs=(
            CompressionSpring(
                name="main spring",
                a="spring anchor",
                b="lever foot",
                rate=2.4,
                free_length=82.0,
                solid_length=44.0,
                least_gaps=4.0,
            ),
        ),
        limits=(
            Limit("holding_force", at_least=4.0),
            Limit("bottoming_margin", at_least=2.0),
            Limit("slack_margin", at_least=2.0),
            Limit("hang_zone_mm", at_most=8.0),
        ),
        plates=_plates(20.0),
    )


def _direct_extension() -> Design:
    return Design(
        points=(
            Point("pivot", 0.0, 0.0),
            Point("grip", 0.0, 150.0),
            Point("lever foot", 0.0, -45.0),
            Point("spring anchor", 0.0, 65.0),
        ),
        links=(
            Link(FRAME, ("pivot", "spring anchor")),
            Link("lever", ("grip", "pivot", "lever foot")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(rest_a=118.0, rest_b=62.0),
        pivots=(Pivot("pivot", pin_diameter=6.0),),
        springs=(
            ExtensionSpring(
                name="main spring",
                a="spring anchor",
                b="lever foot",
                rate=1.4,
                free_length=78.0,
                initial_tension=6.0,
                longest=124.0,
            ),
        ),
        limits=(
            Limit("holding_force", at_least=3.0),
            Limit("bottoming_margin", at_least=2.0),
            Limit("hang_zone_mm", at_most=10.0),
        ),
        plates=_plates(20.0),
    )


def _lever_rod_rocker() -> Design:
    return Design(
        points=(
            Point("lever pivot", 0.0, 0.0),
            Point("grip", 0.0, 150.0),
            Point("rod end", 0.0, 45.0),
            Point("rocker pivot", 150.0, -20.0),
            Point("rocker end", 150.0, 40.0),
            Point("flap edge", 150.0, -95.0),
            Point("lever foot", 0.0, -30.0),
            Point("spring anchor", 0.0, -92.0),
        ),
        links=(
            Link(FRAME, ("lever pivot", "rocker pivot", "spring anchor")),
            Link("lever", ("grip", "rod end", "lever pivot", "lever foot")),
            Link("rod", ("rod end", "rocker end")),
            Link("rocker", ("rocker end", "rocker pivot", "flap edge")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(rest_a=115.0, rest_b=65.0),
        springs=(
            CompressionSpring(
                name="main spring",
                a="spring anchor",
                b="lever foot",
                rate=3.6,
                free_length=82.0,
                solid_length=44.0,
                least_gaps=4.0,
            ),
        ),
        outputs=("flap edge", "rocker"),
        limits=(
            Limit("holding_force", at_least=4.0),
            Limit("output_turn:rocker", at_least=30.0),
            Limit("hang_zone_mm", at_most=9.0),
            Limit("bottoming_margin", at_least=2.0),
        ),
        plates=_plates(28.0, "rod", "rocker", width=28.0),
    )


def _knee_toggle() -> Design:
    return Design(
        points=(
            Point("lever pivot", 0.0, 0.0),
            Point("knee", 70.0, 25.0),
            Point("grip", -25.0, 130.0),
            Point("plunger pin", 150.0, 0.0),
            Point("slot start", 110.0, 0.0),
            Point("slot end", 175.0, 0.0),
            Point("spring anchor", 230.0, 0.0),
        ),
        links=(
            Link(FRAME, ("lever pivot", "slot start", "slot end", "spring anchor")),
            Link("lever", ("knee", "lever pivot", "grip")),
            Link("rod", ("knee", "plunger pin")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(rest_a=73.0, rest_b=125.0),
        sliders=(Slider("plunger slide", "plunger pin", FRAME, ("slot start", "slot end")),),
        springs=(
            CompressionSpring(
                name="clamp spring",
                a="plunger pin",
                b="spring anchor",
                rate=2.0,
                free_length=122.0,
                solid_length=60.0,
                least_gaps=4.0,
                end_pin_diameter=0.0,
            ),
        ),
        outputs=("plunger pin",),
        limits=(
            Limit("holding_force", at_least=2.0),
            Limit("bottoming_margin", at_least=2.0),
        ),
        plates=_plates(28.0, "rod", width=28.0),
    )


LAYOUTS: tuple[Layout, ...] = (
    Layout(
        "compression",
        "Lever with compression spring",
        "One lever; a spring pushes its foot past the pivot to either stop.",
        _direct_compression,
    ),
    Layout(
        "extension",
        "Lever with extension spring",
        "One lever; a spring pulls its foot past the pivot to either stop.",
        _direct_extension,
    ),
    Layout(
        "rocker",
        "Lever, rod and rocker",
        "The lever throws a driven part through a rod; the spring sits on the lever.",
        _lever_rod_rocker,
    ),
    Layout(
        "knee",
        "Knee toggle",
        "Lever and rod make a knee that straightens against a sprung plunger.",
        _knee_toggle,
    ),
    Layout(
        "blank",
        "Blank sheet",
        "A bare lever on its pivot between two stops; add the rest yourself.",
        _bare_lever,
    ),
)
"""Every starting layout, in menu order."""
