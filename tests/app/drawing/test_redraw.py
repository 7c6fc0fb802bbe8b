"""From the printed sheet alone: the linkage drawn anew reads as the first one does."""

from dataclasses import replace
from pathlib import Path

import pytest

from app.drawing.model import Drawing
from solver.analysis import analyse
from solver.model import Design, ExtensionSpring, Point, Spring, TorsionSpring
from tests.app.drawing.sheets import rows_under, sheet_of, solved
from tests.example_files import EXAMPLES, named

READINGS = ("holding_force_a", "holding_force_b", "peak_effort", "throw", "travel_at_grip")


def number(text: str) -> float:
    return float(text.split()[0].strip("°⌀").replace("−", "-"))


def places(pages: tuple[Drawing, ...]) -> dict[str, tuple[float, float]]:
    rows = rows_under(pages, "Drill ⌀")
    return {row["Hole"]: (number(row["x"]), number(row["y"])) for row in rows}


def spring_from_sheet(spring: Spring, pages: tuple[Drawing, ...]) -> Spring:
    """The spring with the numbers of its table (the examples have one spring at the most)."""
    told = {row["Quantity"]: row["Value"] for row in rows_under(pages, "Quantity")}
    rate = number(told["Rate"])
    if isinstance(spring, TorsionSpring):
        return replace(spring, rate=rate, free_angle=number(told["Free angle of the legs"]))
    free = number(told["Free length"])
    if isinstance(spring, ExtensionSpring):
        tension = number(told["Initial tension"])
        return replace(spring, rate=rate, free_length=free, initial_tension=tension)
    return replace(spring, rate=rate, free_length=free, solid_length=number(told["Solid length"]))


def redrawn(design: Design, pages: tuple[Drawing, ...]) -> Design:
    where = places(pages)
    friction = {row["Hole"]: row["Friction"] for row in rows_under(pages, "Friction")}
    return replace(
        design,
        points=tuple(Point(point.name, *where[point.name]) for point in design.points),
        springs=tuple(spring_from_sheet(spring, pages) for spring in design.springs),
        pivots=tuple(
            replace(pivot, friction=number(friction[pivot.point])) for pivot in design.pivots
        ),
    )


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_linkage_redrawn_from_its_sheet_reads_the_same(path: Path) -> None:
    project, first = solved(path)
    second = analyse(redrawn(project.design, sheet_of(path)))
    for key in READINGS:
        assert second.readings[key].value == pytest.approx(first.readings[key].value, rel=0.005), (
            key
        )
