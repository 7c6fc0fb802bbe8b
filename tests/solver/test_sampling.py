from dataclasses import replace

import numpy as np
import pytest

from solver.general_tolerance import plus_minus
from solver.hole_tolerances import hole_tolerances
from solver.layouts import LAYOUTS
from solver.model import (
    Design,
    ExtensionSpring,
    Force,
    OwnTolerance,
    Tolerances,
    Torque,
    TorsionSpring,
    Weight,
)
from solver.plan import compile_design
from solver.sampling import Copier, variates
from solver.spreadable import Spreadable, own_choices, spreadables
from tests.solver.test_edit import gate

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}
NOTHING = Tolerances(
    hole=0.0,
    rate=0.0,
    free_length=0.0,
    free_angle=0.0,
    initial_tension=0.0,
    friction_least=1.0,
    friction_most=1.0,
    stop=0.0,
    load=0.0,
)


def allowing(design: Design, *own: tuple[str, float], **general: float) -> Design:
    """The design with these tolerances alone."""
    given = replace(NOTHING, **general)  # type: ignore[arg-type]  # no word among them
    return replace(
        design, tolerances=replace(given, own=tuple(OwnTolerance(*each) for each in own))
    )


def items(design: Design) -> dict[str, Spreadable]:
    plan = compile_design(design, holes=True)
    return {item.number: item for item in spreadables(design, plan)}


def one_copy(design: Design, **off: float) -> dict[str, float]:
    """By how much the parameters of a copy differ; `off` by the last words of the items' paths."""
    plan = compile_design(design, holes=True)
    copier = Copier.of(design, plan)
    row = [sum(v for k, v in off.items() if i.number.endswith(k)) for i in copier.items]
    # A number that the design leaves out is NaN and stays so.
    change = np.nan_to_num(copier.copies(np.array([row]))[0] - plan.parameters(design))
    return {path: change[column] for path, column in plan.columns.items() if change[column]}


# ---- what may be off -------------------------------------------------------------------


def test_nothing_is_off_where_nothing_may_be() -> None:
    assert items(allowing(gate())) == {}


def test_holes_are_where_something_sits_and_on_each_link_apart() -> None:
    found = items(allowing(gate(), hole=0.3))
    # "grip" carries the knob; the ends of the slot are where the slot is cut.
    expected = {
        *("frame.pivot", "frame.start", "frame.end", "frame.post"),
        *("lever.pivot", "lever.grip", "lever.foot", "rod.foot", "rod.pin"),
    }
    assert set(found) == {f"holes.{hole}.{axis}" for hole in expected for axis in "xy"}
    assert {item.label for item in found.values()} >= {"hole of the rod at pin"}


def test_a_grip_that_only_the_hand_is_at_is_no_hole() -> None:
    bare = replace(allowing(gate(), hole=0.3), weights=())
    assert "holes.lever.grip.x" not in items(bare)
    assert "holes.lever.foot.x" in items(bare)


def test_an_iso_class_goes_by_the_distance_from_the_first_hole() -> None:
    design = replace(gate(), tolerances=replace(NOTHING, hole_class="medium"))
    found = {(link, point): off for link, point, off in hole_tolerances(design)}
    assert found["frame", "pivot"] == 0.0
    # start (50, -30), end (120, -30), post (0, -100) from the pivot at the origin.
    assert found["frame", "start"] == 0.3
    assert found["frame", "end"] == 0.5
    assert found["frame", "post"] == 0.3
    assert found["lever", "foot"] == 0.2  # 30 mm is the upper end of its range
    assert found["rod", "pin"] == 0.3


@pytest.mark.parametrize(
    ("name", "size", "expected"),
    [
        ("fine", 2.0, 0.05),
        ("medium", 100.0, 0.3),
        ("medium", 120.0, 0.3),
        ("medium", 120.1, 0.5),
        ("coarse", 500.0, 2.0),
        ("very coarse", 10.0, 1.0),
        ("very coarse", 1.0, 0.5),  # no entry: the next one
        ("fine", 3000.0, 0.5),  # none either
        ("medium", 9000.0, 2.0),
    ],
)
def test_general_tolerances(name: str, size: float, expected: float) -> None:
    # ISO 2768-1, values recalled from memory.
    assert plus_minus(name, size) == expected  # type: ignore[arg-type]  # a word of the class


def test_an_own_tolerance_replaces_the_general_one() -> None:
    own = (("points.foot", 0.1), ("holes.rod.foot", 0.02), ("springs.coil.rate", 0.05))
    design = allowing(gate(), *own, hole=0.3, rate=10.0)
    found = items(design)
    assert found["holes.lever.foot.x"].plus_minus == 0.1
    assert found["holes.rod.foot.y"].plus_minus == 0.02
    assert found["holes.lever.pivot.y"].plus_minus == 0.3
    assert found["springs.coil.rate"].plus_minus == 0.05
    assert found["springs.twist.rate"].plus_minus == pytest.approx(0.5)
    assert "springs.coil.rate" not in items(allowing(gate(), ("springs.coil.rate", 0.0), rate=9.0))
    extra = items(allowing(gate(), ("springs.coil.solid_length", 0.4), ("gravity.direction", 2.0)))
    assert set(extra) == {"springs.coil.solid_length", "gravity.direction"}
    assert extra["gravity.direction"].reach == pytest.approx((np.radians(2.0),))


def test_every_number_that_is_offered_does_something() -> None:
    design = gate()
    offered = {choice.path: choice for choice in own_choices(design)}
    assert "points.foot" in offered
    assert "springs.twist.most_twist" not in offered  # the design leaves it out
    assert offered["stops.rest_a"].quantity == "angle"
    for path in offered:
        found = items(allowing(design, (path, 0.25)))
        assert {item.plus_minus for item in found.values()} == {0.25}, path


# ---- copies ----------------------------------------------------------------------------


def test_all_frictions_of_a_copy_go_together() -> None:
    design = allowing(gate(), ("pivots.foot.friction", 0.01), friction_least=0.6, friction_most=1.6)
    least = one_copy(design, **{"friction": 0.0, "foot.friction": 0.0})
    # The middle of 0.6 … 1.6 is a tenth more than drawn; the one with its own is not moved.
    assert least["pivots.pivot.friction"] == pytest.approx(0.015)
    assert least["springs.coil.end_friction"] == pytest.approx(0.015)
    assert "pivots.foot.friction" not in least
    plan = compile_design(design, holes=True)
    copier = Copier.of(design, plan)
    at = [item.number for item in copier.items].index("friction")
    off = np.zeros((2, len(copier.items)))
    off[:, at] = -1.0, 1.0
    made = copier.copies(off)[:, plan.column("sliders.slide.friction")]
    assert made == pytest.approx([0.15 * 0.6, 0.15 * 1.6])


def test_a_friction_range_without_width_moves_all_copies() -> None:
    design = allowing(gate(), friction_least=1.2, friction_most=1.2)
    assert one_copy(design)["pivots.foot.friction"] == pytest.approx(0.03)


def test_percentages_and_angles() -> None:
    design = replace(
        allowing(gate(), rate=10.0, load=20.0, stop=0.5, free_angle=4.0, initial_tension=15.0),
        springs=(
            ExtensionSpring("coil", "post", "foot", 2.0, 60.0, 8.0),
            TorsionSpring("twist", "pivot", "post", "foot", 5.0, 170.0),
        ),
        limits=(),
    )
    change = one_copy(
        design, **{"coil.rate": 1.0, "coil.initial_tension": -1.0, "twist.free_angle": 0.5}
    )
    assert change == pytest.approx(
        {
            "springs.coil.rate": 0.2,
            "springs.coil.initial_tension": -1.2,
            "springs.twist.free_angle": np.radians(2.0),
        }
    )
    assert one_copy(design, rest_a=1.0) == pytest.approx({"stops.rest_a": np.radians(0.5)})
    assert one_copy(design, **{"knob.mass": 1.0}) == pytest.approx({"weights.knob.mass": 0.04})


def test_a_load_keeps_its_direction() -> None:
    loads = (Force("push", "pin", -5.0, 3.0), Torque("seal", "rod", 20.0))
    design = replace(allowing(gate(), load=10.0), loads=loads)
    assert one_copy(design, push=1.0) == pytest.approx({"loads.push.x": -0.5, "loads.push.y": 0.3})
    assert one_copy(design, seal=-1.0) == pytest.approx({"loads.seal.torque": -2.0})


def test_numbers_that_cannot_be_negative_stop_at_zero() -> None:
    design = replace(allowing(gate(), load=100.0), weights=(Weight("knob", "grip", 0.2),))
    assert one_copy(design, **{"knob.mass": -1.4})["weights.knob.mass"] == -0.2
    assert one_copy(design, push=-1.4)["loads.push.x"] == pytest.approx(7.0)


# ---- samples ---------------------------------------------------------------------------


def test_samples_are_the_same_for_a_seed_and_others_for_another() -> None:
    first = variates(5, 300, 7).copy()
    variates.cache_clear()
    assert np.array_equal(first, variates(5, 300, 7))
    assert not np.array_equal(first, variates(5, 300, 8))


@pytest.mark.parametrize(("law", "deviation"), [("normal", 1 / 3), ("uniform", 1 / np.sqrt(3))])
def test_samples_follow_their_law(law: str, deviation: float) -> None:
    found = variates(6, 2000, 0, law)
    assert found.shape == (2000, 6)
    # A quasi-random sample of 2000 has its mean within some 1/2000 and its spread within 1 %.
    assert np.abs(found.mean(axis=0)).max() < 2e-3
    assert found.std(axis=0) == pytest.approx(np.full(6, deviation), rel=0.01)
    assert np.abs(np.corrcoef(found.T) - np.eye(6)).max() < 0.05
    assert np.isfinite(found).all()
    if law == "uniform":
        assert np.abs(found).max() <= 1.0
    with pytest.raises(ValueError, match="read-only"):
        found[0, 0] = 1.0


def test_no_tolerance_makes_copies_alike() -> None:
    plan = compile_design(LAYOUT["knee"](), holes=True)
    design = allowing(LAYOUT["knee"]())
    made = Copier.of(design, plan).copies(variates(0, 4))
    np.testing.assert_array_equal(made, np.repeat(plan.parameters(design)[None], 4, axis=0))
