"""The readings: what a builder wants to know of a linkage, one number each.

`measure` takes them off a motion for a whole batch at once; `catalogue` tells which there are
for a design, in display order. A reading that a design does not have (no dead centre, a locked
linkage) is NaN.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.clear_way import clear_way
from solver.crossings import Crossings, exceeds
from solver.errors import DesignProblem
from solver.extremes import Extreme, Extremes
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    Limit,
    Spring,
    TorsionSpring,
)
from solver.motion import Motion
from solver.planar import filled, length
from solver.units import Quantity

Values = NDArray[np.float64]
_DEGREES = 180.0 / np.pi


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """A reading that a design has; `key` is `name` or `name:part`."""

    key: str
    label: str
    quantity: Quantity
    group: str


@dataclass(frozen=True, slots=True)
class Measures:
    """Readings of a batch: `values[key]` (B,) in base units, `where[key]` (B,) travel in degrees.

    `where` has only those readings that belong to one lever position, the first one where two
    tie, such as both rests of a symmetric design. `to_b` and `to_a` bound
    the stretches on which the lever drives itself to B or to A against friction. Besides the
    catalogue's readings there are `clear_way` and `hang_share` (of the throw), for
    `solver.margins`.
    """

    values: dict[str, Values]
    where: dict[str, Values]
    to_b: Crossings
    to_a: Crossings


_FEEL = "Hold and feel"
_HOME = "Way home"
_SPRING = "Springs"
_TRAVEL = "Travel"
_PINS = "Pins"

_ALWAYS: tuple[ReadingKind, ...] = (
    ReadingKind("holding_force", "Holding force, weaker rest", "force", _FEEL),
    ReadingKind("holding_force_a", "Holding force at rest A", "force", _FEEL),
    ReadingKind("holding_force_b", "Holding force at rest B", "force", _FEEL),
    ReadingKind("seating_force_a", "Seating force at rest A", "force", _FEEL),
    ReadingKind("seating_force_b", "Seating force at rest B", "force", _FEEL),
    ReadingKind("peak_effort", "Peak effort, harder way", "force", _FEEL),
    ReadingKind("peak_effort_to_b", "Peak effort, A to B", "force", _FEEL),
    ReadingKind("peak_effort_to_a", "Peak effort, B to A", "force", _FEEL),
    ReadingKind("dead_centre", "Dead centre, from rest A", "angle", _HOME),
    ReadingKind("hang_zone", "Hang zone, all together", "angle", _HOME),
    ReadingKind("hang_zone_mm", "Hang zone at the grip", "length", _HOME),
    ReadingKind("commit_from_a", "Commit point, thrown from A", "angle", _HOME),
    ReadingKind("commit_from_b", "Commit point, thrown from B", "angle", _HOME),
    ReadingKind("barrier", "Barrier, lower side", "energy", _HOME),
    ReadingKind("barrier_a", "Barrier from rest A", "energy", _HOME),
    ReadingKind("barrier_b", "Barrier from rest B", "energy", _HOME),
    ReadingKind("throw", "Throw", "angle", _TRAVEL),
    ReadingKind("travel_at_grip", "Travel at the grip", "length", _TRAVEL),
)


def catalogue(design: Design) -> tuple[ReadingKind, ...]:
    """Every reading of a design, in display order."""
    return (*_ALWAYS, *_of_springs(design), *_of_outputs(design), *_of_pins(design))


def no_such_reading(limit: Limit) -> DesignProblem:
    """What to say of a limit on a reading that is not in the catalogue of its design."""
    return DesignProblem(
        f"There is a limit on “{limit.reading}”, a reading that this design does not have; "
        "remove the limit or bring the part back.",
        limit.reading,
    )


def _of_springs(design: Design) -> Iterator[ReadingKind]:
    straight = [spring for spring in design.springs if not isinstance(spring, TorsionSpring)]
    if straight:
        pulling = all(isinstance(spring, ExtensionSpring) for spring in straight)
        end = "Overstretch margin, least" if pulling else "Bottoming margin, least"
        yield ReadingKind("slack_margin", "Slack margin, least", "length", _SPRING)
        yield ReadingKind("bottoming_margin", end, "length", _SPRING)
    for spring in design.springs:
        turning = isinstance(spring, TorsionSpring)
        size: Quantity = "angle" if turning else "length"
        force: Quantity = "torque" if turning else "force"
        name = spring.name
        yield ReadingKind(f"slack_margin:{name}", f"Slack margin, {name}", size, _SPRING)
        end = "Bottoming" if isinstance(spring, CompressionSpring) else "Overstretch"
        end = "Overwinding" if turning else end
        yield ReadingKind(f"bottoming_margin:{name}", f"{end} margin, {name}", size, _SPRING)
        if isinstance(spring, CompressionSpring) and spring.rod:
            yield ReadingKind(f"rod_margin:{name}", f"Rod stays in, {name}", size, _SPRING)
        least, most = ("Least twist", "Greatest twist") if turning else ("Shortest", "Longest")
        yield ReadingKind(f"spring_shortest:{name}", f"{least}, {name}", size, _SPRING)
        yield ReadingKind(f"spring_longest:{name}", f"{most}, {name}", size, _SPRING)
        what = "Greatest moment" if turning else "Greatest force"
        yield ReadingKind(f"spring_force:{name}", f"{what}, {name}", force, _SPRING)


def _of_outputs(design: Design) -> Iterator[ReadingKind]:
    points = {point.name for point in design.points}
    for name in design.outputs:
        if name in points:
            yield ReadingKind(f"output_travel:{name}", f"Travel of {name}", "length", _TRAVEL)
            for rest in "ab":
                label = f"Mechanical advantage at {name}, rest {rest.upper()}"
                yield ReadingKind(f"advantage_{rest}:{name}", label, "ratio", _TRAVEL)
        else:
            yield ReadingKind(f"output_turn:{name}", f"Turn of {name}", "angle", _TRAVEL)
            for rest in "ab":
                label = f"Torque ratio at {name}, rest {rest.upper()}"
                yield ReadingKind(f"advantage_{rest}:{name}", label, "ratio", _TRAVEL)


def _of_pins(design: Design) -> Iterator[ReadingKind]:
    sliding = {slider.point for slider in design.sliders}
    for point in design.points:
        if len(design.links_at(point.name)) > 1 or point.name in sliding:
            label = f"Greatest load on {point.name}"
            yield ReadingKind(f"pin_load:{point.name}", label, "force", _PINS)


def measure(motion: Motion) -> Measures:
    """All readings of a batch; NaN for designs that lock, or have no finite torque, anywhere."""
    torque, friction = motion.torque, motion.friction
    drives = np.empty((2, *torque.shape))
    drive_b = np.subtract(torque, friction, out=drives[0])
    drive_a = np.subtract(-torque, friction, out=drives[1])
    found = Measures({}, {}, *Crossings.of_each(motion.travel, drives))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        extremes = Extremes.of(motion)
        _feel(motion, extremes, found)
        _home(motion, extremes, found)
        found.values["clear_way"] = clear_way(drive_a, drive_b, found.to_a, found.to_b)
        for at, spring in enumerate(motion.plan.design.springs):
            _spring(motion, spring, extremes.longest[at], extremes.shortest[at], found)
            _note(found, f"spring_force:{spring.name}", *extremes.spring_forces[at])
        straight = [s for s in motion.plan.design.springs if not isinstance(s, TorsionSpring)]
        if straight:
            _least(found, "slack_margin", straight)
            _least(found, "bottoming_margin", straight)
        _outputs(motion, found)
        _pins(motion, extremes, found)
    # One sum over the throw is enough to see a single NaN or infinity.
    lost = ~(motion.solved & np.isfinite(np.sum(torque, axis=1) + np.sum(friction, axis=1)))
    if lost.any():
        for values in (*found.values.values(), *found.where.values()):
            values[lost] = np.nan
    return found


def _feel(motion: Motion, extremes: Extremes, found: Measures) -> None:
    arm = motion.arm[:, 0]
    values = found.values
    seat_a, seat_b = -motion.torque[:, 0] / arm, motion.torque[:, -1] / arm
    hold_a = seat_a + motion.friction_thrown[:, 0] / arm
    hold_b = seat_b + motion.friction_thrown[:, -1] / arm
    values["holding_force"] = np.minimum(hold_a, hold_b)
    values["holding_force_a"], values["holding_force_b"] = hold_a, hold_b
    values["seating_force_a"], values["seating_force_b"] = seat_a, seat_b
    (to_b, at_b), (to_a, at_a) = extremes.effort_to_b, extremes.effort_to_a
    harder = np.where(exceeds(to_a, to_b), at_a, at_b)
    values["peak_effort"] = np.maximum(to_b, to_a) / arm
    values["peak_effort_to_b"], values["peak_effort_to_a"] = to_b / arm, to_a / arm
    for key, place in (("", harder), ("_to_b", at_b), ("_to_a", at_a)):
        found.where["peak_effort" + key] = place * _DEGREES


def _home(motion: Motion, extremes: Extremes, found: Measures) -> None:
    values, where = found.values, found.where
    throw = motion.travel[:, -1]
    top, place = extremes.energy
    inside = (place > 0.0) & (place < throw)
    centre = np.where(inside, place, np.nan)
    to_b, to_a = found.to_b, found.to_a
    hang = np.maximum(throw - to_b.positive_measure() - to_a.positive_measure(), 0.0)
    commit_a, commit_b = to_b.last_rise(), to_a.first_fall()
    values["dead_centre"] = where["dead_centre"] = centre * _DEGREES
    values["hang_zone"] = hang * _DEGREES
    values["hang_zone_mm"] = hang * motion.arm[:, 0]
    values["hang_share"] = hang / throw
    values["commit_from_a"] = where["commit_from_a"] = commit_a * _DEGREES
    values["commit_from_b"] = where["commit_from_b"] = commit_b * _DEGREES
    barrier_a = np.where(inside, top - motion.energy[:, 0], np.nan)
    barrier_b = np.where(inside, top - motion.energy[:, -1], np.nan)
    values["barrier"] = np.minimum(barrier_a, barrier_b)
    values["barrier_a"], values["barrier_b"] = barrier_a, barrier_b
    values["throw"] = throw * _DEGREES
    values["travel_at_grip"] = throw * motion.arm[:, 0]


def _spring(motion: Motion, spring: Spring, most: Extreme, least: Extreme, found: Measures) -> None:
    column = _reader(motion, f"springs.{spring.name}.")
    (longest, longest_at), (shortest, shortest_at) = most, least
    name = spring.name
    unit = _DEGREES if isinstance(spring, TorsionSpring) else 1.0
    _note(found, f"spring_shortest:{name}", shortest * unit, shortest_at)
    _note(found, f"spring_longest:{name}", longest * unit, longest_at)
    if isinstance(spring, TorsionSpring):
        slack, slack_at, room, room_at = _torsion_margins(spring, column("most_twist"), most, least)
    elif isinstance(spring, ExtensionSpring):
        slack, slack_at = shortest - column("free_length"), shortest_at
        room, room_at = column("longest") - longest, longest_at
    else:
        slack, slack_at = column("free_length") - longest, longest_at
        room, room_at = shortest - column("solid_length") - column("least_gaps"), shortest_at
        if spring.rod:
            fittings = column("fittings")
            room = np.minimum(room, shortest + fittings - column("rod.closed"))
            found.values[f"rod_margin:{name}"] = column("rod.reach") - longest - fittings
            found.where[f"rod_margin:{name}"] = longest_at * _DEGREES
    _note(found, f"slack_margin:{name}", slack * unit, slack_at)
    _note(found, f"bottoming_margin:{name}", room * unit, room_at)


def _torsion_margins(
    spring: TorsionSpring,
    most: Values,
    longest: Extreme,
    shortest: Extreme,
) -> tuple[Values, Values, Values, Values]:
    """Slack and overwinding margins (rad) and their places, from the extremes of the twist.

    A spring that acts both ways is never slack; its slack margin is how far it stays wound
    without passing its free angle (negative where it does).
    """
    (high, high_at), (low, low_at) = longest, shortest
    wound_below = np.abs(low) >= np.abs(high)
    if spring.acts != "both":
        wound_below = np.full_like(wound_below, spring.acts == "below")
    slack = np.where(wound_below, -high, low)
    slack_at = np.where(wound_below, high_at, low_at)
    deeper = np.abs(low) >= np.abs(high)
    room = most - np.maximum(np.abs(low), np.abs(high))
    return slack, slack_at, room, np.where(deeper, low_at, high_at)


def _note(found: Measures, key: str, value: Values, travel: Values) -> None:
    found.values[key] = value
    found.where[key] = travel * _DEGREES


def _least(found: Measures, key: str, springs: Sequence[Spring]) -> None:
    """The least of one margin over all straight springs, with its place."""
    first, *others = (f"{key}:{spring.name}" for spring in springs)
    least, place = found.values[first], found.where[first]
    for other in others:
        less = exceeds(-found.values[other], -least) | np.isnan(least)
        least = np.where(less, found.values[other], least)
        place = np.where(less, found.where[other], place)
    found.values[key], found.where[key] = least, place


def _outputs(motion: Motion, found: Measures) -> None:
    arm, shape = motion.arm[:, 0], motion.travel.shape
    for name, (place, velocity) in motion.outputs.items():
        place, velocity = filled(place, shape), filled(velocity, shape)
        # The polyline through the samples is shorter than the path by a share of h²/24 at most.
        path = np.sum(length(place[:, 1:] - place[:, :-1]), axis=1)
        found.values[f"output_travel:{name}"] = path
        found.values[f"advantage_a:{name}"] = arm / length(velocity[:, 0])
        found.values[f"advantage_b:{name}"] = arm / length(velocity[:, -1])
    for name, (turn, spin) in motion.turns.items():
        turn, spin = filled(turn, shape), filled(spin, shape)
        found.values[f"output_turn:{name}"] = np.abs(turn[:, -1] - turn[:, 0]) * _DEGREES
        found.values[f"advantage_a:{name}"] = 1.0 / np.abs(spin[:, 0])
        found.values[f"advantage_b:{name}"] = 1.0 / np.abs(spin[:, -1])


def _pins(motion: Motion, extremes: Extremes, found: Measures) -> None:
    """The greatest load of each pin; of several bearings on one pin, the most loaded one."""
    for point, (value, at) in zip(motion.pins, extremes.pin_loads, strict=True):
        key = f"pin_load:{motion.plan.design.points[point].name}"
        at = at * _DEGREES
        if key in found.values:
            more = exceeds(value, found.values[key])
            value = np.where(more, value, found.values[key])
            at = np.where(more, at, found.where[key])
        found.values[key], found.where[key] = value, at


def _reader(motion: Motion, prefix: str) -> Callable[[str], Values]:
    def read(key: str) -> Values:
        return motion.parameters[:, motion.plan.columns[prefix + key]]

    return read
