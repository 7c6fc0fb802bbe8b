"""Edits that several views offer, with their words for the undo menu."""

from collections.abc import Iterable

from app.session import Ref, Session, exists
from solver import edit
from solver.errors import DesignProblem, ThrowoverError
from solver.model import Design, Screw

Change = tuple[Design, str]
"""The design after an edit, and what was done, for the undo menu."""


def rename(session: Session, ref: Ref, name: str) -> None:
    """Rename a part; it stays selected.

    DesignProblem where it cannot have the name; ValueError for a rest, which has none of its own.
    """
    if ref.kind == "rest":
        raise ValueError("a rest has no name of its own")
    name = name.strip()
    design = edit.rename(session.document.design, ref.kind, ref.name, name)
    renamed = Ref(ref.kind, name)
    selection = [renamed if each == ref else each for each in session.selection]
    session.document.apply(design, f"Rename {ref.name} to {name}")
    session.select(*selection)


def remove(session: Session, refs: Iterable[Ref]) -> None:
    """Remove parts; what cannot go stays, and the session's message says why."""
    design = session.document.design
    removed: list[str] = []
    refusal = ""
    for ref in refs:
        if ref.kind == "rest":
            refusal = refusal or f"Rest {ref.name} is a stop of the lever and cannot be removed."
        elif exists(design, ref):  # it may have gone with one before it
            try:
                design = edit.remove(design, ref.kind, ref.name)
            except ThrowoverError as problem:
                refusal = refusal or str(problem)
            else:
                removed.append(ref.name)
    if removed:
        what = removed[0] if len(removed) == 1 else f"{len(removed)} parts"
        session.document.apply(design, f"Remove {what}")
    if refusal:
        session.message.emit(refusal)


def grips(design: Design, link: str) -> tuple[str, ...]:
    """The points of a link that the hand could push: those that the frame does not hold."""
    held = design.links[0].points
    return tuple(point for point in design.link(link).points if point not in held)


def lever_made(design: Design, link: str) -> Change:
    """The change that makes a link the lever, gripped at its point farthest from the frame."""
    held = [name for name in design.link(link).points if name in design.links[0].points]
    free = grips(design, link)
    if not held or not free:
        raise DesignProblem(
            f"Link “{link}” must share one point with the frame and have another to be the lever.",
            link,
        )
    grip = max(free, key=lambda name: edit.distance(design, held[0], name))
    return edit.set_lever(design, link, grip), f"Make {link} the lever"


def marked(design: Design, name: str, output: bool) -> Change:
    """The change that has a point's travel or a link's turning read, or no longer."""
    if output:
        return edit.mark_output(design, name), f"Mark {name} as output"
    return edit.remove(design, "output", name), f"Stop reading {name} as output"


def gripped(design: Design, point: str) -> Change:
    """The change that puts the grip of the lever at another of its points."""
    return edit.set_lever(design, design.lever, point), f"Make {point} the grip"


def screwed(design: Design, point: str, through: bool) -> Change:
    """The change that puts a screw of the usual thread through a point, or takes it out."""
    if through:
        return edit.set_screw(design, Screw(point)), f"Put a screw through {point}"
    return edit.drop_screw(design, point), f"Take the screw out of {point}"


def joinable(design: Design, point: str) -> tuple[str, ...]:
    """The points that can become one with a point: those on none of its links."""
    bound = {each for link in design.links_at(point) for each in design.link(link).points}
    return tuple(each.name for each in design.points if each.name not in bound)


def joined(design: Design, keep: str, drop: str) -> Change:
    """The change that makes one pivot of two points."""
    return edit.join(design, keep, drop), f"Join {keep} with {drop}"


def linked(design: Design, points: tuple[str, ...]) -> Change:
    """The change that puts a new link through points."""
    return edit.add_link(design, points), f"Link {' and '.join(points)}"
