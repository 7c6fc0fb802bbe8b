"""What the sheet tells of springs, and what their builder wrote."""

from dataclasses import replace

import pytest

from app.drawing.model import Drawing
from app.drawing.sheet import compose
from tests.app.drawing.faults import overlaps
from tests.app.drawing.sheets import DAY, rows_under, sheet_of, solved, with_spring
from tests.app.drawing.test_sheet import CLAMP, FLAP, HOSTILE, LATCH, TWIN, said


def spring_rows(pages: tuple[Drawing, ...]) -> list[tuple[str, str]]:
    return [(row["Quantity"], row["Value"]) for row in rows_under(pages, "Quantity")]


def test_springs_pin_to_pin_and_by_themselves_are_told_apart() -> None:
    rows = dict(spring_rows(sheet_of(CLAMP)))
    fittings = solved(CLAMP)[0].design.springs[0].fittings  # type: ignore[union-attr]
    every = sheet_of(CLAMP)[0].dimensions()
    drawn = {one.text.split()[-1] for one in every if one.key.startswith("spring:")}
    poses = ("rest A", "dead centre", "rest B")
    assert {rows[f"Pin to pin at {pose}"].split()[0] for pose in poses} == drawn
    for pose in poses:
        told = (rows[f"{words} at {pose}"] for words in ("Pin to pin", "Length"))
        apart, own = (float(text.split()[0]) for text in told)
        assert apart - own == pytest.approx(fittings, abs=0.011)


def test_all_of_a_spring_stands_in_one_table() -> None:
    """Without end fittings its length is that from pin to pin, and is not told twice."""
    for path in (FLAP, LATCH, CLAMP, TWIN):
        name = solved(path)[0].design.springs[0].name
        headings = [
            text for text in said(sheet_of(path)).split("\n") if text.startswith(f"{name}, ")
        ]
        assert len(headings) == 1
        assert headings[0].endswith(" spring")
    bare = with_spring(solved(FLAP)[0], fittings=0.0, free_length=80.0)
    rows = dict(spring_rows(compose(bare, today=DAY)))
    assert rows["Between"] == "spring anchor, lever foot"
    assert not any(words.startswith("Pin to pin") for words in rows)
    assert all(value for _, value in spring_rows(sheet_of(TWIN)))


def test_spring_data_stand_in_the_order_of_iso_2162() -> None:
    """Wire, diameters, coils, lengths with their loads from free to solid, rate; EN 13906 terms.

    The order is recalled from memory. Loads: 2.56 N/mm times what is left of 72 mm.
    """
    rows = [row for row in spring_rows(sheet_of(FLAP)) if not row[0].startswith("Pin to pin")]
    assert rows[:13] == [
        ("Wire, assumed", "spring steel EN 10270-1"),
        ("Wire diameter", "1.6 mm"),
        ("Outside diameter", "⌀15.6 mm"),
        ("Mean diameter", "⌀14 mm"),
        ("Coils in all", "11.5"),
        ("Coils that work, ends closed", "9.5"),
        ("Free length", "72 mm"),
        ("Length at rest A", "58.4 mm, 34.8 N"),
        ("Length at dead centre", "54 mm, 46.1 N"),
        ("Length at rest B", "58.4 mm, 34.8 N"),
        ("Solid length", "18.4 mm, 137.2 N"),
        ("Sum of least gaps", "3.3 mm"),
        ("Rate", "2.560 N/mm"),
    ]


def test_what_is_not_known_of_a_spring_is_one_row_and_no_blanks() -> None:
    project, _ = solved(FLAP)
    rows = spring_rows(compose(with_spring(project, wire=None, coils=None), today=DAY))
    assert rows[:3] == [
        ("Outside diameter", "⌀15.6 mm"),
        ("Wire and coils not given", ""),
        ("Free length", "72 mm"),
    ]
    noted = with_spring(project, wire=None, outside_diameter=None, coils=None, order_note="row 2")
    rows = spring_rows(compose(noted, today=DAY))
    assert rows[:2] == [
        ("Wire, outside diameter and coils not given", ""),
        ("Order number, note", "row 2"),
    ]


def test_thin_wire_is_told_apart_in_inches() -> None:
    inch = dict(spring_rows(sheet_of(FLAP, units="inch")))
    assert inch["Wire diameter"] == "0.0630 in"
    both = dict(spring_rows(sheet_of(FLAP, units="both")))
    assert both["Wire diameter"] == "1.6 mm [0.0630 in]"
    assert both["Free length"] == "72 mm [2.835 in]"
    project, _ = solved(FLAP)
    thin = with_spring(project, wire=1.25)
    pages = compose(replace(thin, sheet=replace(thin.sheet, units="inch")), today=DAY)
    assert dict(spring_rows(pages))["Wire diameter"] == "0.0492 in"


def test_a_torsion_springs_moments_and_stresses_are_told() -> None:
    """80° at 16 N·mm/° make 1280 N·mm, and 32 · 1280 / (π · 2.25³) = 1145 N/mm²."""
    rows = dict(spring_rows(sheet_of(LATCH)))
    assert rows["Coils"] == "5.25"
    assert rows["Greatest twist allowed"] == "80°, 1280 N·mm"
    assert rows["Rest A: axis to pins, twist, moment"] == "65.3°, −44.7°, 715 N·mm"
    assert rows["Rate at the pins, legs included"] == "16.00 N·mm/°"
    assert rows["Bending stress, greatest twist"] == "1145 N/mm²"
    assert rows["Stress allowed"] == "ask the maker"
    assert (rows["Free angle, axis to the pins"], rows["Free angle, straight legs"]) == (
        "110° ±5°",
        "87.0° ±5°",
    )


def test_the_builders_notes_stand_on_the_sheet() -> None:
    """But for what they say to try in the sketch."""
    words = said(sheet_of(LATCH)).replace("\n", " ")
    assert "About the design" in words
    assert "steel 5 × 45 × 85 (0.150 kg)" in words
    assert "Try this" not in words
    project, _ = solved(FLAP)
    clamp = said(sheet_of(CLAMP)).replace("\n", " ")
    assert "Rest A must lie beyond dead centre" in clamp
    assert "Try this" not in clamp
    bare = project.with_design(replace(project.design, notes="Try this: pull."))
    assert "About the design" not in said(compose(bare, today=DAY))


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_order_numbers_are_fitted(text: str) -> None:
    project, _ = solved(FLAP)
    pages = compose(with_spring(project, order_note=text), today=DAY)
    assert [fault for page in pages for fault in overlaps(page)] == []
    told = [value for words, value in spring_rows(pages) if words == "Order number, note"]
    assert all(value.isprintable() for value in told)
