"""What follows elsewhere in a design when a part is renamed, joined to another or removed."""

from dataclasses import replace

from solver.model import FRAME, Design, Link, Point
from solver.own_tolerances import own_kept
from solver.parts import (
    FIELDS,
    AnyPart,
    Kind,
    Part,
    name_of,
    names,
    parts,
    references,
    renamed,
    with_parts,
)

Named = tuple[Kind, str]
"""A part by kind and name."""

_ENTRIES: tuple[Kind, ...] = ("pivot", "limit", "screw")


def renamed_everywhere(design: Design, kind: Kind, old: str, new: str) -> Design:
    """All references to a part under its new name; the part itself is renamed already."""
    for each in FIELDS:
        those = tuple(renamed(part, kind, old, new) for part in parts(design, each))
        design = with_parts(design, each, those)
    if kind == "link" and design.lever == old:
        design = replace(design, lever=new)
    if kind == "point" and design.grip == old:
        design = replace(design, grip=new)
    if kind == "point" or (kind == "link" and old not in names(design, "point")):
        outputs = (new if name == old else name for name in design.outputs)
        design = replace(design, outputs=tuple(dict.fromkeys(outputs)))
    return design


def entries_apart(design: Design, keep: str, drop: str) -> Design:
    """The design without pivot entries, screws and limits of point `drop` that `keep` has too."""

    def stands(part: Part, taken: tuple[str, ...]) -> bool:
        return ("point", drop) not in references(part) or (
            name_of(renamed(part, "point", drop, keep)) not in taken
        )

    for kind in _ENTRIES:
        taken = names(design, kind)
        stay = tuple(part for part in parts(design, kind) if stands(part, taken))
        design = with_parts(design, kind, stay)
    return design


def doomed(design: Design, kind: Kind, name: str) -> set[Named]:
    """A part with all that cannot be without it, as (kind, name)."""
    gone: set[Named] = {(kind, name)}
    size = 0
    while len(gone) > size:
        size = len(gone)
        for each in FIELDS:
            for part in parts(design, each):
                if _falls(design, part, gone):
                    gone.add((each, name_of(part)))
    return gone


def _falls(design: Design, part: Part, gone: set[Named]) -> bool:
    match part:
        case Link():
            left = _shrunk(part, gone).points
            return part.name != FRAME and len(left) < min(2, len(part.points))
        case Point():
            carriers = design.links_at(part.name)
            return bool(carriers) and all(("link", link) in gone for link in carriers)
        case _:
            return not gone.isdisjoint(references(part))


def without(design: Design, gone: set[Named]) -> Design:
    """The design without those parts; links lose the points that are gone."""
    for kind in FIELDS:
        stay = (part for part in parts(design, kind) if (kind, name_of(part)) not in gone)
        design = with_parts(design, kind, tuple(_shrunk(part, gone) for part in stay))
    known = {*names(design, "point"), *names(design, "link")}
    outputs = tuple(name for name in design.outputs if name in known)
    return own_kept(replace(design, outputs=outputs))


def _shrunk(part: AnyPart, gone: set[Named]) -> AnyPart:
    """A link without the points that are gone; any other part as it is."""
    if isinstance(part, Link):
        return replace(part, points=tuple(p for p in part.points if ("point", p) not in gone))
    return part
