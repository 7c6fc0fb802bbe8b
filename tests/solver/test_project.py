from dataclasses import FrozenInstanceError, replace

import pytest
from hypothesis import given

from solver.model import Design
from solver.project import Project, Variant
from tests.solver.strategies import designs, sound_projects


@given(sound_projects(), designs())
def test_with_design_changes_only_the_current_variant(project: Project, design: Design) -> None:
    last = replace(project, current=len(project.variants) - 1)
    changed = last.with_design(design)
    assert changed.design == design
    assert changed.variants[:-1] == last.variants[:-1]
    assert changed.variant.name == last.variant.name
    assert (changed.title, changed.current, changed.display) == (
        *(last.title, last.current, last.display),
    )


@given(designs())
def test_a_project_always_has_a_current_variant(design: Design) -> None:
    one = Variant("only", design)
    for variants, current in (((), 0), ((one,), 1), ((one,), -1)):
        with pytest.raises(ValueError, match="variant"):
            Project("lever", variants, current)


@given(sound_projects())
def test_projects_cannot_be_changed_in_place(project: Project) -> None:
    with pytest.raises(FrozenInstanceError):
        project.title = "other"  # type: ignore[misc]  # the point of the test
