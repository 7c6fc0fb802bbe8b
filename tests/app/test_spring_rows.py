"""What a bought spring looks like, edited in the inspector with keys on a real document."""

from dataclasses import replace

from PySide6.QtTest import QTest

from app.session import Ref
from solver.model import TorsionSpring
from tests.app.leftovers import Keeper
from tests.app.test_inspector import KEY, SPRING, Bench
from tests.app.waiting import Wait


def test_what_a_spring_looks_like_is_typed_in_any_unit_and_may_be_emptied(
    keep: Keeper, wait: Wait
) -> None:
    bench = Bench(keep, wait)
    bench.settle()
    bench.select(SPRING)
    keys = ("wire", "outside_diameter", "coils")
    assert [bench.text(key) for key in keys] == ["", "", ""]
    before = bench.commands
    bench.type("wire", "0.0625 in")
    bench.type("outside_diameter", "12.5")
    bench.type("coils", "31.5")
    bench.type("order_note", "drawer 4")
    (spring,) = bench.design.springs
    assert (spring.wire, spring.outside_diameter, spring.coils) == (1.5875, 12.5, 31.5)
    assert spring.order_note == "drawer 4"
    assert bench.commands == before + 4
    assert bench.last == "Set order number of main spring"
    assert [bench.text(key) for key in keys] == ["1.59 mm", "12.5 mm", "31.50"]
    coils = bench.field("coils").line
    coils.setFocus()
    coils.selectAll()
    QTest.keyClick(coils, KEY.Key_Backspace)
    QTest.keyClick(coils, KEY.Key_Return)
    assert bench.design.springs[0].coils is None
    bench.session.document.undo_stack.undo()
    bench.settle()
    assert bench.design.springs[0].coils == 31.5
    assert bench.text("coils") == "31.50"
    bench.type("wire", "0")
    assert bench.design.springs[0].wire == 1.5875  # refused in the field
    QTest.keyClick(bench.field("wire").line, KEY.Key_Escape)
    bench.settle()


def test_every_kind_of_spring_has_rows_for_what_it_looks_like(keep: Keeper, wait: Wait) -> None:
    bench = Bench(keep, wait, "compression")
    coil = TorsionSpring("coil", "pivot", "grip", "spring anchor", rate=20.0, free_angle=30.0)
    bench.use(lambda design: replace(design, springs=(*design.springs, coil)))
    for name, at in (("main spring", 0), ("coil", 1)):
        bench.select(Ref("spring", name))
        bench.type("wire", "2")
        bench.type("coils", "9")
        assert (bench.design.springs[at].wire, bench.design.springs[at].coils) == (2.0, 9.0)
