"""Projects and comparisons that the tests of variants share."""

from dataclasses import replace

from app.variants.comparison import Comparison, compared, with_copies
from app.variants.outcomes import Outcomes
from solver import files
from solver.project import Display, Project, Variant
from tests.app.projects_for_tests import impossible, layout
from tests.example_files import EXAMPLES

EXAMPLE = next(path for path in EXAMPLES if path.stem == "09-with-or-without-rod")


def four(display: Display | None = None) -> Project:
    """Four variants of different topology; the last one cannot be solved."""
    return Project(
        "Gate lever",
        (
            Variant("with rod", layout("rocker")),
            Variant("direct", layout("compression"), "fewer parts"),
            Variant("pulls", layout("extension")),
            Variant("stuck", impossible(layout("extension"))),
        ),
        display=display or Display(),
    )


def comparison(*indices: int, project: Project | None = None) -> Comparison:
    """The comparison of variants of `four`, or of another project."""
    return compared(project or four(), indices, Outcomes())


def example() -> Project:
    """The example project for comparing."""
    return files.load(EXAMPLE)


def long_names() -> Comparison:
    """Four variants whose names differ at their ends only, with copies."""
    stem = "Diverter gate of the second lane with the stiff spring, lower pin at"
    first, second = example().variants
    made = [replace(each, name=f"{stem} {at} mm") for at, each in enumerate((first, second) * 2)]
    return with_copies(comparison(0, 1, 2, 3, project=replace(example(), variants=tuple(made))))
