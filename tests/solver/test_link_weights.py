"""Plates weigh at their centroids, exactly as a weight there would."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.analysis import analyse
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Gravity, Link, Plate, Point, Weight
from solver.motion import evaluate
from solver.outlines import plate_weight
from solver.plan import compile_design
from solver.rebase import rebase
from tests.solver.strategies import designs


def bare(design: Design) -> Design:
    """The design without plates and limits."""
    return replace(design, plates=(), limits=())


def plated(design: Design) -> Design:
    """Every link cut from a plate, one of them to an outline of its own."""
    plates = [Plate(link.name, 14.0 + 3.0 * n) for n, link in enumerate(design.links)]
    lever = next(n for n, link in enumerate(design.links) if link.name == design.lever)
    grip = design.point(design.grip)
    x, y = grip.x, grip.y
    corners = ((x - 9.0, y - 30.0), (x + 14.0, y - 20.0), (x + 6.0, y + 25.0), (x - 8.0, y + 3.0))
    plates[lever] = replace(plates[lever], outline=corners, material="brass", thickness=8.0)
    return replace(bare(design), plates=tuple(plates))


def weighted(design: Design) -> Design:
    """The same with a weight at a new point at each moving plate's centroid instead."""
    found = replace(design, plates=())
    for plate in design.plates:
        if plate.link == FRAME:
            continue
        weight = plate_weight(design, plate)
        name = f"middle of {plate.link}"
        links = tuple(
            Link(link.name, (*link.points, name)) if link.name == plate.link else link
            for link in found.links
        )
        found = replace(
            found,
            points=(*found.points, Point(name, weight.x, weight.y)),
            links=links,
            weights=(*found.weights, Weight(name, name, weight.mass)),
        )
    return found


@given(designs())
def test_a_plate_is_a_weight_at_its_centroid(design: Design) -> None:
    design = plated(design)
    one, other = analyse(design, 61), analyse(weighted(design), 61)
    scale = max(float(np.abs(other.torque).max()), 1.0)
    assert one.torque == pytest.approx(other.torque, abs=1e-9 * scale)
    assert one.energy == pytest.approx(other.energy, abs=1e-9 * max(other.energy.max(), scale))
    assert one.friction == pytest.approx(other.friction, rel=1e-7, abs=1e-9 * scale)
    for key, reading in one.readings.items():
        if key.startswith("pin_load"):
            assert reading.value == pytest.approx(other.readings[key].value, rel=1e-7, abs=1e-6)


def test_the_frames_plate_weighs_on_nothing() -> None:
    design = bare(LAYOUTS[2].build())
    frame = replace(design, plates=(Plate(FRAME, thickness=20.0),))
    assert analyse(frame).torque == pytest.approx(analyse(design).torque, abs=0.0)
    assert not any(name.startswith("plates.") for name in compile_design(frame).columns)


@given(designs(), st.floats(0.1, 0.9))
def test_another_drawn_pose_is_the_same_linkage(design: Design, share: float) -> None:
    design = plated(design)
    stops = design.stops
    moved = rebase(design, stops.rest_a + share * (stops.rest_b - stops.rest_a))
    one, other = analyse(design, 61), analyse(moved, 61)
    scale = max(float(np.abs(one.torque).max()), 1.0)
    assert other.torque == pytest.approx(one.torque, abs=1e-6 * scale)
    for plate, again in zip(design.plates, moved.plates, strict=True):
        before, after = plate_weight(design, plate), plate_weight(moved, again)
        assert after.mass == pytest.approx(before.mass)
        assert after.inertia == pytest.approx(before.inertia)


def test_without_gravity_plates_push_on_nothing() -> None:
    flat = replace(LAYOUTS[2].build(), gravity=Gravity(strength=0.0), limits=())
    assert analyse(plated(flat)).torque == pytest.approx(analyse(bare(flat)).torque, abs=1e-12)


def test_a_batch_takes_a_bars_centroid_along_with_its_ends() -> None:
    design = replace(bare(LAYOUTS[2].build()), plates=(Plate("rod"),))
    plan = compile_design(design)
    moved = replace(
        design,
        points=tuple(
            Point(point.name, point.x, point.y + 6.0) if point.name == "rod end" else point
            for point in design.points
        ),
    )
    values = plan.parameters(design)
    values[plan.column("points.rod end.y")] += 6.0
    # The length, and with it the mass, is left as it was; here it changes by 0.4 %.
    values[plan.column("plates.rod.mass")] = plan.parameters(moved)[plan.column("plates.rod.mass")]
    assert evaluate(plan, values).torque == pytest.approx(
        evaluate(plan, plan.parameters(moved)).torque, abs=1e-9
    )
