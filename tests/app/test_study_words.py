"""Shares, limits and effects in words."""

import pytest

from app.study_words import change, counted
from solver.project import Display
from solver.units import Quantity


@pytest.mark.parametrize(
    ("value", "quantity", "said"),
    [
        (0.004, "force", "0.00 N"),
        (-0.004, "force", "0.00 N"),
        (0.0, "angle", "0.00°"),
        (0.2, "force", "+0.20 N"),
        (-12.0, "force", "−12.0 N"),
    ],
)
def test_a_change_has_a_sign_unless_it_rounds_to_nothing(
    value: float, quantity: Quantity, said: str
) -> None:
    assert change(value, quantity, Display()) == said


@pytest.mark.parametrize(
    ("number", "said"),
    [(0, "0 designs"), (1, "1 design"), (2, "2 designs"), (12_000, "12 000 designs")],
)
def test_one_is_counted_in_the_singular(number: int, said: str) -> None:
    assert counted(number, "design") == said
