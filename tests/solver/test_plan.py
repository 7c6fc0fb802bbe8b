from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Link, Point, Stops, TorsionSpring
from solver.plan import compile_design

LAYOUT = {layout.key: layout.build() for layout in LAYOUTS}


def test_parameters_are_the_designs_numbers_in_solver_units() -> None:
    design = LAYOUT["compression"]
    coil = TorsionSpring("coil", "pivot", "spring anchor", "grip", 2.0, 90.0)
    design = replace(design, springs=(*design.springs, coil))
    plan = compile_design(design)
    values = plan.parameters(design)

    def value(name: str) -> float:
        return float(values[plan.column(name)])

    assert value("points.lever foot.y") == -32.0
    assert value("stops.rest_a") == pytest.approx(math.radians(114.0))
    assert value("springs.main spring.rate") == 2.4
    # N·mm per degree to N·mm per radian.
    assert value("springs.coil.rate") == pytest.approx(2.0 * 180.0 / math.pi)
    assert value("springs.coil.free_angle") == pytest.approx(math.pi / 2.0)
    assert math.isnan(value("springs.main spring.rod.closed"))
    assert value("pivots.pivot.pin_diameter") == 6.0
    assert value("gravity.direction") == pytest.approx(-math.pi / 2.0)


def test_a_changed_number_keeps_the_plan() -> None:
    # A plate's weight goes with its points; without plates the grip is a number like any other.
    design = replace(LAYOUT["rocker"], plates=())
    plan = compile_design(design)
    moved = replace(
        design,
        points=tuple(replace(p, x=p.x + 1.0) if p.name == "grip" else p for p in design.points),
    )
    before, after = plan.parameters(design), plan.parameters(moved)
    changed = np.nonzero((before != after) & ~np.isnan(before))[0]
    assert changed.tolist() == [plan.column("points.grip.x")]


def test_other_parts_need_another_plan() -> None:
    plan = compile_design(LAYOUT["rocker"])
    with pytest.raises(ValueError, match="other parts"):
        plan.parameters(LAYOUT["compression"])
    with pytest.raises(KeyError):
        plan.column("points.nowhere.x")


def test_steps_follow_the_chain_whatever_the_order_of_the_links() -> None:
    design = LAYOUT["rocker"]
    points = (*design.points, Point("far end", 210.0, 60.0), Point("far pivot", 220.0, -30.0))
    frame, lever, rod, rocker = design.links
    second = (Link("second rod", ("flap edge", "far end")), Link("third", ("far end", "far pivot")))
    whole = replace(
        design,
        points=points,
        links=(Link(FRAME, (*frame.points, "far pivot")), second[1], second[0], rocker, rod, lever),
    )
    plan = compile_design(whole)
    names = [{whole.links[i].name for i in step.links} for step in plan.steps]
    assert names == [{"rod", "rocker"}, {"second rod", "third"}]


def test_a_group_larger_than_two_is_refused_by_name() -> None:
    # Three links on a floating triangle: solvable together only.
    outer = {"f1": (150.0, 0.0), "f2": (60.0, 150.0)}
    inner = {"t1": (40.0, 60.0), "t2": (100.0, 40.0), "t3": (70.0, 100.0)}
    places = {"o": (0.0, 0.0), "grip": (0.0, 100.0), "k": (10.0, 40.0)} | outer | inner
    design = Design(
        points=tuple(Point(name, *place) for name, place in places.items()),
        links=(
            Link(FRAME, ("o", "f1", "f2")),
            Link("lever", ("o", "grip", "k")),
            Link("triangle", ("t1", "t2", "t3")),
            Link("arm 1", ("k", "t1")),
            Link("arm 2", ("f1", "t2")),
            Link("arm 3", ("f2", "t3")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(95.0, 85.0),
    )
    with pytest.raises(DesignProblem, match="can only be solved together") as caught:
        compile_design(design)
    for name in ("triangle", "arm 1", "arm 2", "arm 3"):
        assert f"“{name}”" in str(caught.value)
    assert caught.value.part == "triangle"


def test_a_design_that_fails_its_checks_is_not_compiled() -> None:
    design = LAYOUT["compression"]
    with pytest.raises(DesignProblem, match="Rest A and rest B are one direction"):
        compile_design(replace(design, stops=Stops(90.0, 90.0)))


def test_joints_are_the_points_that_hold_a_pin() -> None:
    assert compile_design(LAYOUT["knee"]).joints == ("lever pivot", "knee", "plunger pin")
    assert compile_design(LAYOUT["compression"]).joints == ("pivot",)
