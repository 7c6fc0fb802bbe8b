"""What lies in both bands of the effort, and what colour it has."""

import numpy as np

from app.curves.ribbons import effort_ribbons
from app.theme import LIGHT
from solver.bands import Bands
from solver.project import Display


def test_what_lies_in_both_bands_of_the_effort_is_a_band_of_its_own() -> None:
    travel = np.linspace(0.0, 40.0, 5)
    to_b = np.array([[1.0] * 5, [2.0] * 5, [3.0] * 5])
    to_a = np.array([[0.0, 1.5, 2.5, 3.5, 5.0], [1.0] * 5, [0.5, 2.0, 4.0, 4.5, 6.0]])
    first, second, both = effort_ribbons(Bands(travel, to_b, to_b, to_a), Display(), LIGHT)
    # Between the higher of the lows and the lower of the highs, where there is anything.
    assert both.low.tolist() == [1.0, 1.5, 2.5, 3.5, 5.0]
    assert both.high.tolist() == [1.0, 2.0, 3.0, 3.5, 5.0]
    assert both.colour not in (first.colour, second.colour)
    assert all(ribbon.colour.alpha() == 255 for ribbon in (first, second, both))
