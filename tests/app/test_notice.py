"""The strip for notices: one at a time, none lost, none twice."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from app.notice import Notice, NoticeStrip
from tests.app.leftovers import Keeper


@pytest.fixture
def strip(keep: Keeper) -> NoticeStrip:
    return keep(NoticeStrip())


def buttons(strip: NoticeStrip) -> dict[str, QPushButton]:
    return {
        button.text(): button for button in strip.findChildren(QPushButton) if not button.isHidden()
    }


def test_notices_come_one_after_the_other(strip: NoticeStrip) -> None:
    assert not strip.isVisible()
    strip.say("First.")
    strip.say("Second.")
    strip.say("First.")
    assert strip.isVisible()
    assert strip.notice == Notice("First.")
    QTest.mouseClick(buttons(strip)["Close"], Qt.MouseButton.LeftButton)
    assert strip.notice == Notice("Second.")
    QTest.mouseClick(buttons(strip)["Close"], Qt.MouseButton.LeftButton)
    assert strip.notice is None
    assert not strip.isVisible()


def test_a_choice_is_done_once(strip: NoticeStrip) -> None:
    done: list[str] = []
    strip.put(
        Notice("Well?", (("Yes", lambda: done.append("yes")), ("No", lambda: done.append("no"))))
    )
    assert list(buttons(strip)) == ["Yes", "No"]
    QTest.mouseClick(buttons(strip)["No"], Qt.MouseButton.LeftButton)
    assert done == ["no"]
    assert strip.notice is None


def test_what_a_choice_has_to_say_comes_after_what_waits(strip: NoticeStrip) -> None:
    strip.put(Notice("Open it?", (("Open", lambda: strip.say("It is broken.")),)))
    strip.say("Waiting.")
    strip.answer(0)
    assert strip.notice == Notice("Waiting.")
    strip.answer()
    assert strip.notice == Notice("It is broken.")
