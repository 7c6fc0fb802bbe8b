"""What is told of a spring's wire: the steel that fits its rate, and its stress."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.analysis import analyse
from solver.wire_data import stress, stresses, wire_words
from tests.solver.test_spring_data import PULL, PUSH
from tests.solver.test_torsion_shape import SPRING, lever

# R = 206 000 · 2⁴ / (3667 · (12 · 4 + 90 / 3π)) = 15.62 N·mm/°, 14.02 of stainless.
STIFF = replace(SPRING, rate=15.6, most_twist=100.0)


@pytest.mark.parametrize(
    ("rate", "words"),
    [
        (15.6, "spring steel EN 10270-1"),
        (14.1, "spring steel EN 10270-1"),
        (13.9, "stainless EN 10270-3"),
        (12.0, ""),
        (18.0, ""),
    ],
)
def test_the_steel_is_the_one_that_fits_the_rate(rate: float, words: str) -> None:
    spring = replace(STIFF, rate=rate)
    assert wire_words(lever(spring), spring) == words


def test_no_steel_and_no_stress_where_sizes_are_not_known() -> None:
    for field in ("wire", "outside_diameter"):
        spring = replace(STIFF, **{field: None})  # type: ignore[arg-type]
        assert wire_words(lever(spring), spring) == ""
        assert stress(spring, 100.0) is None


def test_stress_is_told_over_the_throw_and_at_the_end_of_the_springs_travel() -> None:
    """32 · 1560 / (π · 8) = 1986.3; the throw winds it up by less."""
    design = lever(STIFF)
    told = dict(stresses(STIFF, analyse(design).springs[0]))
    assert told["Bending stress, greatest twist"] == pytest.approx(1986.3, abs=0.05)
    worst = max(abs(analyse(design).springs[0].force))
    assert told["Bending stress in the throw"] == pytest.approx(1986.3 * worst / 1560.0, rel=1e-4)
    free = replace(STIFF, most_twist=None)
    assert list(dict(stresses(free, analyse(lever(free)).springs[0]))) == [
        "Bending stress in the throw"
    ]


def test_straight_springs_are_sheared() -> None:
    """8 · 10.8 · 165.6 / (π · 1.2³) = 2635.6; PUSH at 11 mm bears 2.4 · 69 = 165.6 N."""
    assert stress(PUSH, 165.6) == pytest.approx(2635.6, abs=0.1)
    work = analyse(lever(SPRING)).springs[0]
    assert dict(stresses(PUSH, work))["Shear stress closed solid"] == pytest.approx(2635.6, abs=0.1)
    long = replace(PULL, longest=100.0)  # 6 + 0.75 · 39.6 = 35.7 N
    assert dict(stresses(long, work))["Shear stress, longest allowed"] == pytest.approx(
        8.0 * 10.7 * 35.7 / (3.141592653589793 * 1.3**3), rel=1e-12
    )
    assert list(dict(stresses(PULL, work))) == ["Shear stress in the throw"]
