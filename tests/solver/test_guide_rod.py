"""What is told of the guide rod in a compression spring."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.guide_rod import greatest_diameter, rod_remarks, rod_rows, rod_words
from solver.model import CompressionSpring, GuideRod
from solver.project import Display

METRIC = Display()
PUSH = CompressionSpring(
    *("main", "a", "b", 4.0, 82.0, 23.0),
    fittings=6.0,
    rod=GuideRod(54.0, 90.0),
    end_pin_diameter=5.0,
    wire=2.0,
    outside_diameter=18.0,
    coils=11.5,
)


@pytest.mark.parametrize(
    ("wire", "outside", "most"),
    [(2.0, 18.0, 13.0), (1.0, 8.0, 5.5), (1.0, 42.0, 38.0), (1.0, 2.9, None), (None, 18.0, None)],
)
def test_a_rod_has_play_in_the_coils(
    wire: float | None, outside: float, most: float | None
) -> None:
    """A twentieth of the inside diameter, half a millimetre at least, and down to a half."""
    spring = replace(PUSH, wire=wire, outside_diameter=outside)
    assert greatest_diameter(spring) == most


def test_all_that_a_rod_has_to_be_is_told() -> None:
    assert dict(rod_rows(PUSH, [METRIC])) == {
        "Telescopic guide rod at most": "⌀13 mm, 1 mm play",
        "Guide rod closed, pin to pin": "54 mm",
        "Guide rod out at, pin to pin": "90 mm",
        "Spring seats at least": "⌀18 mm",
        "Spring seats": "6 mm off the pins in all",
        "Eyes of the rod, for pins": "⌀5 mm",
    }
    assert rod_words(PUSH, [METRIC]) == (
        "telescopic, in main, rod and tube ⌀13 mm at most (1 mm play), pin to pin 54 mm closed, "
        "out of its guide at 90 mm, spring seats ⌀18 mm or more 6 mm off the pins in all, "
        "eyes for pins ⌀5 mm"
    )
    bare = replace(PUSH, wire=None, outside_diameter=None, fittings=0.0, end_pin_diameter=0.0)
    assert rod_words(bare, [METRIC]) == (
        "telescopic, in main, pin to pin 54 mm closed, out of its guide at 90 mm, spring seats "
        "at the pins' centres"
    )
    assert list(rod_rows(replace(PUSH, rod=None), [METRIC])) == []
    assert rod_words(replace(PUSH, rod=None), [METRIC]) == ""


def test_a_rod_that_comes_out_under_force_is_told_with_what_is_left() -> None:
    assert list(rod_remarks(PUSH, METRIC)) == []
    for reach in (88.0, 87.99):  # the free spring is 82 + 6 mm pin to pin
        assert list(rod_remarks(replace(PUSH, rod=GuideRod(54.0, reach)), METRIC)) == []
    (told,) = rod_remarks(replace(PUSH, rod=GuideRod(54.0, 85.0)), METRIC)
    assert told == (
        "Spring “main” still pushes with 12.0 N where its guide rod comes out, 85.0 mm pin to "
        "pin: it flies apart when a pin is drawn. Let the rod reach 88.0 mm or more."
    )
    assert list(rod_remarks(replace(PUSH, rod=None), METRIC)) == []
