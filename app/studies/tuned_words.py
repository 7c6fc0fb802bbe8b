"""What a tuning found, in words: for the dialog, the variant's note, the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app import study_words as words
from solver import units
from solver.changes import changes
from solver.model import Design
from solver.project import Display
from solver.readings import catalogue

if TYPE_CHECKING:
    from app.background.tuned import Tuned
    from solver.tuning_goal import Room, Wish
    from solver.tuning_search import Progress

_LEAST_CHANGE = "Least change found"
_CHANGES = 8
"""Changes told in a note."""


def reached(tuned: Tuned, wish: Wish) -> bool:
    """Whether all that was asked for holds, in as many of the copies drawn as were wanted."""
    enough = wish.share is None or tuned.held_after.share >= wish.share
    return tuned.tuning.holds and enough


def outcome(tuned: Tuned, wish: Wish) -> str:
    """Whether all limits hold, or which are in conflict; and whether it was ended early."""
    tuning = tuned.tuning
    stopped = f"Stopped early, {tried(tuned)}. " if tuning.cancelled else ""
    if unchanged(tuned):
        stopped += "The same as now: nothing better was found. "
    if tuning.holds and not reached(tuned, wish):
        asked, found = words.percent(wish.share or 0.0), words.percent(tuned.held_after.share)
        if asked == found:
            found = "a little less"
        return f"{stopped}All limits hold as drawn, but in {found} of copies only, not in {asked}."
    if tuning.holds:
        return f"{stopped}All limits hold."
    if not tuning.conflict:
        return f"{stopped}This is the nearest; it is not a good throw-over lever yet."
    listed = " and ".join(f"“{label}”" for label in tuning.conflict)
    if len(tuning.conflict) > 1:
        why = f"In each other's way: {listed}."
    else:
        why = f"{listed} cannot be met with what may change."
    return f"{stopped}Nothing holds all limits; this is the nearest. {why}"


def edges(tuned: Tuned, wish: Wish) -> str:
    """What lies at an end of its range, where more of it may help; "" where nothing does."""
    found = tuned.tuning.edges
    if not found or unchanged(tuned) or (wish.aim == "near" and reached(tuned, wish)):
        return ""
    return f"At the end of what it may: {', '.join(found)}. A wider range may help."


def tried(tuned: Tuned) -> str:
    """How many designs were tried."""
    return f"{words.counted(tuned.tuning.evaluations, 'design')} tried"


def unchanged(tuned: Tuned) -> bool:
    """Whether the answer is the design that the search began with."""
    return tuned.tuning.design == tuned.start


def copies(tuned: Tuned, wish: Wish) -> str:
    """How many copies hold, before and after, and how sure that is."""
    before, after = (words.percent(each.share) for each in (tuned.held_before, tuned.held_after))
    sure = words.interval(tuned.held_after)
    told = f"Copies that hold all limits: {after} (before: {before}; 95 % sure: {sure})."
    if wish.share is not None and tuned.held_after.low < wish.share <= tuned.held_after.share:
        asked = words.percent(wish.share)
        told += f" Of all copies that can be made it may also be a little under {asked}."
    return told


def room(each: Room, design: Design, display: Display) -> str:
    """The room to one limit in its unit; of a condition, whether it holds."""
    kinds = {kind.key: kind for kind in catalogue(design)}
    kind = kinds.get(each.limit.reading)
    if kind is None or not words.bound(each.limit, kind.quantity, display):
        return "holds" if each.holds else "fails"
    size = units.show(
        abs(each.room), "angle" if kind.quantity == "direction" else kind.quantity, display
    )
    return f"{size} to spare" if each.holds else f"fails by {size}"


def bounded(each: Room, design: Design, display: Display) -> str:
    """A limit's label with what it asks for."""
    kinds = {kind.key: kind for kind in catalogue(design)}
    kind = kinds.get(each.limit.reading)
    wanted = words.bound(each.limit, kind.quantity, display) if kind is not None else ""
    return f"{each.label}, {wanted}" if wanted else each.label


def wished(wish: Wish, value: float | None, design: Design, display: Display) -> str:
    """What the wish was and what came of it; "" where there is no value."""
    if value is None:
        return ""
    if wish.aim == "robust":
        times = f"{abs(value):.1f} times what the tolerances take of it"
        does = f"lacks {times}" if value < 0.0 else f"has room for {times}"
        return f"The tightest limit {does} (1 is three standard deviations)."
    if wish.aim == "near":
        return "Nothing needs to be changed." if value == 0.0 else f"{_LEAST_CHANGE}:"
    kind = next(kind for kind in catalogue(design) if kind.key == wish.reading)
    return f"{kind.label}: {units.show(value, kind.quantity, display)}."


def changed(tuned: Tuned, display: Display) -> tuple[str, ...]:
    """What is different, one short sentence each."""
    return changes(tuned.start, tuned.tuning.design, display)


def best_so_far(start: Design, wish: Wish, progress: Progress, display: Display) -> str:
    """What a search that goes on has found, with what is different."""
    holds = "All limits hold." if progress.holds else "Not all limits hold yet."
    told = changes(start, progress.design, display)
    found = wished(wish, progress.value, progress.design, display)
    if found.endswith(":") and not told:
        told = ("Less than is shown.",)
    return "\n".join([f"Best so far: {holds} {found}", *(f"– {each}" for each in told)])


def note(tuned: Tuned, wish: Wish, name: str, display: Display) -> str:
    """The note of the variant that a tuning is kept as: whole sentences, no list."""
    lines = [f"Tuned from “{name}”. {outcome(tuned, wish)}", copies(tuned, wish)]
    told = changed(tuned, display)
    more = f" And {len(told) - _CHANGES} more." if len(told) > _CHANGES else ""
    head = _LEAST_CHANGE if wish.aim == "near" else "Changed"
    if wish.aim != "near":
        lines.append(wished(wish, tuned.tuning.value, tuned.tuning.design, display))
    if told:
        lines.append(f"{head}: {' '.join(told[:_CHANGES])}{more}")
    return "\n".join(line for line in lines if line)
