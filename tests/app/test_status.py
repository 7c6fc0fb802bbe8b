"""The status bar: what a tool waits for stays, messages come and go."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QStatusTipEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel

from app.status import Prompt
from app.window import MainWindow
from solver import edit
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait
from tests.app.windows_for_tests import shown_window


@pytest.fixture
def main(tmp_path: Path, keep: Keeper, wait: Wait) -> Iterator[MainWindow]:
    made = keep(shown_window(tmp_path, wait))
    yield made
    made.session.document.undo_stack.setClean()


def prompt(main: MainWindow) -> str:
    found = main.statusBar().findChild(Prompt)
    assert isinstance(found, Prompt)
    return found.text


def tip(main: MainWindow, text: str) -> None:
    QApplication.sendEvent(main, QStatusTipEvent(text))


def test_what_a_tool_waits_for_stays_until_it_is_done(main: MainWindow) -> None:
    main.actions_by_key["add_point"].trigger()
    waits = prompt(main)
    assert waits.startswith("Click where the point goes")
    assert main.statusBar().currentMessage() == ""
    tip(main, "Open a project")
    tip(main, "")
    assert prompt(main) == waits
    spot = main.canvas.to_pixel((60.0, 60.0)).toPoint()
    QTest.mouseClick(main.canvas.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert prompt(main) == ""
    assert main.statusBar().currentMessage().startswith("point added on frame")


def test_leaving_a_tool_leaves_no_words(main: MainWindow) -> None:
    main.actions_by_key["add_link"].trigger()
    assert prompt(main)
    QTest.keyClick(main.canvas, Qt.Key.Key_Escape)
    assert prompt(main) == ""
    assert main.statusBar().currentMessage() == ""


def test_a_message_without_a_tool_is_told_for_a_while(main: MainWindow) -> None:
    main.session.message.emit("Saved.")
    assert main.statusBar().currentMessage() == "Saved."
    assert prompt(main) == ""


def test_a_message_goes_when_what_it_tells_is_undone(main: MainWindow) -> None:
    QTest.keyClick(main, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    told = main.statusBar().currentMessage()
    assert told.startswith("Kept as variant ")
    QTest.keyClick(main, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert len(main.session.document.project.variants) == 1
    assert main.statusBar().currentMessage() == ""


def test_a_message_of_before_stays_while_what_came_after_is_undone(main: MainWindow) -> None:
    document = main.session.document
    QTest.keyClick(main, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    told = main.statusBar().currentMessage()
    document.apply(edit.move_point(document.design, document.design.grip, 5.0, 130.0), "Move grip")
    assert main.statusBar().currentMessage() == told, "also a refusal stays after the hand lets go"
    QTest.keyClick(main, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert main.statusBar().currentMessage() == told
    QTest.keyClick(main, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert main.statusBar().currentMessage() == ""


def test_what_a_tool_did_is_not_told_after_it_was_undone(main: MainWindow) -> None:
    main.actions_by_key["add_point"].trigger()
    spot = main.canvas.to_pixel((60.0, 60.0)).toPoint()
    QTest.mouseClick(main.canvas.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert main.statusBar().currentMessage().startswith("point added on frame")
    QTest.keyClick(main, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert main.statusBar().currentMessage() == ""


def test_a_message_goes_with_the_project_that_it_was_about(main: MainWindow) -> None:
    document = main.session.document
    main.session.message.emit("It cannot go there.")
    document.new(document.project)
    assert main.statusBar().currentMessage() == ""


def test_a_prompt_never_widens_the_window(main: MainWindow) -> None:
    before = main.minimumSizeHint().width()
    main.actions_by_key["add_link"].trigger()
    QApplication.processEvents()
    assert main.minimumSizeHint().width() == before
    main.canvas.cancel()


def test_the_mouse_is_told_and_forgotten(main: MainWindow) -> None:
    view = main.canvas.viewport()
    QTest.mouseMove(view, main.canvas.to_pixel((20.0, 30.0)).toPoint() + QPoint(1, 0))
    QTest.mouseMove(view, main.canvas.to_pixel((20.0, 30.0)).toPoint())
    x, y = main.canvas.to_world(QPointF(main.canvas.to_pixel((20.0, 30.0)).toPoint()))
    labels = [child.text() for child in main.statusBar().findChildren(QLabel)]
    assert f"{x:.1f}, {y:.1f} mm" in labels
    QApplication.sendEvent(view, QEvent(QEvent.Type.Leave))
    assert not any("mm" in child.text() for child in main.statusBar().findChildren(QLabel))
