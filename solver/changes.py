"""What changed between two designs, in words.

Two drawings of one linkage in different poses or places are the same linkage: the second is
brought into the pose and the place of the first before they are compared.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields

from solver import units
from solver.errors import ThrowoverError
from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    GuideRod,
    Limit,
    Link,
    Plate,
    TorsionSpring,
)
from solver.number_names import FIELD_NAMES, PLAIN_NAMES
from solver.parts import Kind, Part, name_of, parts
from solver.project import Display
from solver.readings import catalogue
from solver.rebase import rebase
from solver.screws import fixing_holes
from solver.spring_data import SPRING_WORDS
from solver.units import Quantity
from solver.wording import capital

Place = tuple[str, complex]
"""A point's name, and where it is (mm)."""

_ALIKE = 1e-3
"""mm; moves that differ by less are one move of the whole drawing."""
_MOVED = 0.05
"""mm from the lever's pivot within which a point is taken to lie on it."""

_KINDS: tuple[tuple[Kind, str], ...] = (
    ("slider", "slider"),
    ("spring", "spring"),
    ("weight", "weight"),
    ("load", "load"),
    ("screw", "screw through"),
)
_FLAGS = {"captive": "captive ends", "acts": "acts"}


def changes(before: Design, after: Design, display: Display) -> tuple[str, ...]:
    """What is different in `after`, one short sentence each; empty where nothing is.

    Parts are told apart by their names. Notes and the choice of outputs do not count.
    """
    after = _as_drawn_before(before, after)
    told = [
        *_links(before, after),
        *_points(before, after, display, fixing=False),
        *_stops(before, after, display),
        *(line for kind, word in _KINDS for line in _parts(before, after, kind, word, display)),
        *_pins(before, after, display),
        *_plates(before, after, display),
        *_limits(before, after, display),
        *_rest(before, after, display),
        *_points(before, after, display, fixing=True),
    ]
    return tuple(f"{capital(line)}." for line in told)


# ---- links and points ------------------------------------------------------------------


def _links(before: Design, after: Design) -> Iterator[str]:
    old = {link.name: link for link in before.links}
    new = {link.name: link for link in after.links}
    for name in (name for name in old if name not in new):
        yield f"no link “{name}” any more"
    for name, link in new.items():
        if name not in old:
            yield f"new link “{name}” through {_listed(link.points)}"
            continue
        yield from _carries(old[name], link)
    if before.lever in new and after.lever in old and before.lever != after.lever:
        yield f"the lever is “{after.lever}” instead of “{before.lever}”"
    old_pivot, new_pivot = _lever_pivot(before), _lever_pivot(after)
    if old_pivot and new_pivot and old_pivot[0] != new_pivot[0]:
        yield f"the lever turns on “{new_pivot[0]}” instead of “{old_pivot[0]}”"
    if before.grip != after.grip:
        yield f"the grip is “{after.grip}” instead of “{before.grip}”"


def _carries(old: Link, new: Link) -> Iterator[str]:
    what = "the frame" if new.name == FRAME else f"link “{new.name}”"
    gained = [point for point in new.points if point not in old.points]
    lost = [point for point in old.points if point not in new.points]
    if gained:
        yield f"{what} also carries {_listed(gained)}"
    if lost:
        yield f"{what} no longer carries {_listed(lost)}"


def _points(before: Design, after: Design, display: Display, *, fixing: bool) -> Iterator[str]:
    """The moves of points; `fixing`: of the frame's fixing holes alone, which move no reading."""
    old = {point.name: complex(point.x, point.y) for point in before.points}
    new = {point.name: complex(point.x, point.y) for point in after.points}
    common = [name for name in old if name in new]
    shift = _common_shift(old, new, common)
    pivot = _lever_pivot(before)
    pivots = _other_pivot(pivot, _lever_pivot(after))
    stayed = _stayed(pivot, new, shift, display)
    holes = {*fixing_holes(before)} & {*fixing_holes(after)}
    for name in (name for name in common if (name in holes) == fixing):
        was, now = old[name], new[name]
        move, seen = now - was - shift, None
        if pivots is not None and abs(now - was - (pivots[1] - pivots[0])) < abs(move):
            move, seen = now - was - (pivots[1] - pivots[0]), pivots
        if not (_printed(move.real, display) or _printed(move.imag, display)):
            continue
        if seen is None:
            yield _move_told(name, was, move, stayed, display)
        else:
            yield _seen_from_pivot(name, was, now, seen, display)


def _other_pivot(old: Place | None, new: Place | None) -> tuple[complex, complex] | None:
    """Where both levers turn, if the second sits on another point: its parts went along."""
    return (old[1], new[1]) if old and new and old[0] != new[0] else None


def _stayed(
    pivot: Place | None, new: dict[str, complex], shift: complex, display: Display
) -> Place | None:
    """The old lever pivot, if it is where it was in the other design too: ways lead from it."""
    if pivot is None or pivot[0] not in new:
        return None
    move = new[pivot[0]] - pivot[1] - shift
    return None if _printed(move.real, display) or _printed(move.imag, display) else pivot


def _common_shift(old: dict[str, complex], new: dict[str, complex], common: list[str]) -> complex:
    """The move that most points share: that of the whole drawing, which changes nothing."""
    moves = [new[name] - old[name] for name in common]
    alike = [sum(abs(move - other) < _ALIKE for other in moves) for move in moves]
    times = max(alike, default=0)
    return moves[alike.index(times)] if 2 * times > len(common) else 0j


def _move_told(
    name: str, place: complex, move: complex, pivot: Place | None, display: Display
) -> str:
    """A point's move: towards the lever's pivot, or away, if it is that and nothing besides.

    Whatever the display prints of the move is told.
    """
    if pivot is not None and name != pivot[0] and _along(place - pivot[1], move, display):
        nearer = abs(place - pivot[1]) - abs(place + move - pivot[1])
        way = "closer to" if nearer > 0.0 else "farther from"
        return f"{name} {units.show(abs(nearer), 'length', display)} {way} the {pivot[0]}"
    return f"{name} {_ways(move, display)}"


def _seen_from_pivot(
    name: str, was: complex, now: complex, pivots: tuple[complex, complex], display: Display
) -> str:
    """A point's move where the lever turns on another pivot, each place seen from its own pivot."""
    arm, other = was - pivots[0], now - pivots[1]
    if _along(arm, other - arm, display):
        return f"{name} {_from_to(abs(arm), abs(other), 'length', display)} from the lever's pivot"
    return f"{name} {_ways(other - arm, display)}, seen from the lever's pivot"


def _along(arm: complex, move: complex, display: Display) -> bool:
    """Whether a move goes along an arm and not, as it is printed, across it."""
    if abs(arm) <= _MOVED:
        return False
    return not _printed((move * arm.conjugate()).imag / abs(arm), display)


def _ways(move: complex, display: Display) -> str:
    side = "to the right" if move.real > 0.0 else "to the left"
    level = "higher" if move.imag > 0.0 else "lower"
    parts = [
        f"{units.show(abs(part), 'length', display)} {way}"
        for part, way in ((move.real, side), (move.imag, level))
        if _printed(part, display)
    ]
    return " and ".join(parts)


def _printed(length: float, display: Display) -> bool:
    """Whether the display shows more than zeros of a length."""
    return any(digit in units.number(length, "length", display) for digit in "123456789")


def _lever_pivot(design: Design) -> Place | None:
    try:
        point = design.point(design.lever_pivot())
    except KeyError:
        return None
    return point.name, complex(point.x, point.y)


def _stops(before: Design, after: Design, display: Display) -> Iterator[str]:
    for rest, field in (("A", "rest_a"), ("B", "rest_b")):
        old, new = getattr(before.stops, field), getattr(after.stops, field)
        if _differs(old, new, "direction", display):
            shown = _from_to(old, new, "direction", display)
            yield f"rest {rest} {shown}"


# ---- other parts -----------------------------------------------------------------------


def _parts(before: Design, after: Design, kind: Kind, word: str, display: Display) -> Iterator[str]:
    old = {name_of(part): part for part in parts(before, kind)}
    new = {name_of(part): part for part in parts(after, kind)}
    for name in old:
        if name not in new:
            yield f"no {word} “{name}” any more"
    for name, part in new.items():
        if name not in old:
            yield f"new {_word(part, word)} “{name}”"
        elif type(part) is not type(old[name]):
            yield f"{name} is {_a(_word(part, word))} instead of {_a(_word(old[name], word))}"
        else:
            told = list(_fields(old[name], part, display))
            if told:
                yield f"{name}: {', '.join(told)}"


def _a(word: str) -> str:
    """A noun with its article."""
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _word(part: Part, word: str) -> str:
    if isinstance(part, CompressionSpring | ExtensionSpring | TorsionSpring):
        return SPRING_WORDS[type(part)]
    return word


def _fields(old: object, new: object, display: Display) -> Iterator[str]:
    """What differs between two parts of one class: numbers, ends, and the rest."""
    known = {**FIELD_NAMES.get(type(new), {}), **PLAIN_NAMES.get(type(new), {})}
    for field in fields(new):  # type: ignore[arg-type]  # every part is a dataclass
        was, now = getattr(old, field.name), getattr(new, field.name)
        if was == now:
            continue
        if field.name in known:
            label, quantity = known[field.name]
            if _differs(was, now, quantity, display):
                yield f"{label} {_from_to(was, now, quantity, display)}"
        elif isinstance(was, GuideRod) and isinstance(now, GuideRod):
            yield from _fields(was, now, display)
        elif field.name == "thread":
            yield f"screw M{now:g} instead of M{was:g}"
        elif field.name == "rod":
            yield "has a guide rod" if now else "has no guide rod"
        elif isinstance(now, bool):
            yield f"{_FLAGS.get(field.name, field.name)} {'yes' if now else 'no'}"
        else:
            label = {"a": "end", "b": "other end"}.get(field.name, field.name.replace("_", " "))
            yield f"{_FLAGS.get(field.name, label)} {_plain(now)} instead of {_plain(was)}"


def _pins(before: Design, after: Design, display: Display) -> Iterator[str]:
    for point in after.points:
        if len(before.links_at(point.name)) > 1 < len(after.links_at(point.name)):
            old, new = before.pivot_at(point.name), after.pivot_at(point.name)
            told = list(_fields(old, new, display))
            if told:
                yield f"pin at {point.name}: {', '.join(told)}"


def _plates(before: Design, after: Design, display: Display) -> Iterator[str]:
    names = {link.name for link in before.links} & {link.name for link in after.links}
    for link in after.links:
        if link.name not in names:
            continue
        old, new = before.plate_of(link.name), after.plate_of(link.name)
        if old != new:
            yield f"plate of {link.name}: {_plate_told(old, new, display)}"


def _plate_told(old: Plate | None, new: Plate | None, display: Display) -> str:
    if old is None or new is None:
        return "settled" if old is None else "not settled any more"
    told = [
        f"{field} {_from_to(getattr(old, field), getattr(new, field), 'length', display)}"
        for field in ("width", "thickness")
        if getattr(old, field) != getattr(new, field)
    ]
    told += [
        f"{field} {getattr(new, field)} instead of {getattr(old, field)}"
        for field in ("material", "layer")
        if getattr(old, field) != getattr(new, field)
    ]
    return ", ".join(told) or "another outline"


def _limits(before: Design, after: Design, display: Display) -> Iterator[str]:
    old = {limit.reading: limit for limit in before.limits}
    new = {limit.reading: limit for limit in after.limits}
    kinds = {kind.key: kind for design in (before, after) for kind in catalogue(design)}
    for key in dict.fromkeys([*old, *new]):
        if old.get(key) == new.get(key):
            continue
        kind = kinds.get(key)
        label, quantity = (kind.label, kind.quantity) if kind else (key, "ratio")
        was, now = (_bounds(limits.get(key), quantity, display) for limits in (old, new))
        yield f"limit on “{label}”: {now} instead of {was}"


def _bounds(limit: Limit | None, quantity: Quantity, display: Display) -> str:
    if limit is None:
        return "none"
    told = []
    if limit.at_least is not None:
        told.append(f"at least {units.show(limit.at_least, quantity, display)}")
    if limit.at_most is not None:
        told.append(f"at most {units.show(limit.at_most, quantity, display)}")
    return ", ".join(told)


def _rest(before: Design, after: Design, display: Display) -> Iterator[str]:
    gravity = list(_fields(before.gravity, after.gravity, display))
    if gravity:
        yield ", ".join(gravity)
    if before.tolerances != after.tolerances:
        yield "other tolerances"


# ---- helpers -----------------------------------------------------------------------------


def _as_drawn_before(before: Design, after: Design) -> Design:
    """`after` with its lever drawn in the direction in which `before` has it."""
    if before.lever != after.lever or before.grip != after.grip:
        return after
    try:
        directions = [_drawn_direction(design) for design in (before, after)]
        if abs(math.remainder(directions[1] - directions[0], 360.0)) < 1e-6:
            return after
        return rebase(after, directions[0])
    except (ThrowoverError, KeyError):
        return after


def _drawn_direction(design: Design) -> float:
    pivot, grip = design.point(design.lever_pivot()), design.point(design.grip)
    return math.degrees(math.atan2(grip.y - pivot.y, grip.x - pivot.x))


def _differs(old: float | None, new: float | None, quantity: Quantity, display: Display) -> bool:
    """Whether two numbers differ by more than the display rounds off."""
    if old is None or new is None:
        return old is not new
    return units.exact(old, quantity, display) != units.exact(new, quantity, display)


def _from_to(old: float | None, new: float | None, quantity: Quantity, display: Display) -> str:
    """Both numbers with one unit: 2.40 → 2.00 N/mm, with the digits that tell them apart."""
    if old is None or new is None:
        shown = [
            "not given" if each is None else units.show(each, quantity, display)
            for each in (old, new)
        ]
        return " → ".join(shown)
    first, second = (units.number(each, quantity, display) for each in (old, new))
    if first == second:
        first, second = (units.exact(each, quantity, display) for each in (old, new))
        return f"{first} → {second}"
    unit = units.unit_of(quantity, display)
    return f"{first} → {second}{unit if unit == '°' else f' {unit}' if unit else ''}"


def _plain(value: object) -> str:
    if isinstance(value, tuple):
        return _listed(value)
    return f"“{value}”" if value else "none"


def _listed(names: tuple[str, ...] | list[str]) -> str:
    quoted = [f"“{name}”" for name in names]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} and {quoted[-1]}"
