"""The published JSON Schema of project files, made from the dataclasses that they hold."""

import json

from solver.codec import Json, shape_of
from solver.files import FORMAT, VERSION
from solver.project import Project

_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_ABOUT = """A Throwover project: variants of one throw-over lever linkage.

Lengths in mm, forces in N, torques and energies in N·mm, masses in kg, angles in degrees
counter-clockwise from +x, whatever `display` says. x points right, y up."""


def schema() -> Json:
    """The JSON Schema (2020-12) of the current format version.

    All files that it refuses are refused on opening. What JSON Schema cannot tell, such as
    whether a name that is referred to exists, is left to `solver.checks`.
    """
    definitions: dict[str, Json] = {}
    shape_of(Project).schema(definitions)
    project = definitions.pop("Project")
    head: Json = {"format": {"const": FORMAT}, "version": {"const": VERSION}}
    properties = head | project["properties"]
    properties["variants"] |= {"minItems": 1}
    properties["current"] |= {"minimum": 0}
    return {
        "$schema": _DIALECT,
        "title": "Throwover project",
        **project,
        "description": _ABOUT,
        "properties": properties,
        "required": [*head, *project["required"]],
        "$defs": definitions,
    }


def text() -> str:
    """The schema as the text of assets/throwover.schema.json."""
    return json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"
