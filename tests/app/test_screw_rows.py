"""A screw through a point, edited in the inspector with mouse and keys on a real document."""

import pytest
from PySide6.QtTest import QTest

from app.session import Ref
from solver import edit
from solver.model import Screw
from tests.app.leftovers import Keeper
from tests.app.test_inspector import KEY, Bench
from tests.app.waiting import Wait


@pytest.fixture
def bench(keep: Keeper, wait: Wait) -> Bench:
    made = Bench(keep, wait)
    made.settle()
    return made


def test_a_screw_goes_through_a_point_with_its_thread_and_length(bench: Bench) -> None:
    bench.use(lambda design: edit.add_point(design, -60.0, -40.0, "frame", "corner"))
    bench.select(Ref("point", "corner"))
    assert not bench.shown("thread")
    bench.tick(bench.control("screw"))
    assert bench.last == "Put a screw through corner"
    assert bench.heads()[1] == "Point: fixing hole"
    bench.choose("thread", "M5")
    assert bench.last == "Set thread of the screw at corner"
    bench.type("length", "35")
    assert bench.design.screws == (Screw("corner", 5.0, 35.0),)
    line = bench.field("length").line
    line.setFocus()
    line.selectAll()
    QTest.keyClick(line, KEY.Key_Backspace)
    QTest.keyClick(line, KEY.Key_Return)
    assert bench.design.screws == (Screw("corner", 5.0),)
    bench.tick(bench.control("screw"))
    assert bench.design.screws == ()
    assert bench.last == "Take the screw out of corner"
    assert not bench.shown("thread")
    bench.session.document.undo()
    assert bench.design.screws == (Screw("corner", 5.0),)


def test_the_knobs_screw_has_a_thread_and_a_pin_leaves_no_room_for_one(bench: Bench) -> None:
    bench.select(Ref("point", "grip"))
    assert not bench.shown("screw")
    bench.choose("thread", "M8")
    assert bench.design.screws == (Screw("grip", 8.0),)
    bench.select(Ref("point", "pivot"))
    assert not bench.shown("screw")
    assert not bench.shown("thread")
