"""Room to limits and conditions: the same judgement as the analysis, for whole batches."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings

from solver.analysis import analyse
from solver.batch import read_batch
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.margins import Demands, demands, margins, scales
from solver.model import Design, Limit, Torque, Weight
from solver.plan import compile_design
from tests.solver.strategies import designs

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def room(design: Design, positions: int = 721) -> tuple[Demands, np.ndarray]:
    wanted = demands(design)
    plan = compile_design(design)
    return wanted, wanted.margins(read_batch(plan, plan.parameters(design), positions).values)[0]


@pytest.mark.parametrize("key", ["compression", "extension", "rocker", "knee", "blank"])
def test_a_layout_is_good_where_all_margins_are(key: str) -> None:
    design = LAYOUT[key]()
    assert (room(design)[1] >= 0.0).all() == analyse(design).good


@settings(max_examples=150, deadline=None)
@given(designs())
def test_all_margins_hold_exactly_where_the_analysis_is_good(design: Design) -> None:
    design = replace(design, limits=(Limit("peak_effort", at_most=40.0),))
    try:
        result = analyse(design)
    except DesignProblem:
        assume(False)
    found = room(design)[1]
    assume(np.abs(found).min() > 1e-7)  # on the very edge either answer is right
    assert (found >= 0.0).all() == result.good, result.verdict


@settings(max_examples=150, deadline=None)
@given(designs())
def test_the_way_is_clear_where_there_is_one_hang_zone_around_dead_centre(design: Design) -> None:
    try:
        result = analyse(design)
    except DesignProblem:
        assume(False)
    clear = room(design)[1][demands(design).labels.index(
        "One dead centre, no place to stay in between")]  # fmt: skip
    assume(abs(clear) > 1e-6)
    kinds = [zone.kind for zone in result.hang_zones]
    assert (clear > 0.0) == (kinds == ["dead centre"])


def test_margins_are_in_the_base_unit_of_the_reading() -> None:
    values = {"throw": np.array([40.0, 55.0, math.nan]), "barrier": np.array([90.0, 100.0, 1.0])}
    limits = (Limit("throw", at_least=45.0, at_most=60.0), Limit("barrier", at_most=95.0))
    np.testing.assert_allclose(margins(limits, values), [[-5.0, 5.0], [5.0, -5.0], [-np.inf, 94.0]])


def test_a_margin_is_ranked_by_the_size_of_its_bound() -> None:
    design = LAYOUT["compression"]()
    limits = (
        Limit("holding_force", at_least=4.0),
        Limit("throw", at_least=45.0, at_most=60.0),
        Limit("slack_margin", at_least=0.0),
    )
    np.testing.assert_allclose(scales(limits, design), [4.0, 60.0, 1.0])


def test_the_clear_way_changes_smoothly_as_a_valley_opens() -> None:
    # A steady torque towards A grows until it makes a place to stay on B's side.
    design = LAYOUT["compression"]()
    found = []
    for torque in np.linspace(0.0, 900.0, 61):
        loaded = replace(design, loads=(Torque("load", "lever", float(torque)),), limits=())
        found.append(room(loaded, 181)[1][2])
    steps = np.abs(np.diff(found))
    assert found[0] > 0.0 > found[-1]
    assert steps.max() < 0.1 * np.ptp(found)


def test_a_limit_of_its_own_on_the_hang_zone_takes_the_place_of_the_share() -> None:
    design = replace(LAYOUT["compression"](), limits=())
    share = "Hang zone at most 5 % of the throw"
    assert share in demands(design).labels
    own = replace(design, limits=(Limit("hang_zone_mm", at_most=8.0),))
    assert share not in demands(own).labels
    assert demands(own).labels[0] == "Hang zone at the grip"
    assert demands(own).own == 1


def test_a_linkage_that_locks_fails_everything() -> None:
    design = LAYOUT["rocker"]()
    design = replace(design, weights=(Weight("flap", "flap edge", 0.4),))
    plan = compile_design(design)
    vector = plan.parameters(design)
    vector[plan.column("points.rocker pivot.x")] += 400.0
    assert np.isneginf(demands(design).margins(read_batch(plan, vector).values)).all()


def test_a_limit_on_a_reading_that_is_not_there_is_refused() -> None:
    design = replace(LAYOUT["compression"](), limits=(Limit("output_turn:rod", at_least=1.0),))
    with pytest.raises(DesignProblem, match="does not have"):
        demands(design)
