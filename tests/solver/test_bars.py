"""Bars of a plate as lines to walk: every bar once, the longest line first."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from solver.bars import Place, bones, runs


def test_a_hook_is_one_line_whatever_order_its_points_have() -> None:
    pivot, edge, arm, link = (0.0, 0.0), (85.0, 0.0), (-41.0, 15.0), (-35.0, -17.0)
    assert runs([pivot, edge, arm, link]) in (
        [[edge, pivot, link, arm]],
        [[arm, link, pivot, edge]],
    )


def test_a_branch_begins_on_the_line_before_it() -> None:
    middle, ends = (0.0, 0.0), [(10.0, 0.0), (-10.0, 0.0), (0.0, 10.0)]
    long, branch = runs([middle, *ends])
    assert len(long) == 3
    assert long[1] == middle == branch[0]
    assert {*long, *branch} == {middle, *ends}


def test_a_single_point_is_a_line_by_itself() -> None:
    assert runs([(1.0, 2.0)]) == [[(1.0, 2.0)]]


@given(
    st.lists(
        st.tuples(st.integers(-50, 50).map(float), st.integers(-50, 50).map(float)),
        min_size=2,
        max_size=7,
        unique=True,
    )
)
def test_the_lines_are_the_bars_each_once(points: list[Place]) -> None:
    walked = [frozenset(pair) for run in runs(points) for pair in pairwise(run)]
    assert len(walked) == len(points) - 1
    assert set(walked) == {frozenset(bar) for bar in bones(points)}
    lengths = [len(run) for run in runs(points)]
    assert lengths[0] == max(lengths)
