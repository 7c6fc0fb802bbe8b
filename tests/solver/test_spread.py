import itertools
import pickle
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver import edit
from solver.analysis import analyse
from solver.bands import BandRecorder
from solver.batch import read_batch
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import Design, Limit, Tolerances
from solver.motion import Evaluator, evaluate
from solver.number_names import with_number
from solver.plan import compile_design
from solver.quantiles import Share, deviations, quantiles
from solver.sampling import Copier, variates
from solver.spread import Spread, spread
from tests.solver.linkages import linkages
from tests.solver.test_sampling import LAYOUT, allowing

KEYS = [layout.key for layout in LAYOUTS]


def lever() -> Design:
    return LAYOUT["compression"]()


def slack_lever() -> Design:
    """The lever with a spring so short that it lets go within the throw."""
    return with_number(lever(), "springs.main spring.free_length", 63.0)


def near_lock() -> Design:
    """Lever, rod and rocker with a rest so near the lock that some copies do not get there."""
    design = edit.move_point(LAYOUT["rocker"](), "rod end", 0.0, 70.0)
    for rest in np.arange(120.0, 240.0, 0.5):
        try:
            analyse(edit.set_stops(design, rest_a=rest))
        except DesignProblem:
            return edit.set_stops(design, rest_a=rest - 0.7)
    raise AssertionError("this rocker does not lock")


# ---- the nominal design, and copies one by one ---------------------------------------------


@pytest.mark.parametrize("key", KEYS)
def test_the_nominal_copy_reads_as_the_analysis_does(key: str) -> None:
    design = LAYOUT[key]()
    found, single = spread(design, 16), analyse(design, positions=181)
    for name, reading in single.readings.items():
        assert found.readings[name].nominal == pytest.approx(reading.value, rel=1e-9, nan_ok=True)


def test_every_copy_is_judged_as_the_analysis_judges_it() -> None:
    own = (("springs.main spring.rate", 1.6), ("springs.main spring.free_length", 15.0))
    design = allowing(lever(), *own)
    found = spread(design, 64)
    off = variates(2, 64)
    singles = []
    for rate, length in off:
        copy = with_number(design, "springs.main spring.rate", 2.4 + 1.6 * rate)
        copy = with_number(copy, "springs.main spring.free_length", 82.0 + 15.0 * length)
        singles.append(analyse(copy, positions=181))
    for place, limit in enumerate(found.limits):
        assert limit.holds.count == sum(single.limits[place].holds for single in singles)
        values = [single.readings[limit.limit.reading].value for single in singles]
        read = found.readings[limit.limit.reading]
        assert (read.least, read.most) == pytest.approx((min(values), max(values)), rel=1e-9)
        assert read.middle == pytest.approx(float(np.median(values)), rel=1e-9)
    assert found.good.count == sum(single.good for single in singles)
    assert 0 < found.good.count < 64
    whole = sum(all(limit.holds for limit in single.limits) for single in singles)
    assert found.all_limits.count == whole


def test_a_seed_gives_the_same_copies_and_another_others() -> None:
    first, again, other = (spread(lever(), 200, seed=seed) for seed in (3, 3, 4))
    assert first.readings == again.readings
    assert first.limits == again.limits
    assert np.array_equal(first.bands.energy, again.bands.energy)
    assert first.readings != other.readings


def test_a_result_goes_to_another_process_and_back() -> None:
    found = spread(lever(), 100)
    back = pickle.loads(pickle.dumps(found))
    assert isinstance(back, Spread)
    assert back.contributions("holding_force") == found.contributions("holding_force")
    assert back.limits == found.limits


def test_without_tolerances_all_copies_are_the_design() -> None:
    found = spread(allowing(lever()), 20)
    assert found.notes == ("Every tolerance is zero, so all copies are alike.",)
    read = found.readings["holding_force"]
    assert read.least == read.most == pytest.approx(read.nominal, rel=1e-12)
    assert found.all_limits.share == found.good.share == 1.0
    assert found.contributions("holding_force") == ()
    assert found.limits[0].worst == pytest.approx(read.nominal, rel=1e-12)


def test_a_limit_on_a_reading_that_is_not_there() -> None:
    design = replace(lever(), limits=(Limit("slack_margin:gone", 1.0),))
    with pytest.raises(DesignProblem, match="does not have"):
        spread(design, 10)


# ---- copies that lock --------------------------------------------------------------------


def test_copies_that_lock_fail_and_are_told() -> None:
    found = spread(near_lock(), 300)
    assert 0 < found.locked < 300
    assert found.notes == (f"{found.locked} of 300 copies lock before reaching both rests.",)
    assert found.readings["throw"].missing == found.locked
    for limit in (*found.limits, *found.conditions):
        assert limit.holds.count <= 300 - found.locked
    assert found.all_limits.count <= 300 - found.locked
    assert not any(limit.worst_holds for limit in found.limits)
    assert np.isfinite(found.bands.effort_to_b).all()


def test_copies_that_lock_hold_nothing_even_without_limits() -> None:
    found = spread(replace(near_lock(), limits=()), 300)
    assert found.limits == ()
    assert found.all_limits.count == 300 - found.locked


# ---- bands ---------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["compression", "rocker"])
def test_bands_are_the_quantiles_of_the_curves_of_all_copies(key: str) -> None:
    design = LAYOUT[key]()
    bands = spread(design, 50, positions=31).bands
    plan = compile_design(design, holes=True)
    copier = Copier.of(design, plan)
    motion = evaluate(plan, copier.copies(variates(len(copier.items), 50)), 31)
    energy = motion.energy - motion.energy.min(axis=1, keepdims=True)
    effort = (motion.friction_thrown - motion.torque) / motion.arm
    back = (motion.friction_thrown + motion.torque) / motion.arm
    curves = ((bands.energy, energy), (bands.effort_to_b, effort), (bands.effort_to_a, back))
    for band, each in curves:
        assert band.shape == (3, 31)
        expected = np.quantile(each, (0.05, 0.5, 0.95), axis=0)
        # Single precision.
        np.testing.assert_allclose(band, expected, rtol=1e-5, atol=1e-5 * np.abs(each).max())
    throw = abs(design.stops.rest_b - design.stops.rest_a)
    np.testing.assert_allclose(bands.travel, np.linspace(0.0, throw, 31), atol=1e-9)


def test_bands_of_springs_that_let_go_are_on_even_positions_too() -> None:
    design = allowing(slack_lever())
    plan = compile_design(design)
    motion = evaluate(plan, plan.parameters(design), 181)
    assert np.ptp(np.diff(motion.travel[0])) > 1e-4, "positions were moved to the let-go"
    recorder = BandRecorder(1, 181)
    recorder.take(slice(0, 1), motion)
    band = recorder.bands(48.0)
    even = Evaluator.of(plan).run(plan.parameters(design)[None], np.linspace(0, 1, 181)[None])
    expected = (even.friction_thrown[0] - even.torque[0]) / even.arm[0]
    # Straight lines between positions 0.27° apart.
    np.testing.assert_allclose(band.effort_to_b[1], expected, atol=2e-3 * np.abs(expected).max())


def test_no_sound_copy_leaves_no_band() -> None:
    design = edit.set_stops(near_lock(), rest_a=near_lock().stops.rest_a + 20.0)
    found = spread(design, 12)
    assert found.locked == 12
    assert np.isnan(found.bands.energy).all()
    assert found.good.count == found.all_limits.count == 0
    assert np.isnan(found.readings["holding_force"].middle)


# ---- where the spread comes from, and the worst case ----------------------------------------


def test_contributions_are_ranked_and_complete() -> None:
    found = spread(lever(), 1000)
    for key in found.readings:
        ranked = found.contributions(key)
        shares = [each.share for each in ranked]
        assert shares == sorted(shares, reverse=True)
        whole = sum(shares) + found.remainder(key)
        assert whole == pytest.approx(1.0, abs=1e-9) or whole == 0.0, key
    assert found.contributions("holding_force")[0].label == "rate of main spring"
    assert found.contributions("hang_zone_mm")[0].label == "friction"
    assert found.limits[0].offenders == found.contributions("holding_force")[:3]


def test_a_hole_that_favours_one_rest_is_blamed_for_the_weaker_one() -> None:
    # The lever is its own mirror image: sideways errors raise one rest's force by what they take
    # from the other's, so that no straight line through the lesser of both sees them.
    design = allowing(lever(), ("holes.frame.spring anchor", 0.5), ("holes.lever.lever foot", 0.25))
    sideways = edit.set_stops(design, 110.0, 70.0)
    ranked = spread(sideways, 1000).contributions("holding_force_a")
    weaker = spread(sideways, 1000).contributions("holding_force")
    for each, other in zip(weaker, ranked, strict=True):
        assert each.label == other.label
        assert each.share == pytest.approx(other.share, abs=0.02)


@pytest.mark.parametrize("key", ["compression", "extension", "rocker", "knee"])
def test_the_worst_case_is_no_better_than_any_copy_within_the_tolerances(key: str) -> None:
    design = LAYOUT[key]()
    design = replace(design, tolerances=Tolerances(spread="uniform"))
    found = spread(design, 1000)
    for limit in (*found.limits, *found.conditions):
        read = found.readings[limit.limit.reading]
        if limit.limit.at_most is None:
            assert limit.worst <= read.least + 1e-9
        else:
            assert limit.worst >= read.most - 1e-9
        if limit.worst_holds:
            assert limit.holds.share == 1.0


def test_the_worst_case_is_that_of_all_corners() -> None:
    found = spread(lever(), 500, positions=31)
    plan = compile_design(lever(), holes=True)
    copier = Copier.of(lever(), plan)
    every = np.array(list(itertools.product((-1.0, 1.0), repeat=len(copier.items))))
    read = read_batch(plan, copier.copies(every), 31).values
    for limit in (*found.limits, *found.conditions):
        values = read[limit.limit.reading]
        worst = values.min() if limit.limit.at_most is None else values.max()
        way = abs(worst - found.readings[limit.limit.reading].nominal)
        # Straight lines may take the wrong end of a tolerance that hardly matters; how clear the
        # way is changes by steps that they know less of.
        share = 0.05 if limit.limit.reading == "clear_way" else 3e-3
        assert limit.worst == pytest.approx(worst, abs=share * way), limit.label


def test_a_limit_with_two_bounds_fails_at_the_nearer_one() -> None:
    design = replace(
        allowing(lever(), ("springs.main spring.free_length", 2.0)),
        limits=(Limit("slack_margin", at_least=15.0, at_most=22.0),),
    )
    (limit,) = spread(design, 200).limits
    # 17.9 mm as drawn: 2 mm less leaves 0.9 mm of room, 2 mm more leaves 2.1 mm.
    assert limit.worst == pytest.approx(15.8982, abs=1e-3)
    assert limit.worst_holds


@settings(max_examples=15, deadline=None)
@given(linkages(), st.sampled_from((0.3, 30.0)))
def test_any_linkage_can_be_studied(design: Design, hole: float) -> None:
    # Holes 30 mm off take most linkages to their locks and beyond, where forces have no bound.
    found = spread(edit.set_tolerances(design, Tolerances(hole=hole)), 40, positions=31)
    assert found.copies == found.good.of == 40
    for read in found.readings.values():
        if read.missing < 40:
            assert read.least <= read.low <= read.middle <= read.high <= read.most


# ---- quantiles and shares --------------------------------------------------------------------


def test_quantiles_and_deviations_count_no_gaps() -> None:
    rows = np.random.default_rng(2).normal(size=(6, 40))
    rows[1, 3:20] = np.nan
    rows[2, :39] = np.nan
    rows[3] = np.nan
    rows[4, :5] = np.inf
    found = quantiles(rows, (0.0, 0.05, 0.5, 1.0))
    sound = [0, 1, 2, 5]
    expected = np.nanquantile(rows[sound], (0.0, 0.05, 0.5, 1.0), axis=1)
    np.testing.assert_allclose(found[:, sound], expected, rtol=1e-12)
    assert deviations(rows)[sound] == pytest.approx(np.nanstd(rows[sound], axis=1), rel=1e-12)
    assert np.isnan(deviations(rows)[[3, 4]]).all()
    assert np.isnan(found[:, 3]).all()
    assert found[3, 4] == np.inf
    assert found[2, 4] == np.sort(rows[4])[19:21].mean()


def test_wilson_intervals() -> None:
    # Closed forms: none of 10 -> z²/(10 + z²); 5 of 10 -> ½ ± z·√(10/4 + z²/4)/(10 + z²).
    none, half, every = (Share.counted(count, 10) for count in (0, 5, 10))
    assert (none.low, none.high) == pytest.approx((0.0, 0.277533), abs=1e-6)
    assert (half.low, half.high) == pytest.approx((0.236593, 0.763407), abs=1e-6)
    assert (every.low, every.high) == pytest.approx((0.722467, 1.0), abs=1e-6)
    assert half.share == 0.5
    assert Share.counted(0, 0).high == 1.0
