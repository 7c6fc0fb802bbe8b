"""The verdict: one plain sentence on whether the lever is always in one of its two positions."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from solver.guide_rod import end_remarks, rod_remarks
from solver.model import Design, Limit, TorsionSpring
from solver.project import Display
from solver.results import HangZone, LimitResult, Reading
from solver.spring_data import spring_remarks
from solver.spring_work import SpringWork
from solver.torsion_data import torsion_remarks
from solver.torsion_shape import bearing
from solver.units import Quantity, show

HANG_SHARE = 0.05
"""Share of the travel that a hang zone around dead centre may take before the verdict calls it
a place to be left standing; a judgement, used only where the design sets no limit on it."""

_NOTHING = 5e-4
"""N at the grip below which a rest counts as not held at all."""

_AT_A_REST = 0.05
"""Degrees from a rest that still count as on it, in words."""

HANG_KEYS = ("hang_zone", "hang_zone_mm")
"""The readings by which a design may set its own limit on the hang zone."""


@dataclass(frozen=True, slots=True)
class Findings:
    """What the verdict is drawn from."""

    readings: Mapping[str, Reading]
    zones: tuple[HangZone, ...]
    springs: tuple[SpringWork, ...]
    limits: tuple[LimitResult, ...]
    design: Design


def limit_sentence(limit: Limit, reading: Reading, display: Display) -> tuple[bool, str]:
    """Whether a limit holds, and by how much it does or does not."""
    value = reading.value
    if math.isnan(value):
        return False, f"{reading.label}: this linkage has none, so the limit cannot hold."
    shown = show(value, reading.quantity, display)
    if limit.at_least is not None and value < limit.at_least:
        miss = show(limit.at_least - value, reading.quantity, display)
        bound = show(limit.at_least, reading.quantity, display)
        return (
            False,
            f"{reading.label} is {shown}, {miss} below the least allowed {bound}: raise it.",
        )
    if limit.at_most is not None and value > limit.at_most:
        miss = show(value - limit.at_most, reading.quantity, display)
        bound = show(limit.at_most, reading.quantity, display)
        return (
            False,
            f"{reading.label} is {shown}, {miss} above the most allowed {bound}: lower it.",
        )
    spare = min(
        math.inf if limit.at_least is None else value - limit.at_least,
        math.inf if limit.at_most is None else limit.at_most - value,
    )
    return True, f"{reading.label} is {shown}, {show(spare, reading.quantity, display)} to spare."


def judge(findings: Findings, display: Display) -> tuple[str, bool, tuple[str, ...]]:
    """The verdict sentence, whether all is well, and the notes under it."""
    failed = sum(not result.holds for result in findings.limits)
    trouble = _off_a_rest(findings, display) or _left_standing(findings, display)
    sentence = trouble or _carries_home(findings, display)
    if failed:
        count = len(findings.limits)
        sentence += f" {failed} of {count} limit{'s' if count > 1 else ''} fails."
        sentence = sentence.replace(" fails.", " fail.") if failed > 1 else sentence
    return sentence, trouble is None and not failed, tuple(_notes(findings, display))


def _off_a_rest(findings: Findings, display: Display) -> str | None:
    """A rest on which nothing presses the lever against its stop."""
    loose = []
    for rest in "ab":
        seat = findings.readings[f"seating_force_{rest}"].value
        hold = findings.readings[f"holding_force_{rest}"].value
        if seat > 0.0:
            continue
        if abs(hold) < _NOTHING:
            loose.append(f"nothing keeps it at rest {rest.upper()}")
        elif hold > 0.0:
            loose.append(f"only friction keeps it at rest {rest.upper()}")
        else:
            push = show(-hold, "force", display)
            loose.append(f"it leaves rest {rest.upper()} by itself, with {push} at the grip")
    if not loose:
        return None
    return f"The lever is not held: {' and '.join(loose)}."


def _left_standing(findings: Findings, display: Display) -> str | None:
    """A place off the stops where the lever comes to rest or can be put to rest."""
    for kind, why in (
        ("valley", "it comes to rest there by itself"),
        ("slack", "nothing pushes it home there"),
    ):
        zones = [zone for zone in findings.zones if zone.kind == kind]
        if zones:
            place = _span(max(zones, key=lambda zone: zone.end - zone.start), display)
            return f"The lever can be left standing {place}: {why}."
    zones = [zone for zone in findings.zones if zone.kind == "dead centre"]
    if not zones or not _too_wide(findings):
        return None
    zone = max(zones, key=lambda zone: zone.end - zone.start)
    width = show(zone.end_mm - zone.start_mm, "length", display)
    return (
        "The lever can be left standing around dead centre: friction holds it "
        f"{_span(zone, display)}, {width} at the grip, {_bound(findings)}."
    )


def _too_wide(findings: Findings) -> bool:
    """By the design's own limits on the hang zone, else by the share of the travel."""
    own = [result for result in findings.limits if result.reading.key in HANG_KEYS]
    if own:
        return not all(result.holds for result in own)
    return findings.readings["hang_zone"].value > HANG_SHARE * findings.readings["throw"].value


def _bound(findings: Findings) -> str:
    """What a hang zone that is too wide is held against."""
    if any(result.reading.key in HANG_KEYS for result in findings.limits):
        return "more than your limit allows"
    return f"more than {HANG_SHARE:.0%} of the travel".replace("%", " %")


def _span(zone: HangZone, display: Display) -> str:
    if zone.end - zone.start < 0.05:
        return f"{show(zone.start, 'angle', display)} from rest A"
    start, end = show(zone.start, "angle", display), show(zone.end, "angle", display)
    return f"between {start} and {end} from rest A"


def _carries_home(findings: Findings, display: Display) -> str:
    hang = findings.readings["hang_zone_mm"].value
    if not findings.zones or hang < 0.005:
        return "The lever carries itself home from wherever it is let go, and stays there."
    width = show(hang, "length", display)
    return (
        "The lever carries itself home to one of its rests and stays there; only around dead "
        f"centre, over {width} at the grip, can friction hold it."
    )


def _notes(findings: Findings, display: Display) -> list[str]:
    notes = []
    for spring in findings.springs:
        slack, room = spring.slack_margin, spring.bottoming_margin
        quantity: Quantity = "angle" if spring.kind == "torsion" else "length"
        if slack < 0.0:
            notes.append(
                f"Spring “{spring.name}” lets go: it is {show(-slack, quantity, display)} past its "
                f"free state {_place(spring.slack_at, findings, display)}."
            )
        if room < 0.0:
            what = {"compression": "bottoms", "extension": "is overstretched"}.get(
                spring.kind, "is overwound"
            )
            notes.append(
                f"Spring “{spring.name}” {what}: it goes {show(-room, quantity, display)} too far "
                f"{_place(spring.bottoming_at, findings, display)}."
            )
        rod = findings.readings.get(f"rod_margin:{spring.name}")
        if rod is not None and rod.value < 0.0:
            notes.append(
                f"The guide rod of spring “{spring.name}” comes out of its guide by "
                f"{show(-rod.value, 'length', display)}."
            )
    for bought, work in zip(findings.design.springs, findings.springs, strict=True):
        legs = bearing(findings.design, bought)
        notes.extend(spring_remarks(bought, display, legs))
        notes.extend(rod_remarks(findings.design, bought, display))
        notes.extend(end_remarks(findings.design, bought, display))
        if isinstance(bought, TorsionSpring):
            notes.extend(torsion_remarks(findings.design, bought, work.length, display))
    return notes


def _place(travel: float, findings: Findings, display: Display) -> str:
    """A place on the throw (degrees from rest A) in words."""
    if travel < _AT_A_REST:
        return "at rest A"
    if travel > findings.readings["throw"].value - _AT_A_REST:
        return "at rest B"
    return f"{show(travel, 'angle', display)} from rest A"
