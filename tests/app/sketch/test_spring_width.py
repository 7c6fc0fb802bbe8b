"""Springs on the sheet are as wide as they are."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.sketch.hits import REACH
from app.sketch.springs import coil_radius
from solver.layers import coil_width
from solver.model import CompressionSpring, ExtensionSpring, Spring, TorsionSpring

PUSH = CompressionSpring("push", "a", "b", 2.4, 80.0, 11.0)
PULL = ExtensionSpring("pull", "a", "b", 0.75, 60.0)
TWIST = TorsionSpring("twist", "o", "a", "b", 16.0, 110.0)
SIZE, CLOSE, FAR = 250.0, 3.0, 0.2
"""mm; pixels per mm near by and from afar."""


@pytest.mark.parametrize("spring", [PUSH, PULL, TWIST], ids=lambda spring: spring.name)
def test_a_known_outside_diameter_is_drawn(spring: Spring) -> None:
    known = replace(spring, outside_diameter=11.0)
    assert coil_radius(known, SIZE, CLOSE) == 5.5
    assert coil_radius(known, 4.0 * SIZE, CLOSE) == 5.5


@pytest.mark.parametrize("spring", [PUSH, PULL], ids=lambda spring: spring.name)
def test_else_the_width_is_the_one_that_gaps_are_looked_for_with(spring: Spring) -> None:
    assert coil_radius(spring, SIZE, CLOSE) == pytest.approx(coil_width(spring) / 2.0)


def test_a_torsion_spring_without_a_diameter_follows_the_linkage() -> None:
    assert coil_radius(TWIST, SIZE, CLOSE) == pytest.approx(12.5)


@pytest.mark.parametrize("spring", [PUSH, PULL, TWIST], ids=lambda spring: spring.name)
def test_from_afar_it_is_still_wide_enough_to_be_seen(spring: Spring) -> None:
    for each in (spring, replace(spring, outside_diameter=6.0)):
        assert coil_radius(each, 50.0, FAR) * FAR >= 4.5


def test_a_small_torsion_spring_can_still_be_taken_beside_its_pivot() -> None:
    assert coil_radius(replace(TWIST, outside_diameter=6.0), 50.0, FAR) * FAR > REACH + 4.0
