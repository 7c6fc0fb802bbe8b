from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from solver.analysis import analyse
from solver.batch import read_batch
from solver.layouts import LAYOUTS
from solver.model import CompressionSpring, Design, ExtensionSpring, Limit, TorsionSpring
from solver.motion import evaluate
from solver.plan import compile_design
from solver.readings import catalogue, measure
from tests.outside.sketches import lever, polar
from tests.solver.reshaping import moved

LAYOUT = {layout.key: layout.build() for layout in LAYOUTS}


@pytest.mark.parametrize("key", sorted(LAYOUT))
def test_the_catalogue_is_what_is_measured(key: str) -> None:
    design = LAYOUT[key]
    plan = compile_design(design)
    found = measure(evaluate(plan, plan.parameters(design), 91))
    kinds = catalogue(design)
    assert len({kind.key for kind in kinds}) == len(kinds)
    assert {kind.key for kind in kinds} <= set(found.values)
    assert set(found.where) <= set(found.values)
    result = analyse(design)
    assert list(result.readings) == [kind.key for kind in kinds]
    for name, reading in result.readings.items():
        assert reading.value == pytest.approx(
            found.values[name][0], rel=1e-3, abs=1e-3, nan_ok=True
        )


@pytest.mark.parametrize("key", ["compression", "extension"])
def test_what_both_rests_share_is_said_of_the_first(key: str) -> None:
    """Turning and shifting a symmetric design has rounding part what is the same at both rests."""
    ends = "spring_longest" if key == "compression" else "spring_shortest"
    shared = ("slack_margin", "slack_margin:main spring", f"{ends}:main spring")
    for degrees in range(0, 360, 17):
        design = moved(replace(LAYOUT[key], plates=()), degrees, 0.1 * degrees + 31.7j)
        still = replace(design.gravity, strength=0.0)
        result = analyse(replace(design, gravity=still, weights=()))
        first = result.readings["peak_effort_to_b"].where
        assert result.readings["peak_effort"].where == first
        assert [result.readings[name].where for name in shared] == [0.0] * 3
        assert [spring.slack_at for spring in result.springs] == [0.0]


@pytest.mark.parametrize("key", sorted(LAYOUT))
def test_every_extreme_is_that_of_its_own_curve(key: str) -> None:
    # Off the middle, so that there and back differ.
    stops = LAYOUT[key].stops
    design = replace(LAYOUT[key], stops=replace(stops, rest_a=0.9 * stops.rest_a))
    result = analyse(design)
    motion = evaluate(compile_design(design), result.parameters, 721)
    curves = {"peak_effort_to_b": result.effort_to_b, "peak_effort_to_a": result.effort_to_a}
    for spring in result.springs:
        curves[f"spring_longest:{spring.name}"] = spring.length
        curves[f"spring_shortest:{spring.name}"] = -spring.length
        curves[f"spring_force:{spring.name}"] = np.abs(spring.force)
    for point, load in zip(motion.pins, motion.loads, strict=True):
        name = f"pin_load:{design.points[point].name}"
        curves[name] = np.maximum(curves.get(name, 0.0), load[0])
    assert curves["peak_effort_to_b"].max() != pytest.approx(curves["peak_effort_to_a"].max())
    for name, curve in curves.items():
        reading = result.readings[name]
        value = -reading.value if name.startswith("spring_shortest") else reading.value
        # The top lies between two of 721 samples, and where the greatest of them is next to it.
        assert value == pytest.approx(curve.max(), rel=1e-5, abs=1e-6), name
        assert reading.where == pytest.approx(
            result.travel[np.argmax(curve)], abs=result.throw / 720.0 + 1e-9
        ), name


def swept(
    design: Design, parameter: str, by: float, positions: int
) -> dict[str, NDArray[np.float64]]:
    """All readings while one parameter grows in 2000 steps."""
    plan = compile_design(design)
    values = np.repeat(plan.parameters(design)[None], 2001, axis=0)
    values[:, plan.column(parameter)] += np.linspace(0.0, by, 2001)
    return read_batch(plan, values, positions).values


def with_free_length(key: str, length: float) -> Design:
    design = LAYOUT[key]
    (spring,) = design.springs
    assert not isinstance(spring, TorsionSpring)
    spring = replace(spring, free_length=length)
    if isinstance(spring, ExtensionSpring):
        spring = replace(spring, longest=None)
    return replace(design, springs=(spring,), limits=())


FREE = "springs.main spring.free_length"
SWEEPS = [
    pytest.param(with_free_length("compression", 63.2), FREE, 0.6, id="compression lets go"),
    pytest.param(with_free_length("extension", 100.0), FREE, 3.0, id="extension lets go"),
    pytest.param(with_free_length("extension", 107.0), FREE, 2.0, id="extension hardly pulls"),
    pytest.param(LAYOUT["compression"], "points.lever foot.x", 2.0, id="foot"),
    pytest.param(LAYOUT["knee"], "points.knee.y", 1.0, id="knee"),
    pytest.param(LAYOUT["rocker"], "points.rod end.x", 1.0, id="rod end"),
]


@pytest.mark.parametrize("positions", [91, 181])
@pytest.mark.parametrize(("design", "parameter", "by"), SWEEPS)
def test_readings_glide_with_the_geometry(
    design: Design, parameter: str, by: float, positions: int
) -> None:
    # Steps of 0.3 to 1.5 µm. Where the samples' choice showed, a reading would jump by a share
    # of some 1e-5; what is left is the difference of two fourth-order refinements.
    for key, values in swept(design, parameter, by, positions).items():
        scale = np.nanmax(np.abs(values), initial=1e-6)
        jerks = np.abs(np.diff(values, 2)) / scale
        assert np.nanmax(jerks, initial=0.0) < 1e-6, key


def test_samples_stand_on_either_side_of_a_let_go() -> None:
    design = with_free_length("compression", 63.2)
    plan = compile_design(design)
    motion = evaluate(plan, plan.parameters(design), 91)
    (run,) = motion.springs
    assert run.onset is not None
    changes = np.nonzero((run.onset[0, 1:] > 0.0) != (run.onset[0, :-1] > 0.0))[0]
    assert changes.size == 2
    throw = motion.travel[0, -1]
    assert np.all(np.diff(motion.travel[0])[changes] < 3e-9 * throw)


def swinging(*free: float) -> Design:
    """A lever that throws its grip close by the anchor of its springs, which let go there."""
    design = lever({"grip": polar(112.0, 0.6)}, {"anchor": (90.0, 6.0)}, "grip", -27.0, 12.0)
    springs = (
        ExtensionSpring(f"pull {at}", "anchor", "grip", 2.4, length, 1.4)
        for at, length in enumerate(free)
    )
    return replace(design, springs=tuple(springs))


@pytest.mark.parametrize("positions", [91, 181, 361])
@pytest.mark.parametrize(
    "free", [(22.6,), (22.75,), (22.6, 23.4), (23.4, 22.6), (22.6, 22.7), (22.6, 22.6)]
)
def test_every_let_go_has_its_pair_of_positions(free: tuple[float, ...], positions: int) -> None:
    design = swinging(*free)
    plan = compile_design(design)
    motion = evaluate(plan, plan.parameters(design), positions)
    travel = motion.travel[0]
    assert np.all(np.diff(travel) > 0.0)
    for run in motion.springs:
        assert run.onset is not None
        changes = np.flatnonzero((run.onset[0, 1:] > 0.0) != (run.onset[0, :-1] > 0.0))
        assert changes.size
        assert np.all(np.diff(travel)[changes] < 3e-9 * travel[-1])


def test_margins_of_a_guided_spring() -> None:
    # Anchors 60 mm apart upright, further at the rests; a rod may bottom before the spring.
    design = LAYOUT["compression"]
    (spring,) = design.springs
    assert isinstance(spring, CompressionSpring)
    result = analyse(design)
    work = result.springs[0]
    assert work.shortest == pytest.approx(60.0, abs=1e-9)
    assert work.bottoming_margin == pytest.approx(60.0 - 44.0 - 4.0, abs=1e-9)
    assert work.bottoming_at == pytest.approx(24.0, abs=1e-6)
    far = math.sqrt(92.0**2 + 32.0**2 - 2.0 * 92.0 * 32.0 * math.cos(math.radians(24.0)))
    assert work.longest == pytest.approx(far, abs=1e-9)
    assert work.slack_margin == pytest.approx(82.0 - far, abs=1e-9)
    assert work.slack_at in (0.0, pytest.approx(48.0))
    assert result.readings["slack_margin"].value == work.slack_margin


def test_fittings_are_no_part_of_the_spring() -> None:
    design = LAYOUT["compression"]
    (spring,) = design.springs
    assert isinstance(spring, CompressionSpring)
    fitted = replace(spring, fittings=6.0, free_length=76.0, solid_length=38.0)
    one, other = analyse(design), analyse(replace(design, springs=(fitted,)))
    for key, reading in one.readings.items():
        shift = 6.0 if key.startswith(("spring_shortest", "spring_longest")) else 0.0
        assert other.readings[key].value == pytest.approx(
            reading.value - shift, abs=1e-9, nan_ok=True
        )


def coil(acts: str, free: float, most: float | None) -> Design:
    design = lever({"grip": polar(100.0, 90.0)}, {"post": (50.0, 0.0)}, "grip", 120.0, 70.0)
    spring = TorsionSpring("coil", "pivot", "post", "grip", 20.0, free, most_twist=most)
    return replace(design, springs=(replace(spring, acts=acts),))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("acts", "free", "slack", "at"),
    [
        ("below", 150.0, 30.0, 0.0),  # twist -80 … -30
        ("above", 150.0, -80.0, 50.0),
        ("both", 150.0, 30.0, 0.0),
        ("both", 30.0, 40.0, 50.0),  # twist 40 … 90
        ("below", 100.0, -20.0, 0.0),  # twist -30 … 20
    ],
)
def test_slack_margin_of_torsion_springs(acts: str, free: float, slack: float, at: float) -> None:
    work = analyse(coil(acts, free, None)).springs[0]
    assert work.slack_margin == pytest.approx(slack, abs=1e-9)
    assert work.slack_at == pytest.approx(at, abs=1e-9)
    assert math.isnan(work.bottoming_margin)


def test_overwinding_margin_of_a_torsion_spring() -> None:
    work = analyse(coil("below", 150.0, 95.0)).springs[0]
    assert work.bottoming_margin == pytest.approx(15.0, abs=1e-9)
    assert work.bottoming_at == pytest.approx(50.0, abs=1e-9)
    # 20 N·mm per degree.
    assert work.force_b == pytest.approx(80.0 * 20.0, abs=1e-6)


def test_several_springs_give_the_least_margin() -> None:
    design = LAYOUT["compression"]
    (spring,) = design.springs
    assert isinstance(spring, CompressionSpring)
    second = replace(spring, name="second", free_length=70.0, solid_length=30.0)
    result = analyse(replace(design, springs=(spring, second), limits=()))
    readings = result.readings
    assert readings["slack_margin"].value == readings["slack_margin:second"].value
    assert readings["bottoming_margin"].value == readings["bottoming_margin:main spring"].value
    assert readings["slack_margin:second"].value < readings["slack_margin:main spring"].value


def test_outputs() -> None:
    result = analyse(LAYOUT["rocker"])
    a, b = (result.pose_at(travel) for travel in (0.0, result.throw))
    pivot, edge = "rocker pivot", "flap edge"
    directions = [math.atan2(p[edge][1] - p[pivot][1], p[edge][0] - p[pivot][0]) for p in (a, b)]
    turned = abs(math.degrees(directions[1] - directions[0]))
    assert result.readings["output_turn:rocker"].value == pytest.approx(turned, abs=1e-9)
    # The flap's edge runs on a circle of 75 mm about the rocker's pivot.
    arc = 75.0 * math.radians(turned)
    assert result.readings["output_travel:flap edge"].value == pytest.approx(arc, rel=1e-6)
    step = 1e-3
    near = result.pose_at(step)
    moved = math.dist(near[edge], a[edge]) / math.radians(step)
    advantage = result.readings["advantage_a:flap edge"].value
    assert advantage == pytest.approx(150.0 / moved, rel=1e-3)


def test_a_limit_may_be_set_on_every_reading() -> None:
    design = LAYOUT["rocker"]
    limits = tuple(Limit(kind.key, at_least=-1e9, at_most=1e9) for kind in catalogue(design))
    result = analyse(replace(design, limits=limits))
    assert len(result.limits) == len(limits)
    for limit in result.limits:
        assert limit.holds is not math.isnan(limit.reading.value)
