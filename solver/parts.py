"""Kinds of parts and what refers to what, as data: editing and checking read it from here."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Literal, TypeVar, cast

from solver.errors import DesignProblem
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Limit,
    Link,
    Pivot,
    Plate,
    Point,
    Screw,
    Slider,
    Torque,
    TorsionSpring,
    Weight,
)

Kind = Literal[
    "point", "link", "pivot", "slider", "spring", "weight", "load", "limit", "plate", "screw"
]
Part = (
    Point
    | Link
    | Pivot
    | Slider
    | CompressionSpring
    | ExtensionSpring
    | TorsionSpring
    | Weight
    | Force
    | Torque
    | Limit
    | Plate
    | Screw
)
AnyPart = TypeVar("AnyPart", bound=Part)

FIELDS: Mapping[Kind, str] = {
    "point": "points",
    "link": "links",
    "pivot": "pivots",
    "slider": "sliders",
    "spring": "springs",
    "weight": "weights",
    "load": "loads",
    "limit": "limits",
    "plate": "plates",
    "screw": "screws",
}
"""Kind -> the field of `Design` that holds its parts."""

_KIND_OF: Mapping[type, Kind] = {
    Point: "point",
    Link: "link",
    Pivot: "pivot",
    Slider: "slider",
    CompressionSpring: "spring",
    ExtensionSpring: "spring",
    TorsionSpring: "spring",
    Weight: "weight",
    Force: "load",
    Torque: "load",
    Limit: "limit",
    Plate: "plate",
    Screw: "screw",
}

_REFERS: Mapping[type, Mapping[str, Kind]] = {
    Link: {"points": "point"},
    Pivot: {"point": "point"},
    Slider: {"point": "point", "guide": "link", "along": "point"},
    CompressionSpring: {"a": "point", "b": "point"},
    ExtensionSpring: {"a": "point", "b": "point"},
    TorsionSpring: {"pivot": "point", "leg_a": "point", "leg_b": "point"},
    Weight: {"point": "point"},
    Force: {"point": "point"},
    Torque: {"link": "link"},
    Plate: {"link": "link"},
    Screw: {"point": "point"},
}
"""Class -> the fields that hold names of other parts, and of which kind."""

LONGEST_NAME = 60
"""Characters that a name may have."""

_SPRING: tuple[Kind, ...] = ("spring",)
_OUTPUT: tuple[Kind, ...] = ("point", "link")

READING_SUBJECTS: Mapping[str, tuple[Kind, ...]] = {
    "slack_margin": _SPRING,
    "bottoming_margin": _SPRING,
    "rod_margin": _SPRING,
    "spring_shortest": _SPRING,
    "spring_longest": _SPRING,
    "spring_force": _SPRING,
    "output_travel": ("point",),
    "output_turn": ("link",),
    "advantage_a": _OUTPUT,
    "advantage_b": _OUTPUT,
    "pin_load": ("point",),
}
"""Stem of a reading's key ("slack_margin:coil") -> what the name after the colon may be of."""


def kind_of(part: Part) -> Kind:
    """The kind of a part."""
    return _KIND_OF[type(part)]


def name_of(part: Part) -> str:
    """What a part is known by: its name, the point of a pivot or screw, a link, a reading."""
    match part:
        case Pivot() | Screw():
            return part.point
        case Limit():
            return part.reading
        case Plate():
            return part.link
        case _:
            return part.name


def parts(design: Design, kind: Kind) -> tuple[Part, ...]:
    """All parts of a kind, in the design's order."""
    return cast(tuple[Part, ...], getattr(design, FIELDS[kind]))


def names(design: Design, kind: Kind) -> tuple[str, ...]:
    """The names of all parts of a kind, in the design's order."""
    return tuple(name_of(part) for part in parts(design, kind))


def find(design: Design, kind: Kind, name: str) -> Part:
    """The part of that kind and name; DesignProblem where there is none."""
    for part in parts(design, kind):
        if name_of(part) == name:
            return part
    raise DesignProblem(f"There is no {kind} “{name}” in this sketch.", name)


def references(part: Part) -> Iterator[tuple[Kind, str]]:
    """The (kind, name) of every part that this one refers to, in the order of its fields."""
    for field, kind in _REFERS.get(type(part), {}).items():
        value = getattr(part, field)
        for name in (value,) if isinstance(value, str) else value:
            yield kind, name
    if isinstance(part, Limit):
        stem, _, name = part.reading.partition(":")
        for kind in READING_SUBJECTS.get(stem, ()) if name else ():
            yield kind, name


def renamed(part: AnyPart, kind: Kind, old: str, new: str) -> AnyPart:
    """The part with `new` wherever it referred to the part `old` of that kind."""
    if (kind, old) not in references(part):
        return part
    if isinstance(part, Limit):
        stem = part.reading.partition(":")[0]
        return replace(part, reading=f"{stem}:{new}")
    changes: dict[str, str | tuple[str, ...]] = {}
    for field, refers_to in _REFERS[type(part)].items():
        if refers_to == kind:
            value = getattr(part, field)
            if isinstance(value, str):
                changes[field] = new if value == old else value
            else:
                changes[field] = tuple(new if name == old else name for name in value)
    return replace(part, **changes)  # type: ignore[arg-type]  # fields are names or tuples of them


def name_fault(name: str) -> str | None:
    """What is wrong with a name, as the end of a sentence; None where it can be used."""
    if not name.strip():
        return "is empty"
    if name != name.strip():
        return "begins or ends with a space"
    if len(name) > LONGEST_NAME:
        return f"is longer than {LONGEST_NAME} characters"
    if not name.isprintable():
        return "has a character in it that cannot be shown"
    return None


def with_parts(design: Design, kind: Kind, those: tuple[Part, ...]) -> Design:
    """The design with those parts as all of their kind."""
    return replace(design, **{FIELDS[kind]: those})  # type: ignore[arg-type]  # parts of that kind


def swapped(design: Design, old: Part, new: Part) -> Design:
    """The design with one of its parts in another form."""
    kind = kind_of(old)
    those = tuple(new if part is old else part for part in parts(design, kind))
    return with_parts(design, kind, those)
