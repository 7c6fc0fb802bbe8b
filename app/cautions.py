"""What to mind with a sprung lever: said in the window, on sheets and in reports. Needs no Qt.

Each caution has its sentence for a report, and a shorter one for the sheet on the bench.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.project import Display
from solver.safe_gaps import FINGER, HAND
from solver.units import show_each


@dataclass(frozen=True, slots=True)
class Caution:
    """One thing to mind, at both lengths; {finger} and {hand} stand for the gaps they need."""

    full: str
    short: str


_CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "Wear eye protection when you fit, preload or remove a spring; hold both its ends.",
        "Stored spring energy: wear eye protection when fitting or taking out springs, and load "
        "them last, with the lever held.",
    ),
    Caution(
        "Keep fingers and hands out of the throw: past dead centre the lever goes by itself, "
        "and where links close on each other they pinch or cut.",
        "Pinch points: keep fingers out of the throw; the lever lands sharply on its stops.",
    ),
    Caution(
        "By ISO 13854 leave gaps that a finger ({finger}) or a hand ({hand}) cannot be caught in, "
        "or close them with a guard.",
        "Check gaps against ISO 13854 (finger {finger}, hand {hand}) over the whole throw.",
    ),
    Caution(
        "Secure the lever before you work on the machine; take the spring out if you can.",
        "Secure the lever before you work on the machine.",
    ),
    Caution(
        "Try a prototype slowly and with a weaker spring first, and look at pins and "
        "fastenings again after some hundred throws.",
        "Try a prototype slowly first, and look at pins and fastenings again after some hundred "
        "throws.",
    ),
    Caution(
        "Throwover is an aid to design. It computes rigid links, dry pins and ideal springs; wear, "
        "impact, clearance and weak material are not in it. Test what you build. Where people can "
        "be hurt, follow your local codes and have the work done or checked by someone licensed "
        "for it.",
        "This sheet is a design aid: follow local codes and licensed practice where people can be "
        "hurt.",
    ),
)


def cautions(displays: Sequence[Display] = (Display(),)) -> tuple[str, ...]:
    """Every caution in full, the last one on what the program is."""
    return tuple(_said(caution.full, displays) for caution in _CAUTIONS)


def short_cautions(displays: Sequence[Display] = (Display(),)) -> tuple[str, ...]:
    """The same as a sheet has them."""
    return tuple(_said(caution.short, displays) for caution in _CAUTIONS)


def _said(sentence: str, displays: Sequence[Display]) -> str:
    return sentence.format(
        finger=show_each(FINGER, "length", displays), hand=show_each(HAND, "length", displays)
    )
