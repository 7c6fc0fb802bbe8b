"""Any sound linkage with any plates is drilled, looked at and listed without falling over."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.clearance import clearance, row_remarks
from solver.holes import hole_remarks
from solver.materials import materials
from solver.model import FRAME, Design, Plate
from solver.parts_list import as_csv, parts_list, piece_count
from solver.stack import stack
from tests.solver.cut_plates import cut_plate
from tests.solver.strategies import designs, numbers


@st.composite
def plated(draw: st.DrawFn) -> Design:
    design = draw(designs())
    plates = [
        Plate(
            link.name,
            draw(numbers(4, 60)),
            draw(numbers(1, 20)),
            draw(st.sampled_from(tuple(materials()))),
            draw(st.integers(-3, 6)),
        )
        for link in design.links
    ]
    return replace(design, plates=tuple(draw(st.permutations(plates))))


@settings(max_examples=40)
@given(plated())
def test_gaps_lie_in_the_throw_and_sentences_end(design: Design) -> None:
    found = clearance(design, 31)
    throw = abs(design.stops.rest_b - design.stops.rest_a)
    assert all(0.0 <= gap.where <= throw + 1e-9 and gap.least >= 0.0 for gap in found.gaps)
    assert [gap.least for gap in found.gaps] == sorted(gap.least for gap in found.gaps)
    remarks = (*found.remarks, *hole_remarks(design), *row_remarks(design, 3, 20.0))
    assert all(remark.sentence.endswith(".") for remark in remarks)
    serious = [remark.serious for remark in found.remarks]
    assert serious == sorted(serious, reverse=True)


@settings(max_examples=40)
@given(plated())
def test_lists_count_and_layers_do_not_overlap(design: Design) -> None:
    rows = parts_list(design)
    assert piece_count(rows) >= len(design.links)
    assert as_csv(rows).count("\n") == len(rows) + 2
    spans = sorted(stack(design).layers.values())
    assert all(low[1] < high[0] for low, high in pairwise(spans))
    assert np.isfinite(stack(design).total)
    assert all(cut_plate(design, link.name).area >= 0.0 for link in design.links)
    assert cut_plate(design, FRAME).area > 0.0
