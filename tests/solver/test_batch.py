from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from solver.analysis import analyse
from solver.batch import read_batch
from solver.layouts import LAYOUTS
from solver.motion import CHUNK, Motion, chunks
from solver.plan import compile_design

LAYOUT = {layout.key: layout.build() for layout in LAYOUTS}


@pytest.mark.parametrize("key", sorted(LAYOUT))
def test_a_batch_reads_as_an_analysis_does(key: str) -> None:
    design = LAYOUT[key]
    plan = compile_design(design)
    batch = read_batch(plan, np.repeat(plan.parameters(design)[None], 3, axis=0), 721)
    for name, reading in analyse(design).readings.items():
        assert batch.values[name].shape == (3,)
        assert batch.values[name] == pytest.approx([reading.value] * 3, nan_ok=True), name


def test_one_design_is_a_batch_too() -> None:
    plan = compile_design(LAYOUT["rocker"])
    assert read_batch(plan, plan.parameters(LAYOUT["rocker"])).values["throw"].shape == (1,)


def test_a_look_at_the_curves_comes_chunk_by_chunk() -> None:
    design = LAYOUT["rocker"]
    plan = compile_design(design)
    count = 2 * (CHUNK // 181) + 5
    seen: list[tuple[slice, int]] = []

    def look(chunk: slice, motion: Motion) -> None:
        seen.append((chunk, motion.torque.shape[0]))

    read_batch(plan, np.repeat(plan.parameters(design)[None], count, axis=0), look=look)
    assert [chunk for chunk, _ in seen] == chunks(count, 181)
    assert sum(size for _, size in seen) == count


def test_a_stiffer_spring_holds_more_and_needs_more_effort() -> None:
    design = replace(LAYOUT["compression"], plates=())
    plan = compile_design(design)
    values = np.repeat(plan.parameters(design)[None], 20, axis=0)
    values[:, plan.column("springs.main spring.rate")] = np.linspace(1.0, 5.0, 20)
    found = read_batch(plan, values).values
    for key in ("holding_force", "peak_effort", "barrier"):
        # Everything that acts is proportional to the rate.
        np.testing.assert_allclose(found[key] / found[key][0], np.linspace(1.0, 5.0, 20))
    np.testing.assert_allclose(found["hang_zone"], found["hang_zone"][0])


def test_a_design_without_numbers_is_not_mistaken_for_a_good_one() -> None:
    design = LAYOUT["compression"]
    plan = compile_design(design)
    values = np.repeat(plan.parameters(design)[None], 3, axis=0)
    values[1, plan.column("springs.main spring.rate")] = np.nan
    values[2, plan.column("springs.main spring.rate")] = np.inf
    found = read_batch(plan, values)
    for key in ("hang_zone", "hang_zone_mm", "throw", "holding_force"):
        assert np.isnan(found.values[key]).tolist() == [False, True, True], key
    assert np.isnan(found.where["peak_effort"]).tolist() == [False, True, True]
