"""Each link's own holes: what drilling errors do, apart from moving the shared point."""

from dataclasses import replace

import numpy as np
import pytest

from solver.layouts import LAYOUTS
from solver.model import Design
from solver.motion import evaluate
from solver.plan import compile_design
from solver.readings import measure
from tests.solver.test_guided import CASES, plunger

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def _moved_both_ways(design: Design) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    """Readings with points moved, and with the holes of all their links moved alike."""
    plan = compile_design(design, holes=True)
    points, holes = plan.parameters(design), plan.parameters(design)
    rng = np.random.default_rng(3)
    for point in design.points:
        if point.name in (design.grip, design.lever_pivot()):
            continue
        for axis, error in zip("xy", rng.normal(0.0, 0.3, 2), strict=True):
            points[plan.column(f"points.{point.name}.{axis}")] += error
            for link in design.links_at(point.name):
                holes[plan.column(f"holes.{link}.{point.name}.{axis}")] += error
    return measure(evaluate(plan, points)).values, measure(evaluate(plan, holes)).values


@pytest.mark.parametrize("key", ["compression", "extension", "rocker", "knee"])
def test_all_holes_of_a_point_moved_alike_move_the_point(key: str) -> None:
    # A plate is cut by its points; a hole drilled off the mark leaves its centroid where it was.
    points, holes = _moved_both_ways(replace(LAYOUT[key](), plates=()))
    for name, value in points.items():
        np.testing.assert_allclose(holes[name], value, rtol=1e-12, atol=1e-12, err_msg=name)


@CASES
def test_so_do_those_of_a_plunger(own_slot: bool, cross: bool) -> None:
    points, holes = _moved_both_ways(plunger(own_slot, cross))
    for name, value in points.items():
        np.testing.assert_allclose(holes[name], value, rtol=1e-9, atol=1e-9, err_msg=name)


def test_a_hole_off_in_the_rod_is_a_rod_of_another_length() -> None:
    """The rod 0.4 mm longer at one end, against the rocker's end swung out to meet it."""
    design = LAYOUT["rocker"]()
    plan = compile_design(design, holes=True)
    values = plan.parameters(design)
    values[plan.column("holes.rod.rocker end.x")] = 0.4
    turned = measure(evaluate(plan, values)).values["output_turn:rocker"][0]

    # By hand: the rocker end stays on its circle and is where the rod's new length reaches.
    end, pivot, knee = (design.point(n) for n in ("rocker end", "rocker pivot", "rod end"))
    rod = np.hypot(end.x + 0.4 - knee.x, end.y - knee.y)
    radius = np.hypot(end.x - pivot.x, end.y - pivot.y)
    span = np.hypot(pivot.x - knee.x, pivot.y - knee.y)
    along = (rod**2 - radius**2 + span**2) / (2.0 * span)
    off = np.sqrt(rod**2 - along**2)
    ux, uy = (pivot.x - knee.x) / span, (pivot.y - knee.y) / span
    moved = replace(end, x=knee.x + along * ux - off * uy, y=knee.y + along * uy + off * ux)
    points = tuple(moved if point.name == end.name else point for point in design.points)
    other = replace(design, points=points)
    expected = measure(evaluate(plan, plan.parameters(other))).values["output_turn:rocker"][0]
    assert turned == pytest.approx(expected, rel=1e-12)
    assert turned != pytest.approx(_nominal(design), abs=1e-3)


def _nominal(design: Design) -> float:
    plan = compile_design(design)
    found = measure(evaluate(plan, plan.parameters(design))).values["output_turn:rocker"]
    return float(found[0])


def test_a_plan_without_holes_has_no_columns_for_them() -> None:
    plan = compile_design(LAYOUT["rocker"]())
    assert not any(name.startswith("holes.") for name in plan.columns)
