"""What is said of copies of which the holes alone are off."""

from dataclasses import replace

import pytest

from app.tolerance_words import holes_alone
from app.variants.copies_words import tolerances
from solver.hole_tolerances import hole_tolerances, holes_only
from solver.layouts import LAYOUTS
from solver.model import Design, OwnTolerance, Tolerances
from solver.plan import compile_design
from solver.project import Display
from solver.spreadable import spreadables

BARE = LAYOUTS[0].build()
ANCHOR = OwnTolerance("points.spring anchor", 0.05)
FOOT = OwnTolerance("holes.lever.lever foot", 0.1)
RATE = OwnTolerance("springs.main spring.rate", 0.2)
REST = OwnTolerance("stops.rest_a", 0.2)


def tolerating(given: Tolerances) -> Design:
    return replace(BARE, tolerances=given)


@pytest.mark.parametrize("spread", ["normal", "uniform"])
def test_holes_stay_as_they_are_and_nothing_else_is_off(spread: str) -> None:
    given = Tolerances(hole=0.4, own=(RATE, ANCHOR, REST, FOOT), spread=spread)  # type: ignore[arg-type]
    before, after = tolerating(given), tolerating(holes_only(given))
    assert list(hole_tolerances(after)) == list(hole_tolerances(before))
    items = spreadables(after, compile_design(after, holes=True))
    assert items
    assert {item.number.partition(".")[0] for item in items} == {"holes"}
    kept = list(spreadables(before, compile_design(before, holes=True)))
    assert list(items) == [item for item in kept if item.number.startswith("holes.")]
    assert after.tolerances.own == (ANCHOR, FOOT)
    assert after.tolerances.spread == spread
    assert holes_only(after.tolerances) == after.tolerances


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (holes_only(Tolerances()), "holes ±0.3 mm, everything else exact"),
        (
            holes_only(Tolerances(hole_class="medium")),
            "holes ISO 2768-1 medium, everything else exact",
        ),
        (
            holes_only(Tolerances(own=(ANCHOR, RATE))),
            "holes ±0.3 mm, own tolerances of 1, everything else exact",
        ),
        (holes_only(Tolerances(hole=0.0)), ""),
        (Tolerances(), ""),
        (replace(holes_only(Tolerances()), stop=0.1), ""),
    ],
)
def test_words_are_there_where_holes_alone_are_off(given: Tolerances, told: str) -> None:
    assert holes_alone(tolerating(given), Display()) == told
    side_by_side = tolerances(tolerating(given), Display()).replace("\N{NO-BREAK SPACE}", " ")
    assert side_by_side == told or not told
    assert ("rate ±" in side_by_side) == (not told)


def test_inches_are_said_in_inches() -> None:
    design = tolerating(holes_only(Tolerances(hole=0.254)))
    assert holes_alone(design, Display("inch")) == "holes ±0.01 in, everything else exact"
