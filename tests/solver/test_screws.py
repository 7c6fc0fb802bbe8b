"""Screws: which there are, what they refuse, how long they are bought, what carries them along."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from solver import edit, files
from solver.analysis import analyse
from solver.changes import changes
from solver.checks import problems
from solver.errors import DesignProblem
from solver.holes import HELD, hole_remarks, holes
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Pivot, Screw, Weight
from solver.parts_list import PartRow, parts_list
from solver.project import Display, Project, Variant
from solver.screws import (
    all_screws,
    fastening_notes,
    fixing_holes,
    screw_at,
    screw_length,
    taken_by,
    threads,
)

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def fixed(*places: tuple[float, float], thread: float = 6.0) -> Design:
    """Lever, rod and rocker with fixing holes at those places of the frame."""
    design = LAYOUT["rocker"]()
    for number, (x, y) in enumerate(places, 1):
        name = f"fixing {number}"
        design = edit.add_point(design, x, y, FRAME, name)
        design = edit.set_screw(design, Screw(name, thread))
    return design


def rows(design: Design, kind: str) -> list[PartRow]:
    return [row for row in parts_list(design) if row.kind == kind]


def test_the_table_is_in_order() -> None:
    table = list(threads().values())
    assert [thread.name for thread in table][2:5] == ["M5", "M6", "M8"]
    for thread in table:
        assert thread.diameter < thread.head < thread.washer <= 2.4 * thread.diameter
        # A cone of 90° is half as high as it is wider than the thread.
        assert thread.sunk_height == pytest.approx((thread.sunk - thread.diameter) / 2.0)
        wide = 2.24 if thread.diameter < 14.0 else 2.1
        assert thread.sunk == pytest.approx(wide * thread.diameter)
        assert thread.pitch < thread.nut_height < thread.diameter


def test_a_fixing_hole_is_a_clearance_hole_in_the_frame() -> None:
    design = fixed((-40.0, -60.0), (60.0, -60.0))
    assert fixing_holes(design) == ("fixing 1", "fixing 2")
    found = {hole.point: hole for hole in holes(design, FRAME, "fine")}
    assert (found["fixing 1"].fit, found["fixing 1"].diameter) == ("screw", 6.4)
    assert found["fixing 1"].tolerance == ""
    assert found["lever pivot"].tolerance == found["stop A"].tolerance == HELD


def test_it_acts_on_no_reading() -> None:
    before, after = analyse(LAYOUT["rocker"]()), analyse(fixed((-40.0, -60.0), (60.0, -60.0)))
    for key, reading in before.readings.items():
        assert after.readings[key].value == reading.value, key


def test_the_grip_has_the_knobs_screw_until_it_gets_another() -> None:
    design = LAYOUT["rocker"]()
    assert screw_at(design, "grip") == Screw("grip", 6.0)
    assert taken_by(design, Screw("grip")) == "knob"
    other = edit.set_screw(design, Screw("grip", 8.0))
    assert [screw.thread for screw in all_screws(other)] == [8.0]
    assert {hole.point: hole.diameter for hole in holes(other, "lever")}["grip"] == 9.0
    pinned = replace(design, pivots=(*design.pivots, Pivot("grip", 10.0)))
    assert screw_at(pinned, "grip") is None


@pytest.mark.parametrize(
    ("screw", "words"),
    [
        (Screw("lever pivot"), "links turn on a pin there"),
        (Screw("lever foot"), "hangs on a pin there"),
        (Screw("flap edge", 7.0), "M7, which is not in the table"),
        (Screw("nowhere"), "no point “nowhere”"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_changes(screw: Screw, words: str) -> None:
    with pytest.raises(DesignProblem, match=words):
        edit.set_screw(LAYOUT["rocker"](), screw)


def test_the_pin_of_a_slider_takes_no_screw() -> None:
    with pytest.raises(DesignProblem, match="slider"):
        edit.set_screw(replace(LAYOUT["knee"](), springs=(), limits=()), Screw("plunger pin"))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda design: replace(design, screws=(Screw("a"), *design.screws)), "needs a point “a”"),
        (lambda design: replace(design, screws=2 * design.screws), "Two screws go through"),
        (lambda design: replace(design, screws=(Screw("fixing 1", 0.0),)), "thread must be from 0"),
        (lambda design: replace(design, screws=(Screw("fixing 1", 6.0, -1.0),)), "length must be"),
        (lambda design: edit.attach(design, "fixing 1", "rocker"), "links turn on a pin there"),
    ],
)
def test_checks_name_the_screw(change: Callable[[Design], Design], words: str) -> None:
    assert any(words in str(problem) for problem in problems(change(fixed((0.0, -60.0)))))


def test_renaming_and_removing_the_point_carry_the_screw_along() -> None:
    design = fixed((-40.0, -60.0), (60.0, -60.0))
    assert edit.rename(design, "point", "fixing 1", "left").screws[0] == Screw("left")
    assert fixing_holes(edit.remove(design, "point", "fixing 1")) == ("fixing 2",)
    bare = edit.drop_screw(design, "fixing 1")
    assert bare.point("fixing 1") == design.point("fixing 1")
    assert fixing_holes(bare) == ("fixing 2",)
    assert edit.join(design, "fixing 2", "fixing 1").screws == (Screw("fixing 2"),)


def test_a_file_keeps_it() -> None:
    design = edit.set_screw(fixed((0.0, -60.0)), Screw("fixing 1", 5.0, 40.0))
    project = Project("wall", (Variant("first", design),))
    assert files.loads(files.dumps(project)).design.screws == (Screw("fixing 1", 5.0, 40.0),)


def test_what_changed_is_told_in_words() -> None:
    before, after = LAYOUT["rocker"](), fixed((0.0, -60.0))
    assert "New screw through “fixing 1”." in changes(before, after, Display())
    assert "No screw through “fixing 1” any more." in changes(after, before, Display())
    longer = edit.set_screw(after, Screw("fixing 1", 8.0, 30.0))
    assert changes(after, longer, Display()) == (
        "Fixing 1: screw M8 instead of M6, length of the screw not given → 30.0 mm.",
    )


def test_lengths_are_those_of_stock_and_follow_the_plate() -> None:
    design = edit.set_screw(fixed((0.0, -60.0)), Screw("flap edge"))
    # By hand: plate 5, washer 1.6, nut 5.2, two pitches 1: 13.8, so 16. Knob: 5 + 9.
    assert design.plate_of("rocker").thickness == 5.0  # type: ignore[union-attr]
    assert screw_length(design, Screw("flap edge")) == 16.0
    assert screw_length(design, Screw("grip")) == 16.0
    assert screw_length(design, Screw("fixing 1")) is None
    assert screw_length(design, Screw("fixing 1", 6.0, 45.0)) == 45.0
    lever = design.plate_of("lever")
    assert lever is not None
    thick = edit.set_plate(design, replace(lever, thickness=8.0))
    assert screw_length(thick, Screw("grip")) == 20.0
    assert screw_length(edit.drop_plate(design, "lever"), Screw("grip")) is None


def test_the_parts_list_has_screws_washers_and_nuts() -> None:
    design = edit.set_screw(fixed((-40.0, -60.0), (60.0, -60.0), thread=5.0), Screw("flap edge"))
    design = replace(design, weights=())
    names = {row.name: row for row in rows(design, "screw")}
    wall = names["screw M5"]
    assert (wall.count, wall.length) == (2, None)
    assert wall.note == "to suit the wall (fixing 1, fixing 2)"
    assert names["countersunk screw M6 × 16"].count == 2
    assert "in a thread 12.0 mm deep" in names["countersunk screw M6 × 16"].note
    assert [(row.name, row.count) for row in rows(design, "nut")] == [("nut M6", 1)]
    washers = {row.name: row.count for row in rows(design, "washer")}
    # Under the heads of the wall's screws and under the nut, none under a countersunk head.
    assert (washers["washer M5"], washers["washer M6"]) == (2, 1)
    (small,) = (row for row in rows(design, "washer") if row.name == "washer M5")
    assert (small.width, small.bore, small.thickness) == (10.0, 5.3, 1.0)
    assert {row.name for row in rows(design, "pin")} == {"pin m6", "anchor pin m6"}
    assert [row.name for row in rows(design, "stop")] == ["stop pin m6"]


@pytest.mark.parametrize(
    ("point", "screw", "words"),
    [
        ("flap edge", None, "how it is fastened is not settled"),
        ("flap edge", Screw("flap edge", 5.0), "on the screw there"),
        ("rod end", None, "on the pin there"),
        ("grip", None, "on the screw there"),
    ],
)
def test_a_weight_says_what_it_is_and_what_holds_it(
    point: str, screw: Screw | None, words: str
) -> None:
    design = replace(LAYOUT["rocker"](), weights=(Weight("plate", point, 0.2),))
    if screw is not None:
        design = edit.set_screw(design, screw)
    (row,) = rows(design, "weight")
    assert row.note == f"centre of mass at {point}, size free, {words}"
    settled = not any("“plate”" in note for note in fastening_notes(design))
    assert settled == ("not settled" not in words)
    if screw is not None:
        assert {row.note for row in rows(design, "screw")} >= {"to suit the weight (flap edge)"}


def test_a_frame_without_two_screws_gets_a_note_and_no_fault() -> None:
    def said(design: Design) -> str:
        return " ".join(fastening_notes(replace(design, weights=())))

    assert "How the frame is fastened is not settled" in said(LAYOUT["rocker"]())
    assert "One screw alone" in said(fixed((0.0, -60.0)))
    assert not said(fixed((-40.0, -60.0), (60.0, -60.0)))
    assert not problems(LAYOUT["rocker"]())


def test_a_screw_too_near_the_edge_is_told_as_a_screw() -> None:
    design = edit.set_screw(fixed((0.0, -60.0)), Screw("fixing 1", 16.0))
    (remark,) = [each for each in hole_remarks(design) if each.parts == (FRAME, "fixing 1")]
    assert "or the screw thinner" in remark.sentence
