import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver import files, schema
from solver.codec import shape_of
from solver.errors import FileProblem
from solver.project import Project
from tests.solver.strategies import projects
from tests.solver.test_files import GATE, json_values, places

PUBLISHED = Path(__file__).parents[2] / "assets" / "throwover.schema.json"
VALIDATOR = jsonschema.Draft202012Validator(schema.schema())


def test_the_published_schema_is_up_to_date() -> None:
    """`python -c "from solver import schema; print(schema.text(), end='')"` writes it."""
    assert PUBLISHED.read_text(encoding="utf-8") == schema.text()


def test_it_is_a_schema_and_describes_every_object() -> None:
    jsonschema.Draft202012Validator.check_schema(schema.schema())
    for name, definition in schema.schema()["$defs"].items():
        assert len(definition["description"]) > 20, name


@given(projects())
def test_every_saved_project_is_valid(project: Project) -> None:
    VALIDATOR.validate(files.encode(project))


@settings(max_examples=300)
@given(st.data(), json_values)
def test_what_the_schema_refuses_is_refused_on_opening(data: st.DataObject, other: object) -> None:
    changed = files.encode(GATE)
    *steps, last = data.draw(st.sampled_from(list(places(changed))))
    inner: Any = changed
    for step in steps:
        inner = inner[step]
    change = data.draw(st.sampled_from(("set", "drop", "add")))
    if change == "drop":
        del inner[last]
    elif change == "add" and isinstance(inner, dict):
        inner["another"] = other
    else:
        inner[last] = other
    if not VALIDATOR.is_valid(changed):
        with pytest.raises(FileProblem):
            files.loads(json.dumps(changed))


@pytest.mark.parametrize("hint", [list[int], tuple[int, str], dict[str, int], bytes])
def test_hints_without_a_form_in_files_are_a_programming_error(hint: object) -> None:
    with pytest.raises(TypeError, match="no form in a file"):
        shape_of(hint)
