"""What the sheet tells a machinist who has nothing else: digits, shapes, which table governs."""

import math
from pathlib import Path

import pytest

from app.drawing.dimension_parts import leader_of
from app.drawing.model import AngularDimension, Drawing
from app.drawing.paper import SIZES
from app.report import as_text
from solver.parts_list import parts_list
from solver.project import Sheet
from tests.app.drawing.faults import texts
from tests.app.drawing.sheets import rows_under, sheet_of, solved
from tests.example_files import EXAMPLES, named

FLAP = next(path for path in EXAMPLES if "sorting" in path.name)
LATCH = next(path for path in EXAMPLES if "latch" in path.name)


def said(pages: tuple[Drawing, ...]) -> str:
    return "\n".join(text.text for page in pages for text in texts(page))


def test_readings_have_the_digits_that_check_prints() -> None:
    """One formatter for what was computed, whatever its quantity, on the sheet and by check."""
    project, analysis = solved(LATCH)
    printed = as_text(project, analysis)
    told = {
        row["At the bench"]: row["Value"] for row in rows_under(sheet_of(LATCH), "At the bench")
    }
    assert (told["Travel at the grip, along its arc"], told["Hang zone at the grip"]) == (
        "172.8 mm",
        "2.9 mm",
    )
    assert all(f" {value}" in printed for value in told.values())
    read = [row["Read"] for row in rows_under(sheet_of(LATCH), "Read")]
    assert all(f" is {value}," in printed for value in read)
    poses = {row["Pose"]: row["From rest A"] for row in rows_under(sheet_of(LATCH), "Pose")}
    assert poses["dead centre"] == told["Dead centre, from rest A"] == "32.2°"


def test_the_sheet_says_what_a_machinist_would_have_to_ask() -> None:
    pages = sheet_of(LATCH)
    text = said(pages).replace("\n", " ")
    for words in (
        "which its holes are drilled to",
        "of moving links a check only",
        "drilling template 1:1 and outlines (DXF, SVG)",
        "Deburr all edges and holes.",
        "with 0.3 mm of end play before each ring",
        "countersunk 90° from the frame's side, flush (M5 ⌀11.2, M6 ⌀13.44, as for ISO 10642",
        "of hardened ISO 8734 only those without a ring",
        "both ways count",
        "Stop holes are for round pins of the diameter given",
        "a twist is that angle less the free one",
    ):
        assert words in text
    plates = {row["Link"]: row for row in rows_under(pages, "Inner R")}
    # Three quarters of the width; the other links are straight, the frame's board has none.
    assert {link: row["Inner R"] for link, row in plates.items()} == {
        **{"frame": "–", "lever": "–", "rod": "–"},
        "latch": "21",
    }
    # The lever lies on both sides of its pivot, the rod's two holes are all it has.
    assert {link: row["Along holes"] for link, row in plates.items()} == {
        **{"frame": "solid board round all", "lever": "8–1–9", "rod": "9–10"},
        "latch": "10–2–11",
    }
    parts = {part.name: part.mass for part in parts_list(solved(LATCH)[0].design, Sheet())}
    for link, row in plates.items():
        assert row["Mass"] == f"{parts[link]:.3f} kg"


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("units", ["mm", "inch", "both"])
def test_the_table_of_holes_begins_on_the_second_page_at_the_latest(
    path: Path, size: str, units: str
) -> None:
    pages = sheet_of(path, size=size, units=units)
    assert rows_under(pages[:2], "Drill ⌀")


def test_general_tolerances_are_in_the_units_of_the_sheet() -> None:
    rows = rows_under(sheet_of(FLAP, units="inch"), "Sizes over, up to")
    assert rows[0] == {"Sizes over, up to": "0.020 to 0.118", "Allowed": "±0.0039"}
    rows = rows_under(sheet_of(FLAP, units="both"), "Sizes over, up to")
    assert rows[0] == {
        "Sizes over, up to": "0.5 to 3 [0.020 to 0.118]",
        "Allowed": "±0.1 [±0.0039]",
    }


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("size", SIZES)
def test_angles_stand_at_their_arcs_or_on_a_short_leader(path: Path, size: str) -> None:
    for one in sheet_of(path, size=size)[0].dimensions():
        if isinstance(one, AngularDimension):
            for line in leader_of(one)[:1]:
                assert math.dist(line.start, line.end) < 18.0, one.key
