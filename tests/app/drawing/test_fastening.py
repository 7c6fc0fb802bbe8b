"""What a sheet tells of screws, fits and how things are fastened."""

from dataclasses import replace

from app.drawing.model import Circle, Drawing, Layer
from app.drawing.sheet import compose
from app.drawing.template import template
from solver import files
from tests.app.drawing.faults import texts
from tests.app.drawing.sheets import rows_under, sheet_of
from tests.example_files import EXAMPLES

LATCH = next(path for path in EXAMPLES if "latch" in path.name)


def said(pages: tuple[Drawing, ...]) -> str:
    return " ".join(text.text for page in pages for text in texts(page))


def test_holes_say_what_they_are_reamed_to_and_screws_their_thread() -> None:
    rows = {row["Hole"]: row for row in rows_under(sheet_of(LATCH), "Drill ⌀")}
    assert rows["lever pivot"]["Drill ⌀"] == "frame 6 H7, lever 6.6"
    assert rows["stop A"]["Drill ⌀"] == "frame 6 H7"
    assert (rows["fixing 1"]["Pin ⌀"], rows["fixing 1"]["Drill ⌀"]) == ("M6", "frame 6.6")
    assert rows["grip"]["Drill ⌀"] == "lever 6.6, countersunk from behind"
    assert "parallel pin m6 (ISO 2338" in said(sheet_of(LATCH))


def test_a_fixing_hole_is_drawn_as_a_hole() -> None:
    def rings(screws: bool) -> int:
        project = files.load(LATCH)
        design = project.design if screws else replace(project.design, screws=())
        page = compose(project.with_design(design))[0]
        return sum(isinstance(each, Circle) and each.layer is Layer.HOLES for each in page.elements)

    assert rings(screws=True) - rings(screws=False) == 4  # three of the frame, one for the plate


def test_what_is_not_fastened_is_a_note() -> None:
    words = "How the frame is fastened is not settled"
    assert words not in said(sheet_of(LATCH))
    project = files.load(LATCH)
    bare = said(compose(project.with_design(replace(project.design, screws=()))))
    assert words in bare
    assert "How “latch plate” is fastened is not settled" in bare


def test_weights_are_said_to_be_masses_of_free_size() -> None:
    rows = {row["Load"]: row for row in rows_under(sheet_of(LATCH), "Load")}
    assert rows["latch plate"]["At"] == "centre at latch nose"
    assert "its size is free" in said(sheet_of(LATCH))


def test_the_template_says_what_to_ream_and_for_which_screw() -> None:
    shown = {text.text for page in template(files.load(LATCH)) for text in texts(page)}
    assert {"⌀6 mm H7 stop A", "⌀6.6 mm for M6 fixing 1", "hole: punch, drill; H7: ream"} <= shown


def test_only_pages_of_countersunk_plates_have_that_in_their_legend() -> None:
    project = files.load(LATCH)
    named = []
    for page in template(project, [link.name for link in project.design.links]):
        shown = [text.text for text in texts(page)]
        sunk = any(" for sunk M" in text for text in shown)
        assert sunk == ("sunk: countersink 90° from behind, head flush" in shown)
        named += [page.name] * sunk
    assert named == ["lever", "latch"]


def test_the_parts_list_has_countersunk_screws_and_tells_bores_from_outsides() -> None:
    rows = {row["Name"]: row for row in rows_under(sheet_of(LATCH), "Item")}
    screws = [row for row in rows_under(sheet_of(LATCH), "Item") if row["Name"] == "screw"]
    assert [(row["Size"], row["Remark"].split(",")[0]) for row in screws] == [
        *(("M6 × 16", "countersunk"), ("M5", "countersunk")),
        ("M6", "to suit the wall (fixing 1"),
    ]
    assert rows["retaining ring"]["Remark"] == "DIN 471 or like"
    assert rows["washer M5"]["Size"] == "⌀10/5.3 × 1"
    assert rows["spacer"]["Size"].startswith("⌀12/6.4 × ")
    assert rows["nut M5"]["Count"] == "1"
    washers = {row["Size"] for row in rows_under(sheet_of(LATCH), "Item") if "pivot" in row["Name"]}
    assert washers == {"⌀12/6.4 × 1", "⌀10/5.3 × 1", "⌀16/8.4 × 1"}  # bores of ISO 7089
