"""Laws that every linkage obeys, on designs that nobody picked."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solver.analysis import analyse
from solver.batch import read_batch
from solver.errors import DesignProblem
from solver.model import Design, Stops, TorsionSpring
from solver.motion import CHUNK
from solver.plan import compile_design
from solver.rebase import rebase
from tests.solver.comparing import Taken, decided, differences, taken
from tests.solver.linkages import frictionless, linkages, motion_of
from tests.solver.reshaping import factor, mirrored, moved, scaled

SOME = settings(max_examples=50)
FEW = settings(max_examples=25)
ROUNDING = 1e-9
"""Share of a quantity's scale that two orders of the same sums may differ by."""


def lets_go(design: Design) -> bool:
    """Whether a spring lets go anywhere in the throw."""
    motion = motion_of(design, 361)
    onsets = [run.onset for run in motion.springs if run.onset is not None]
    return any(bool(np.any(on > 0.0) and np.any(on <= 0.0)) for on in onsets)


@SOME
@given(linkages(), st.floats(0.05, 0.95))
def test_torque_is_minus_the_slope_of_the_energy(design: Design, share: float) -> None:
    throw = math.radians(abs(design.stops.rest_b - design.stops.rest_a))
    step = 2e-3 / throw
    motion = motion_of(design, [share + k * step for k in (-2, -1, 0, 1, 2)])
    for run in motion.springs:
        if run.onset is not None:
            assume(np.all(run.onset > 0.0) or np.all(run.onset <= 0.0))
    v = motion.energy[0]
    slope = (v[0] - 8.0 * v[1] + 8.0 * v[3] - v[4]) / (12.0 * 2e-3)
    # Off by (2 mrad)⁴/30 of a fifth derivative, which `STEEP` keeps below 1e5 of the torque,
    # and by rounding: 1e-16 of the energy over 2 mrad.
    loads = max(float(np.max(load)) for load in motion.loads)
    scale = abs(float(motion.torque[0, 2])) + loads * 100.0
    assert abs(-slope - motion.torque[0, 2]) < 1e-7 * scale + 1e-12 * np.max(np.abs(v)) + 1e-9


@SOME
@given(linkages())
def test_the_work_of_the_hand_is_the_gain_in_energy(design: Design) -> None:
    assume(not lets_go(design))
    # Gauss-Legendre with 24 nodes in each of 8 parts integrates these smooth curves to rounding,
    # also where a spring passes close by a pivot.
    nodes, weights = np.polynomial.legendre.leggauss(24)
    parts = (np.arange(8)[:, None] + 0.5 + 0.5 * nodes) / 8.0
    motion = motion_of(design, [0.0, *parts.ravel(), 1.0])
    throw = motion.travel[0, -1]
    # Without friction the effort times the arm is minus the torque.
    work = -throw / 16.0 * float(np.sum(motion.torque[0, 1:-1].reshape(8, 24) @ weights))
    gain = float(motion.energy[0, -1] - motion.energy[0, 0])
    scale = float(np.max(np.abs(motion.energy)) + np.max(np.abs(motion.torque)))
    assert abs(work - gain) < 1e-8 * scale + 1e-9


# Without plates: the chords that stand for their round ends are not quite their own mirror image.
@SOME
@given(linkages(plates=False))
def test_a_mirror_image_reads_the_same(design: Design) -> None:
    one, other = taken(design), taken(mirrored(design))
    assume(decided(one))
    # A twist is counted counter-clockwise, so its least and its greatest change places.
    coils = [spring.name for spring in design.springs if isinstance(spring, TorsionSpring)]
    least, most = "spring_shortest:", "spring_longest:"
    names = {a + coil: b + coil for coil in coils for a, b in ((least, most), (most, least))}
    assert not differences(
        one, other, ROUNDING, renamed=names, shifted=lambda key, v: -v if key in names else v
    )


@SOME
@given(linkages(), st.floats(-180.0, 180.0), st.complex_numbers(max_magnitude=500.0))
def test_a_turned_and_shifted_design_reads_the_same(
    design: Design, degrees: float, shift: complex
) -> None:
    one, other = taken(design), taken(moved(design, degrees, shift))
    assume(decided(one))
    assert not differences(one, other, ROUNDING)


@SOME
@given(linkages(plates=False), st.floats(0.2, 8.0), st.floats(0.1, 10.0))
def test_readings_scale_with_lengths_and_forces(design: Design, size: float, force: float) -> None:
    one, other = taken(design), taken(scaled(design, size, force))
    assume(decided(one))
    assert not differences(one, other, ROUNDING, lambda q, key: factor(q, key, size, force))


def exchanged(key: str) -> str:
    """The reading of the other rest, or of the other way."""
    for a, b in (("_from_a", "_from_b"), ("_to_a", "_to_b")):
        for here, there in ((a, b), (b, a)):
            if key.endswith(here):
                return key.removesuffix(here) + there
    name, colon, part = key.partition(":")
    for here, there in (("_a", "_b"), ("_b", "_a")):
        if name.endswith(here):
            return name.removesuffix(here) + there + colon + part
    return key


@SOME
@given(linkages())
def test_rests_exchanged_exchange_the_readings(design: Design) -> None:
    one = taken(design)
    assume(decided(one))
    swapped = replace(design, stops=Stops(design.stops.rest_b, design.stops.rest_a))
    throw = one.values["throw"]
    travels = ("dead_centre", "commit_from_a", "commit_from_b")

    def from_the_other_rest(key: str, value: float) -> float:
        return throw - value if key in travels else value

    names = {key: exchanged(key) for key in one.kinds}
    assert names["holding_force_a"] == "holding_force_b"
    assert not differences(
        one, taken(swapped), ROUNDING, renamed=names, shifted=from_the_other_rest
    )


@SOME
@given(linkages(), st.floats(0.0, 1.0))
def test_another_drawn_pose_reads_the_same(design: Design, share: float) -> None:
    one = taken(design)
    assume(decided(one))
    stops = design.stops
    drawn = rebase(design, stops.rest_a + share * (stops.rest_b - stops.rest_a))
    assert not differences(one, taken(drawn), ROUNDING)
    assert drawn.stops == stops


@SOME
@given(linkages(), st.floats(0.0, 1.0))
def test_rebasing_there_and_back_is_no_change(design: Design, share: float) -> None:
    grip, pivot = design.point(design.grip), design.point(design.lever_pivot())
    here = math.degrees(math.atan2(grip.y - pivot.y, grip.x - pivot.x))
    there = design.stops.rest_a + share * (design.stops.rest_b - design.stops.rest_a)
    back = rebase(rebase(design, there), here)
    for before, after in zip(design.points, back.points, strict=True):
        assert math.dist((before.x, before.y), (after.x, after.y)) < 1e-9


@FEW
@given(linkages(), st.integers(2, 5), st.integers(0, 2**32 - 1))
def test_a_batch_reads_as_its_designs_do_one_by_one(design: Design, count: int, seed: int) -> None:
    plan = compile_design(design)
    rng = np.random.default_rng(seed)
    values = np.repeat(plan.parameters(design)[None], count, axis=0)
    values[:, plan.xs] += rng.uniform(-0.2, 0.2, (count, plan.xs.size))
    together = read_batch(plan, values)
    for i in range(count):
        alone = read_batch(plan, values[i])
        for key in together.values:
            np.testing.assert_allclose(
                together.values[key][i], alone.values[key][0], rtol=1e-11, atol=1e-9, err_msg=key
            )


@FEW
@given(linkages(), st.integers(0, 3))
def test_one_bad_design_leaves_the_others_alone(design: Design, bad: int) -> None:
    plan = compile_design(design)
    good = plan.parameters(design)
    values = np.repeat(good[None], 4, axis=0)
    # One design is not a number, one is torn apart.
    values[bad, plan.xs[0]] = np.nan
    values[(bad + 1) % 4, plan.xs] *= np.linspace(1.0, 1e6, plan.xs.size)
    together, alone = read_batch(plan, values), read_batch(plan, good)
    for key, column in together.values.items():
        assert math.isnan(column[bad]), key
        for i in ((bad + 2) % 4, (bad + 3) % 4):
            assert np.array_equal(column[i], alone.values[key][0], equal_nan=True), key


@FEW
@given(linkages())
def test_chunks_do_not_show(design: Design) -> None:
    plan = compile_design(design)
    good = plan.parameters(design)
    positions = 91
    count = 2 * (CHUNK // positions) + 3
    values = np.repeat(good[None], count, axis=0)
    together, alone = read_batch(plan, values, positions), read_batch(plan, good, positions)
    for key, column in together.values.items():
        np.testing.assert_allclose(column, alone.values[key][0], rtol=1e-11, atol=1e-9, err_msg=key)


def edges_of(fine: Taken) -> list[int]:
    """The positions after which friction begins, or ceases, to hold the lever."""
    motion = fine.motion
    held = np.abs(motion.torque[0]) <= motion.friction[0]
    return np.flatnonzero(np.diff(held)).tolist()


def narrowest_piece(fine: Taken) -> int:
    """The positions in the narrowest part of the throw that is held, or not held, by friction."""
    count = fine.motion.travel.shape[1]
    return int(np.diff([0, *(edge + 1 for edge in edges_of(fine)), count]).min())


def off_by_corners(fine: Taken, step: int) -> float:
    """What corners of the friction may put the hang zone off by, rad.

    Where a link or a slider turns back, friction is like |x|. On a cubic through four positions,
    `step` fine ones apart, with a corner among them a zero is off by less than 0.3 J of their
    distance if the slope changes by J < 0.5 of what it is at the zero (tried for all places of
    zero and corner); for more the zero only stays between its two positions. A spring's let-go is
    no such corner: positions are put on either side of it.
    """
    motion = fine.motion
    travel, friction = motion.travel[0], motion.friction[0]
    apart = step * float(travel[-1]) / (travel.size - 1)
    gone = [run.onset[0] > 0.0 for run in motion.springs if run.onset is not None]
    total = 0.0
    for edge in edges_of(fine):
        low, high = max(edge - 2 * step, 0), min(edge + 2 * step + 1, travel.size - 1)
        for let_go in gone:
            others = np.flatnonzero(let_go[low : high + 1] != let_go[edge]) + low
            low = max([low, *(others[others < edge] + 1).tolist()])
            high = min([high, *(others[others > edge] - 1).tolist()])
        width = np.diff(travel[low : high + 1])
        bends = np.ptp(np.diff(friction[low : high + 1]) / width) if width.size else 0.0
        drive = np.abs(motion.torque[0]) - friction
        slope = abs(drive[edge + 1] - drive[edge]) / (travel[edge + 1] - travel[edge])
        total += apart * (0.3 * bends / slope if bends < 0.5 * slope else 1.0)
    return float(total)


def resolved(fine: Taken, step: int) -> bool:
    """Whether no spring's ends pass so close that it swings round between two positions.

    Its length is then like a hypotenuse, √(a² + x²): with a below five steps' way of the end
    (h = a/5) the cubic, off by 3/128 h⁴ of its fourth derivative 3/a³, loses 1e-4 of a.
    """
    apart = step * float(fine.motion.travel[0, -1]) / (fine.motion.travel.shape[1] - 1)
    return all(
        bool(np.all(run.length > 5.0 * apart * np.max(np.abs(run.slope))))
        for run in fine.motion.springs
        if run.turning is not None
    )


@SOME
@given(linkages())
def test_more_positions_give_the_same_readings(design: Design) -> None:
    fine = taken(design, 721)
    assume(decided(fine))
    # The error of refined readings falls with h³ or better; that of a hang zone's edges with h²
    # where a reaction passes near zero, and beside a corner of friction with h.
    for positions, tolerance, kinked in ((181, 2e-5, 2e-4), (91, 1e-4, 8e-4)):
        step = 720 // (positions - 1)
        if narrowest_piece(fine) < step:
            continue  # a hang zone, or the gap beside one, may slip between two positions
        if not resolved(fine, step):
            continue
        other = taken(design, positions)
        off = off_by_corners(fine, step)
        arm = float(fine.motion.arm[0, 0])
        corners = max(math.degrees(off) / fine.scales["angle"], off * arm / fine.scales["length"])
        assert not differences(fine, other, kinked + corners)
        wrong = differences(fine, other, tolerance)
        assert not [said for said in wrong if not said.startswith(("hang", "commit"))]


@SOME
@given(linkages(), st.data())
def test_readings_are_continuous(design: Design, data: st.DataObject) -> None:
    one = taken(design)
    assume(decided(one))
    name = data.draw(st.sampled_from([point.name for point in design.points]))
    x, y = data.draw(st.sampled_from([(1e-6, 0.0), (0.0, 1e-6), (-1e-6, 1e-6)]))
    points = tuple(replace(p, x=p.x + x, y=p.y + y) if p.name == name else p for p in design.points)
    # A millionth of a millimetre may turn a link by some 1e-6/15 rad, and `STEEP` lets that grow.
    assert not differences(one, taken(replace(design, points=points)), 3e-6)


@FEW
@given(linkages())
def test_without_friction_no_hang_zone_is_left(design: Design) -> None:
    bare = frictionless(design)
    one = taken(bare)
    assume(decided(one))
    assert one.values["hang_zone"] < 1e-7
    for rest in "ab":
        hold, seat = (one.values[f"{kind}_force_{rest}"] for kind in ("holding", "seating"))
        assert hold == seat


@SOME
@given(linkages())
def test_an_analysis_agrees_with_itself(design: Design) -> None:
    try:
        result = analyse(design, positions=181)
    except DesignProblem as problem:  # only a limit on a reading it has not may be refused
        raise AssertionError(str(problem)) from problem
    assert result.travel[0] == 0.0
    assert result.energy.min() == 0.0
    arm_times_hand = (result.effort_to_b - result.effort_to_a) * 0.5
    np.testing.assert_allclose(
        arm_times_hand * result.grip_travel[-1] / math.radians(result.throw), -result.torque,
        atol=1e-9 * (1.0 + np.max(np.abs(result.torque))),
    )  # fmt: skip
    widths = sum(zone.end - zone.start for zone in result.hang_zones)
    assert abs(widths - result.readings["hang_zone"].value) < 1e-6
    for reading in result.readings.values():
        assert reading.where is None or 0.0 <= reading.where <= result.throw + 1e-9, reading.key
    assert result.verdict.endswith(".")
    assert result.good <= all(limit.holds for limit in result.limits)
