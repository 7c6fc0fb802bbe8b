"""Let go just off dead centre, the lever falls to the rest that the solver says.

The engine (MuJoCo) moves the examples forward in time: no friction, but light damping at the
lever, which takes energy out and so cannot carry it over dead centre. Each link weighs 0.2 kg,
floating, so that the file's weights alone pull. That mass sets how long it takes, not where it
goes.
"""

from pathlib import Path

import pytest

from solver import files
from solver.analysis import analyse
from tests.example_files import EXAMPLES, named
from tests.outside.rigid_body import RigidBody, design_of
from tests.outside.rigid_body_model import Making

OFF = 0.5
"""Degrees off dead centre: far inside every hang zone, so only the frictionless fall is shown."""


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("side", [-1, 1], ids=["towards A", "towards B"])
def test_a_lever_let_go_just_off_dead_centre_falls_to_its_rest(path: Path, side: int) -> None:
    solved = analyse(files.load(path).design, 181)
    assert solved.dead_centre is not None
    start = solved.design.stops.rest_a + solved.sense * (solved.dead_centre + side * OFF)
    moving = Making(mass=0.2, damping=0.003, stops=True)
    body = RigidBody(design_of(path), moving)
    body.release(start, seconds=2.0)
    rest = solved.design.stops.rest_b if side > 0 else solved.design.stops.rest_a
    # The engine's stops give a little, like rubber.
    assert body.direction == pytest.approx(rest, abs=1.0)
