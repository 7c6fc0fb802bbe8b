import numpy as np
import pytest
from hypothesis import given, settings

from solver.analysis import analyse
from solver.checks import problems
from solver.model import Design
from tests.solver.strategies import designs


@given(designs())
def test_sound_designs_pass_the_static_checks(design: Design) -> None:
    assert problems(design) == ()


@settings(max_examples=30)
@given(designs())
def test_sound_designs_reach_both_rests(design: Design) -> None:
    result = analyse(design, positions=31)
    assert result.throw == pytest.approx(abs(design.stops.rest_b - design.stops.rest_a))
    assert np.isfinite(result.energy).all()
