"""What is told of the guide rod in a compression spring."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.analysis import analyse
from solver.guide_rod import end_remarks, greatest_diameter, rod_remarks, rod_rows, rod_words
from solver.layouts import LAYOUTS
from solver.model import CompressionSpring, Design, ExtensionSpring, GuideRod, Pivot, TorsionSpring
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


def hung(**changes: object) -> tuple[Design, CompressionSpring]:
    """The spring on the rocker's lever, from its anchor to the pin of 5 mm at the rod's end."""
    design = next(layout for layout in LAYOUTS if layout.key == "rocker").build()
    spring = replace(PUSH, a="spring anchor", b="rod end", **changes)  # type: ignore[arg-type]
    pivots = tuple(pivot for pivot in design.pivots if pivot.point != "rod end")
    pivots = (*pivots, Pivot("rod end", 5.0))
    return replace(design, springs=(spring,), pivots=pivots, limits=()), spring


def test_a_rod_that_comes_out_under_force_is_told_with_what_is_left() -> None:
    assert list(rod_remarks(*hung(), METRIC)) == []
    for reach in (88.0, 87.99):  # the free spring is 82 + 6 mm pin to pin
        assert list(rod_remarks(*hung(rod=GuideRod(54.0, reach)), METRIC)) == []
    (told,) = rod_remarks(*hung(rod=GuideRod(54.0, 85.0)), METRIC)
    assert told == (
        "Spring “main” still pushes with 12.0 N where its guide rod comes out, 85.0 mm pin to "
        "pin: it flies apart when a pin is drawn. Let the rod reach 88.0 mm or more."
    )
    assert list(rod_remarks(*hung(rod=None), METRIC)) == []


@pytest.mark.parametrize(("fittings", "told"), [(5.0, False), (4.9, True), (0.0, True)])
def test_seats_lie_clear_of_the_pins_at_the_ends(fittings: float, told: bool) -> None:
    """Pins of 5 mm at both ends take half of that each."""
    design, spring = hung(fittings=fittings)
    remarks = [
        f"The seats of spring “main” on its guide rod lie where the pins at its ends run through, "
        f"{fittings:.1f} mm off their centres in all: make its end fittings 5.0 mm or more."
    ]
    assert list(rod_remarks(design, spring, METRIC)) == remarks * told
    assert [note for note in analyse(design).notes if "seats" in note] == remarks * told


def test_an_end_without_a_pin_takes_nothing_of_the_seats() -> None:
    """The rod's end keeps its joint's pin; the anchor has none."""
    assert list(rod_remarks(*hung(end_pin_diameter=0.0, fittings=2.5), METRIC)) == []
    assert len(list(rod_remarks(*hung(end_pin_diameter=0.0, fittings=2.4), METRIC))) == 1


def test_a_springs_ends_fit_the_pins_that_they_hang_on() -> None:
    assert list(end_remarks(*hung(), METRIC)) == []
    assert list(end_remarks(*hung(end_pin_diameter=0.0), METRIC)) == []
    for own in (4.0, 6.0):
        design, spring = hung(end_pin_diameter=own)
        told = (
            f"The ends of spring “main” are for pins of {own:.1f} mm, and the pin “rod end” that "
            "one hangs on has 5.0 mm: give both the same diameter."
        )
        assert list(end_remarks(design, spring, METRIC)) == [told]
        assert told in analyse(design).notes


def test_two_springs_on_one_pin_have_like_ends() -> None:
    design, spring = hung()
    pull = ExtensionSpring("pull", "lever foot", "spring anchor", 1.0, 30.0, end_pin_diameter=4.0)
    both = replace(design, springs=(spring, pull))
    (told,) = end_remarks(both, pull, METRIC)
    assert "“pull”" in told
    assert "the pin “spring anchor”" in told
    assert list(end_remarks(both, spring, METRIC)) == []
    coil = TorsionSpring("coil", "lever pivot", "spring anchor", "rod end", 20.0, 90.0)
    assert list(end_remarks(both, coil, METRIC)) == []
