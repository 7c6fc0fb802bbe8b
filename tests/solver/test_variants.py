"""Variants kept, copied, named, ordered and removed."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import variants
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS
from solver.model import OwnTolerance, Tolerances
from solver.own_tolerances import tolerance_problems
from solver.project import Project, Variant

ONE, TWO, THREE = (layout.build() for layout in LAYOUTS[:3])


def three(current: int = 0) -> Project:
    made = (Variant("one", ONE, "first note"), Variant("two", TWO), Variant("three", THREE))
    return Project("Gate lever", made, current)


def test_keep_sets_a_copy_aside_and_goes_on_where_it_was() -> None:
    kept = variants.keep(three(1))
    assert variants.names(kept) == ("one", "two", "two 2", "three")
    assert kept.variant.name == "two"
    assert kept.variants[2].design is TWO


def test_keep_of_another_variant_leaves_the_current_one_current() -> None:
    for current in range(3):
        for index in range(3):
            before = three(current)
            after = variants.keep(before, index)
            assert after.variant == before.variant
            assert after.variants[index + 1].design is before.variants[index].design


def test_branch_goes_on_in_the_copy() -> None:
    branched = variants.branch(three(1), 0)
    assert branched.variant == Variant("one 2", ONE, "first note")
    assert branched.variants[0] == Variant("one", ONE, "first note")


def test_copies_of_copies_are_counted_on() -> None:
    made = three()
    for _ in range(3):
        made = variants.branch(made)
    assert variants.names(made) == ("one", "one 2", "one 3", "one 4", "two", "three")


def test_add_puts_a_design_after_the_current_one() -> None:
    added = variants.add(three(1), ONE, "three", "from a layout")
    assert variants.names(added) == ("one", "two", "three 2", "three")
    assert added.variant == Variant("three 2", ONE, "from a layout")
    aside = variants.add(three(1), ONE, "four", work_on=False)
    assert aside.variant.name == "two"


def test_rename_takes_a_free_name_only() -> None:
    assert variants.names(variants.rename(three(), 1, "  with  rod ")) == (
        "one",
        "with rod",
        "three",
    )
    same = three()
    assert variants.rename(same, 1, "two") is same
    for wrong, words in (("three", "already"), (" ", "needs a name"), ("x" * 81, "too long")):
        with pytest.raises(DesignProblem, match=words):
            variants.rename(three(), 1, wrong)


def test_annotate_changes_the_note_alone() -> None:
    noted = variants.annotate(three(2), 1, " try a softer spring \n")
    assert noted.variants[1] == Variant("two", TWO, "try a softer spring")
    assert noted.current == 2


def test_remove_keeps_the_current_one_current_where_it_can() -> None:
    assert variants.remove(three(2), 0).variant.name == "three"
    assert variants.remove(three(0), 2).variant.name == "one"
    assert variants.remove(three(1), 1).variant.name == "three"
    assert variants.remove(three(2), 2).variant.name == "two"


def test_the_only_variant_stays() -> None:
    with pytest.raises(DesignProblem, match="only one"):
        variants.remove(Project("Gate lever", (Variant("one", ONE),)), 0)


def test_find_names_what_there_is() -> None:
    assert variants.find(three(), "two") == 1
    with pytest.raises(DesignProblem, match="“one”, “two”, “three”"):
        variants.find(three(), "four")


@pytest.mark.parametrize("index", [-1, 3])
def test_an_index_of_no_variant_is_refused(index: int) -> None:
    for work in (
        variants.keep,
        variants.branch,
        variants.switch,
        variants.remove,
        lambda project, at: variants.rename(project, at, "name"),
        lambda project, at: variants.annotate(project, at, "note"),
        lambda project, at: variants.move(project, at, 0),
    ):
        with pytest.raises(IndexError):
            work(three(), index)


@given(current=st.integers(0, 2), index=st.integers(0, 2), to=st.integers(-1, 4))
def test_moving_only_changes_the_order(current: int, index: int, to: int) -> None:
    before = three(current)
    after = variants.move(before, index, to)
    assert after.variants[min(max(to, 0), 2)] is before.variants[index]
    assert sorted(variants.names(after)) == sorted(variants.names(before))
    assert after.variant is before.variant
    rest = [variant for variant in before.variants if variant is not before.variants[index]]
    assert [variant for variant in after.variants if variant in rest] == rest


@given(steps=st.lists(st.tuples(st.sampled_from("kbsrm"), st.integers(0, 9)), max_size=12))
def test_any_sequence_of_edits_keeps_names_apart(steps: list[tuple[str, int]]) -> None:
    made = three()
    for step, number in steps:
        index = number % len(made.variants)
        if step == "r":
            if len(made.variants) > 1:
                made = variants.remove(made, index)
        elif step == "m":
            made = variants.move(made, index, number // 2)
        else:
            work = {"k": variants.keep, "b": variants.branch, "s": variants.switch}[step]
            made = work(made, index)
    known = variants.names(made)
    assert len(set(known)) == len(known)
    assert made.variant in made.variants


def test_a_name_that_a_file_has_twice_is_left_alone() -> None:
    double = replace(three(), variants=(Variant("one", ONE), Variant("one", TWO)))
    assert variants.find(double, "one") == 0
    assert variants.names(variants.keep(double)) == ("one", "one 2", "one")


def test_tolerances_of_one_are_given_to_all_as_far_as_they_have_the_parts() -> None:
    here, there = "stops.rest_a", "points.rocker pivot"
    own = OwnTolerance(here, 0.2), OwnTolerance("springs.main spring.rate", 0.1)
    one = replace(ONE, tolerances=Tolerances(hole=0.1, own=own))
    bare = replace(ONE, springs=(), tolerances=Tolerances(hole=0.7))
    rocker = next(layout.build() for layout in LAYOUTS if layout.key == "rocker")
    theirs = Tolerances(own=(OwnTolerance(here, 0.9), OwnTolerance(there, 0.05)))
    rocker = replace(rocker, tolerances=theirs)
    made = Project("Gate", (Variant("bare", bare), Variant("one", one), Variant("rod", rocker)), 1)
    after = variants.tolerate_alike(made)
    assert after.variant == made.variant
    assert [variant.name for variant in after.variants] == ["bare", "one", "rod"]
    assert after.variants[0].design == replace(bare, tolerances=Tolerances(hole=0.1, own=own[:1]))
    assert after.variants[2].design.tolerances.own == (*own, OwnTolerance(there, 0.05))
    assert after.variants[2].design.tolerances.hole == 0.1
    assert not [fault for each in after.variants for fault in tolerance_problems(each.design)]
    assert variants.tolerate_alike(after) == after
