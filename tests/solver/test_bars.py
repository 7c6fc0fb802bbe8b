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


def test_longer_branches_come_before_shorter_ones_and_each_is_walked_to_its_end() -> None:
    line = [(10.0 * x, 0.0) for x in range(7)]
    short, long = [(20.0, 9.0)], [(30.0, -9.0), (30.0, -18.0)]
    for points in ([*line, *short, *long], [*long, *line, *short], [*short, *long, *line]):
        whole, *branches = runs(points)
        assert whole in (line, line[::-1])
        assert branches == [[(30.0, 0.0), *long], [(20.0, 0.0), *short]]


def test_branches_of_one_length_come_in_the_order_of_the_line() -> None:
    line = [(10.0 * x, 0.0) for x in range(7)]
    for tips in ([(20.0, 9.0), (40.0, 9.0)], [(40.0, 9.0), (20.0, 9.0)]):
        whole, *branches = runs([*line, *tips])
        feet = [foot for foot in whole if foot in ((20.0, 0.0), (40.0, 0.0))]
        assert branches == [[foot, (foot[0], 9.0)] for foot in feet]


def test_a_branch_of_a_branch_comes_after_it_and_after_those_of_the_line() -> None:
    line = [(10.0 * x, 0.0) for x in range(11)]
    long, twig = [(50.0, -9.0 * y) for y in range(5)], (58.0, -18.0)
    whole, *branches = runs([twig, *long[1:], *line, (20.0, 9.0)])
    assert whole in (line, line[::-1])
    assert branches == [long, [(20.0, 0.0), (20.0, 9.0)], [(50.0, -18.0), twig]]


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
    assert lengths == sorted(lengths, reverse=True)
