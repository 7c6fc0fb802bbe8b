"""Edits of a project's variants: pure functions from a project to the project after the edit.

What cannot be done raises DesignProblem with a sentence. An index that points at no variant
raises IndexError. Names are unique, so that a variant can be asked for by its name.
"""

from __future__ import annotations

from dataclasses import replace

from solver.errors import DesignProblem
from solver.model import Design, Tolerances
from solver.own_tolerances import own_kept, tolerable
from solver.project import Project, Variant

LONGEST_NAME = 80


def names(project: Project) -> tuple[str, ...]:
    """The variants' names in order."""
    return tuple(variant.name for variant in project.variants)


def find(project: Project, name: str) -> int:
    """The index of the variant of that name; DesignProblem, listing the names, if none has it."""
    known = names(project)
    if name not in known:
        listed = ", ".join(f"“{each}”" for each in known)
        raise DesignProblem(f"There is no variant “{name}”; there is {listed}.", name)
    return known.index(name)


def unique_name(project: Project, wish: str) -> str:
    """`wish` if no variant has that name yet, else `wish` with the next free number."""
    taken = set(names(project))
    stem = " ".join(wish.split())[:LONGEST_NAME] or "variant"
    if stem not in taken:
        return stem
    head, _, tail = stem.rpartition(" ")
    stem = head if head and tail.isdecimal() else stem
    number = 2
    while f"{stem} {number}" in taken:
        number += 1
    return f"{stem} {number}"


def add(
    project: Project, design: Design, name: str, note: str = "", *, work_on: bool = True
) -> Project:
    """Put a design beside the current variant, right after it; with `work_on` go on in it.

    A name that is taken gets a number.
    """
    fresh = Variant(unique_name(project, name), design, note)
    at = project.current + 1
    variants = (*project.variants[:at], fresh, *project.variants[at:])
    return replace(project, variants=variants, current=at if work_on else project.current)


def keep(project: Project, index: int | None = None) -> Project:
    """Set a copy of a variant (None: the current one) aside, right after it; go on as before."""
    at = project.current if index is None else index
    copied = _at(project, at)
    fresh = replace(copied, name=unique_name(project, copied.name))
    variants = (*project.variants[: at + 1], fresh, *project.variants[at + 1 :])
    current = project.current + (project.current > at)
    return replace(project, variants=variants, current=current)


def branch(project: Project, index: int | None = None) -> Project:
    """As `keep`, but go on in the copy: the variant that was copied stays as it is."""
    at = project.current if index is None else index
    return replace(keep(project, at), current=at + 1)


def switch(project: Project, index: int) -> Project:
    """Go on in another variant."""
    _at(project, index)
    return replace(project, current=index)


def rename(project: Project, index: int, name: str) -> Project:
    """Give a variant another name; DesignProblem where it is empty, too long or taken."""
    variant, wish = _at(project, index), " ".join(name.split())
    if wish == variant.name:
        return project
    if not wish:
        raise DesignProblem("A variant needs a name: type one.", variant.name)
    if len(wish) > LONGEST_NAME:
        raise DesignProblem(
            f"That name is too long for a variant: use up to {LONGEST_NAME} characters.",
            variant.name,
        )
    if wish in names(project):
        raise DesignProblem(f"There is a variant “{wish}” already: choose another name.", wish)
    return _with(project, index, replace(variant, name=wish))


def annotate(project: Project, index: int, note: str) -> Project:
    """Give a variant another note."""
    return _with(project, index, replace(_at(project, index), note=note.strip()))


def move(project: Project, index: int, to: int) -> Project:
    """Move a variant to another place in the order; the same one stays the current one."""
    moved = _at(project, index)
    rest = [*project.variants[:index], *project.variants[index + 1 :]]
    to = min(max(to, 0), len(rest))
    rest.insert(to, moved)
    order = [*range(index), *range(index + 1, len(project.variants))]
    order.insert(to, index)
    return replace(project, variants=tuple(rest), current=order.index(project.current))


def remove(project: Project, index: int) -> Project:
    """Take a variant out; of the current one the next takes the place, of the last the one before.

    DesignProblem for the only one.
    """
    gone = _at(project, index)
    if len(project.variants) == 1:
        raise DesignProblem(
            "A project needs one variant: this is the only one, so it stays.", gone.name
        )
    variants = (*project.variants[:index], *project.variants[index + 1 :])
    current = project.current - (project.current > index)
    return replace(project, variants=variants, current=min(current, len(variants) - 1))


def tolerate_alike(project: Project) -> Project:
    """Give the current variant's tolerances to all others.

    Own tolerances go along as far as the others have the numbers; those of numbers that only
    another variant has stay there, for the current one says nothing of them.
    """
    given, known = project.design.tolerances, set(tolerable(project.design))
    variants = tuple(_tolerating(variant, given, known) for variant in project.variants)
    return replace(project, variants=variants)


def _tolerating(variant: Variant, given: Tolerances, known: set[str]) -> Variant:
    design = variant.design
    apart = (own for own in design.tolerances.own if own.number not in known)
    wanted = replace(given, own=(*given.own, *apart))
    return replace(variant, design=own_kept(replace(design, tolerances=wanted)))


def _at(project: Project, index: int) -> Variant:
    if not 0 <= index < len(project.variants):
        raise IndexError(index)
    return project.variants[index]


def _with(project: Project, index: int, variant: Variant) -> Project:
    before, after = project.variants[:index], project.variants[index + 1 :]
    return replace(project, variants=(*before, variant, *after))
