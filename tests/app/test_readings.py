"""The readings table: what it says, that it writes only what changed, what can be done in it."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QTreeWidgetItem

from app.limit_dialog import LimitDialog
from app.readings import ReadingsTable
from app.session import Session
from solver import files, units
from solver.edit import move_point, rename
from solver.model import Limit
from solver.project import Display, Project
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import impossible, project, session
from tests.app.waiting import Wait
from tests.example_files import EXAMPLES

LABEL, VALUE, UNIT, WHERE = range(4)


def shown(keep: Keeper, made: Session) -> ReadingsTable:
    table = keep(ReadingsTable(made))
    table.resize(420, 700)
    table.show()
    QTest.qWaitForWindowExposed(table)
    return table


def lines(table: ReadingsTable) -> dict[str, list[tuple[str, ...]]]:
    """Group -> its lines."""
    found = {}
    for number in range(table.topLevelItemCount()):
        group = table.topLevelItem(number)
        assert group is not None
        children = [group.child(index) for index in range(group.childCount())]
        found[group.text(LABEL)] = [
            tuple(child.text(column) for column in range(4)) for child in children if child
        ]
    return found


def item(table: ReadingsTable, key: str) -> QTreeWidgetItem:
    return table._items[key]


def middle(table: ReadingsTable, key: str) -> QPoint:
    return table.visualItemRect(item(table, key)).center()


def test_every_reading_is_there_in_its_group_and_order(keep: Keeper) -> None:
    made = session("rocker")
    table = shown(keep, made)
    assert made.analysis is not None
    wanted: dict[str, list[str]] = {}
    for reading in made.analysis.readings.values():
        wanted.setdefault(reading.group, []).append(reading.label)
    got = lines(table)
    assert {group: [line[LABEL] for line in rows] for group, rows in got.items()} == wanted
    assert list(got) == list(wanted)


def test_value_unit_and_place_are_written(keep: Keeper) -> None:
    made = session("compression")
    table = shown(keep, made)
    assert made.analysis is not None
    hold = made.analysis.readings["holding_force"]
    assert item(table, "holding_force").text(VALUE) == f"{hold.value:.2f}"
    assert item(table, "holding_force").text(UNIT) == "N"
    assert item(table, "holding_force").text(WHERE) == ""
    assert item(table, "slack_margin").text(WHERE) == "rest A"
    assert item(table, "bottoming_margin").text(WHERE) == "dead centre"
    commit = made.analysis.readings["commit_from_a"].value
    assert item(table, "commit_from_a").text(WHERE) == f"{commit:.1f}°"


def test_only_changed_texts_are_written(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    table = shown(keep, made)
    told: list[str] = []
    table.itemChanged.connect(lambda changed, column: told.append(changed.text(LABEL)))
    made.refresh()
    assert told == []
    with wait.for_signal(made.updated):
        made.document.apply(move_point(made.document.design, "spring anchor", 0.0, -94.0), "Move")
    assert "Holding force at rest A" in told
    assert "Throw" not in told
    assert "Travel at the grip" not in told


def test_inches(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    table = shown(keep, made)
    with wait.for_signal(made.updated):
        value = made.document.project
        inch = Project(value.title, value.variants, value.current, Display(units="inch"))
        made.document.apply_project(inch, "Units")
    assert made.analysis is not None
    hold = made.analysis.readings["holding_force"].value
    assert item(table, "holding_force").text(UNIT) == "lbf"
    assert item(table, "holding_force").text(VALUE) == units.number(
        hold, "force", Display(units="inch")
    )


def test_double_click_moves_the_lever_to_the_reading(keep: Keeper) -> None:
    made = session("compression")
    table = shown(keep, made)
    made.set_travel(3.0)
    for key, travel in (("bottoming_margin", 24.0), ("peak_effort_to_a", 48.0)):
        place = middle(table, key)
        QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=place)
        QTest.mouseDClick(table.viewport(), Qt.MouseButton.LeftButton, pos=place)
        assert made.travel() == pytest.approx(travel, abs=0.01)
    QTest.mouseDClick(
        table.viewport(), Qt.MouseButton.LeftButton, pos=middle(table, "holding_force")
    )
    assert made.travel() == pytest.approx(48.0, abs=0.01)


def test_enter_does_the_same(keep: Keeper) -> None:
    made = session("compression")
    table = shown(keep, made)
    made.set_travel(3.0)
    table.setCurrentItem(item(table, "bottoming_margin"))
    QTest.keyClick(table, Qt.Key.Key_Return)
    assert made.travel() == pytest.approx(24.0, abs=0.01)


def test_copying(keep: Keeper) -> None:
    table = shown(keep, session("compression"))
    for key, modifier in (
        ("holding_force_a", Qt.KeyboardModifier.NoModifier),
        ("holding_force_b", Qt.KeyboardModifier.ControlModifier),
    ):
        QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, modifier, middle(table, key))
    QTest.keySequence(table, QKeySequence(QKeySequence.StandardKey.Copy))
    copied = QGuiApplication.clipboard().text().split("\n")
    assert [line.split("\t")[LABEL] for line in copied] == [
        "Holding force at rest A",
        "Holding force at rest B",
    ]
    assert copied[0].split("\t")[UNIT] == "N"
    table.copy_all()
    everything = QGuiApplication.clipboard().text().split("\n")
    assert len(everything) == sum(len(rows) for rows in lines(table).values())


def test_the_menu_offers_what_the_reading_allows(keep: Keeper) -> None:
    table = shown(keep, session("compression"))
    for key, movable in (("holding_force", False), ("peak_effort", True)):
        table.setCurrentItem(item(table, key))
        menu = keep(table.menu())
        enabled = {action.text(): action.isEnabled() for action in menu.actions()}
        assert enabled["Set a &limit…"]
        assert enabled["&Move the lever there"] is movable


def test_a_limit_can_be_set_from_a_reading(keep: Keeper) -> None:
    made = session("compression")
    table = shown(keep, made)
    table.setCurrentItem(item(table, "throw"))
    menu = keep(table.menu())
    next(action for action in menu.actions() if "limit" in action.text()).trigger()
    (dialog,) = [one for one in QApplication.topLevelWidgets() if isinstance(one, LimitDialog)]
    assert dialog.kind.key == "throw"
    QTest.keyClicks(dialog.at_most.line, "1 rad")
    QTest.mouseClick(dialog.accept_button, Qt.MouseButton.LeftButton)
    assert made.document.design.limits[-1].reading == "throw"
    assert made.document.design.limits[-1].at_most == pytest.approx(57.29578)


def test_another_set_of_readings_keeps_the_current_one(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    table = shown(keep, made)
    table.setCurrentItem(item(table, "throw"))
    with wait.for_signal(made.updated):
        design = rename(made.document.design, "spring", "main spring", "strong one")
        made.document.apply(design, "Rename")
    assert "Slack margin, strong one" in [line[LABEL] for line in lines(table)["Springs"]]
    assert table.currentItem() is item(table, "throw")


def test_without_an_analysis_the_table_is_empty(keep: Keeper, wait: Wait) -> None:
    made = session()
    table = shown(keep, made)
    with wait.for_signal(made.updated):
        made.document.new(project().with_design(impossible(project().design)))
    assert lines(table) == {}
    assert made.document.design.limits != (Limit("throw"),)


def test_a_narrow_table_gives_the_names_the_room_of_the_places(keep: Keeper) -> None:
    table = shown(keep, session("compression"))
    assert not table.isColumnHidden(WHERE)
    table.resize(250, 700)
    assert table.isColumnHidden(WHERE)
    assert table.columnWidth(LABEL) > 100
    table.resize(420, 700)
    assert not table.isColumnHidden(WHERE)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("width", [280, 320, 420])
def test_names_are_read_whole(path: Path, width: int, keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    table = shown(keep, made)
    with wait.for_signal(made.updated):
        made.document.new(files.load(path))
    table.resize(width, 700)
    QApplication.processEvents()
    metrics = table.fontMetrics()
    for line in table._items.values():
        name, count = table.labels.broken(table.indexFromItem(line))
        parts = name.split("\u2028")
        assert " ".join(parts) == line.text(LABEL)
        room = table.visualItemRect(line)
        assert room.height() >= count * metrics.height() == len(parts) * metrics.height()
        assert max(metrics.horizontalAdvance(part) for part in parts) < table.columnWidth(LABEL)


def test_a_long_name_breaks_at_its_comma(keep: Keeper) -> None:
    table = shown(keep, session("compression"))
    table.resize(280, 700)
    QApplication.processEvents()
    name, count = table.labels.broken(table.indexFromItem(item(table, "commit_from_b")))
    assert (name, count) == ("Commit point,\u2028thrown from B", 2)
    table.resize(600, 700)
    QApplication.processEvents()
    assert table.labels.broken(table.indexFromItem(item(table, "commit_from_b")))[1] == 1
    low, high = (table.visualItemRect(item(table, key)) for key in ("commit_from_b", "throw"))
    assert low.height() == high.height()


def test_other_readings_select_nothing_by_themselves(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    table = shown(keep, made)
    with wait.for_signal(made.updated):
        made.document.new(project("rocker"))
    assert table.selectedItems() == []
    assert table.currentItem() is item(table, "holding_force")


def test_a_chosen_reading_stays_chosen_among_others(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    table = shown(keep, made)
    table.setCurrentItem(item(table, "barrier"))
    with wait.for_signal(made.updated):
        made.document.new(project("rocker"))
    assert table.selectedItems() == [item(table, "barrier")]
