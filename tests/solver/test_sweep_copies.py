"""The share of copies over a range is that of a study of each value alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from solver.analysis import analyse
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import Limit
from solver.number_names import with_number
from solver.spread import spread
from solver.sweep_copies import HOLD_ALL, sweep_copies

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


@pytest.mark.parametrize(
    ("key", "number", "values"),
    [
        ("compression", "springs.main spring.rate", np.linspace(2.0, 3.2, 5)),
        ("compression", "points.spring anchor.y", np.linspace(-95.0, -89.0, 4)),
        ("rocker", "stops.rest_a", np.linspace(108.0, 116.0, 4)),
        ("knee", "points.slot end.y", np.linspace(-4.0, 4.0, 3)),
    ],
)
def test_every_share_is_that_of_its_own_copies(key: str, number: str, values: np.ndarray) -> None:
    design = LAYOUT[key]()
    held = analyse(design).readings["holding_force"].value
    design = replace(design, limits=(Limit("holding_force", at_least=0.98 * held),))
    found = sweep_copies(design, number, values, copies=256, positions=91)
    shares = [
        100.0 * spread(with_number(design, number, float(value)), 256, 91).all_limits.share
        for value in values
    ]
    np.testing.assert_allclose(found.readings[HOLD_ALL.key], shares)
    assert len(set(shares)) > 1


def test_what_cannot_be_swept_says_why() -> None:
    design = LAYOUT["compression"]()
    with pytest.raises(DesignProblem, match="rate"):
        sweep_copies(design, "springs.main spring.rate", np.array([-1.0, 2.0]))
    with pytest.raises(DesignProblem, match="add one"):
        sweep_copies(replace(design, limits=()), "springs.main spring.rate", np.array([2.0]))
