"""What the sheet says of how pins and torsion springs are held."""

from __future__ import annotations

import re

from tests.app.drawing.sheets import rows_under, sheet_of
from tests.example_files import EXAMPLES

LATCH = next(path for path in EXAMPLES if "latch" in path.name)


def test_the_sheet_says_how_a_torsion_spring_is_held() -> None:
    rows = {row.get("Quantity"): row["Value"] for row in rows_under(sheet_of(LATCH), "Value")}
    assert rows["Coiled"] == "left-hand, leg A lowest"
    assert rows["Lies on pin"] == "latch arm, above rod"
    assert rows["Legs"] == "straight, tangential"
    assert rows["Leg B lies against pin"] == "latch pivot, above latch"


def test_the_link_that_holds_the_pin_is_named_first() -> None:
    rows = {row["Hole"]: row["Drill ⌀"] for row in rows_under(sheet_of(LATCH), "Drill ⌀")}
    assert re.fullmatch(r"latch 8\b.*, rod 9", rows["latch arm"])
    assert re.fullmatch(r"frame 6\b.*, latch 6.6", rows["latch pivot"])
