"""What is told of a torsion spring's coils and legs, and remarked where they do not fit."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from solver.analysis import analyse
from solver.model import OwnTolerance, Tolerances
from solver.project import Display
from solver.torsion_data import (
    held_rows,
    order_words,
    straight_text,
    torsion_remarks,
    torsion_rows,
)
from solver.torsion_shape import fitting_coils
from tests.solver.test_torsion_shape import SPRING, lever

METRIC = Display()
TWISTS = np.array([-20.0, -45.0, -10.0])


def told(**changes: object) -> tuple[str, ...]:
    spring = replace(SPRING, **changes)  # type: ignore[arg-type]
    return tuple(torsion_remarks(lever(spring), spring, TWISTS, METRIC))


def test_rows_say_how_it_is_coiled_and_held() -> None:
    spring = replace(SPRING, leg_length=60.0)
    rows = dict(torsion_rows(lever(spring), spring, TWISTS, [METRIC]))
    assert rows == {
        "Coiled": "left-hand, leg A lowest",
        "Legs": "straight, tangential",
        "Free angle, straight legs": "66.6° ±5°",  # 90° less asin(9 / 40) and asin(9 / 50)
        "Legs from the axis at least": "A 44.0 mm, B 54.0 mm",
        "Legs from the axis, as bought": "60.0 mm",
        "Wound up at most": "45.0°",
        "Inside diameter, wound up": "⌀9.64 mm",  # 12 · 4 / 4.125 - 2
        "Room along the pin, wound up": "11.0 mm",
        "Coils for its free angle": "4.31",
    }
    assert dict(held_rows(lever(spring), spring)) == {
        "Lies on pin": "o, above lever",
        "Leg A lies against pin": "left, above frame",
        "Leg B lies against pin": "right, above lever",
    }
    unknown = replace(spring, wire=None, leg_length=None)
    left_out = rows.keys() - dict(torsion_rows(lever(unknown), unknown, TWISTS, [METRIC])).keys()
    assert left_out == {
        "Legs from the axis, as bought",
        "Inside diameter, wound up",
        "Room along the pin, wound up",
        "Coils for its free angle",
    }


def test_the_angle_between_the_legs_has_its_tolerance() -> None:
    design = lever(SPRING)
    assert order_words(design, SPRING) == (
        "left-hand coiled",
        "free angle between the straight legs 66.6° ±5°",
    )
    own = Tolerances(own=(OwnTolerance("springs.coil.free_angle", 2.5),))
    assert straight_text(replace(design, tolerances=own), SPRING) == "66.6° ±2.5°"
    exact = replace(design, tolerances=Tolerances(free_angle=0.0))
    assert straight_text(exact, SPRING) == "66.6°"


def test_lengths_are_told_in_both_units() -> None:
    rows = dict(torsion_rows(lever(SPRING), SPRING, TWISTS, [METRIC, Display("inch")]))
    assert rows["Legs from the axis at least"] == "A 44.0 mm [1.732 in], B 54.0 mm [2.126 in]"


def test_coils_that_do_not_fit_the_free_angle_are_told() -> None:
    fits = fitting_coils(lever(SPRING), SPRING)
    for off in (0.09, -0.09, 2.0):
        assert told(coils=fits + off) == ()
    for off in (0.11, -0.11):
        (sentence,) = told(coils=fits + off)
        assert sentence == (
            f"Spring “coil”: with {fits + off:.2f} coils its legs do not stand at the free angle "
            f"of 90.0°, from the axis to “left” and “right”: that takes {fits:.2f} coils, or any "
            "whole number of coils more."
        ).replace("4.20", "4.2")
    assert told(coils=4.0, wire=None) == ()


@pytest.mark.parametrize(
    ("length", "short"), [(54.0, ()), (53.9, ("right",)), (43.0, ("left", "right"))]
)
def test_legs_that_do_not_reach_are_told(length: float, short: tuple[str, ...]) -> None:
    sentences = told(coils=4.31, leg_length=length)
    assert len(sentences) == len(short)
    for name, sentence in zip(short, sentences, strict=True):
        assert f"its legs of {length:.1f} mm do not reach over the pin “{name}”" in sentence


def test_turning_against_the_winding_is_told() -> None:
    spring = replace(SPRING, acts="both", free_angle=-60.0, coils=4.5)
    design = lever(spring)
    spring = replace(spring, coils=fitting_coils(design, spring))
    assert tuple(torsion_remarks(design, spring, TWISTS, METRIC)) == ()
    (sentence,) = torsion_remarks(design, spring, np.array([-20.0, 15.0]), METRIC)
    assert "turned against its winding by up to 15.0°" in sentence


def test_the_verdict_has_these_remarks_under_it() -> None:
    spring = replace(SPRING, free_angle=-30.0, leg_length=10.0, coils=4.5)
    notes = analyse(lever(spring)).notes
    assert sum("do not reach over the pin" in note for note in notes) == 2
    assert any("its legs do not stand at the free angle" in note for note in notes)
