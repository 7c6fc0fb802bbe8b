"""The travel slider: mouse, keys, and following the session."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.session import Session
from app.travel import TravelSlider
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import impossible, project, session
from tests.app.waiting import Wait


@pytest.fixture
def shown(qapp: object) -> Session:
    return session()


@pytest.fixture
def slider(shown: Session, keep: Keeper, wait: Wait) -> TravelSlider:
    made = keep(TravelSlider(shown))
    made.resize(400, made.sizeHint().height())
    made.show()
    wait.until(made.isVisible)
    return made


def throw(shown: Session) -> float:
    assert shown.analysis is not None
    return shown.analysis.throw


def test_pressing_and_dragging_moves_the_lever(slider: TravelSlider, shown: Session) -> None:
    left = Qt.MouseButton.LeftButton
    QTest.mousePress(slider, left, pos=QPoint(200, 16))
    assert shown.travel() == pytest.approx(throw(shown) / 2, abs=0.1)
    QTest.mouseMove(slider, QPoint(399, 16))
    assert shown.travel() == pytest.approx(throw(shown))
    QTest.mouseRelease(slider, left, pos=QPoint(399, 16))
    QTest.mouseMove(slider, QPoint(100, 16))
    assert shown.travel() == pytest.approx(throw(shown))


def test_keys_move_the_lever(slider: TravelSlider, shown: Session) -> None:
    for key, travel in (
        (Qt.Key.Key_Home, 0.0),
        (Qt.Key.Key_Right, 1.0),
        (Qt.Key.Key_PageUp, 6.0),
        (Qt.Key.Key_Left, 5.0),
        (Qt.Key.Key_End, throw(shown)),
    ):
        QTest.keyClick(slider, key)
        assert shown.travel() == pytest.approx(travel)


def test_the_slider_follows_without_answering_back(slider: TravelSlider, shown: Session) -> None:
    shown.set_travel(7.123)
    assert slider.value() == 71
    assert shown.travel() == pytest.approx(7.123)
    assert "7.1" in slider.accessibleDescription()


def test_another_design_has_another_range(slider: TravelSlider, shown: Session, wait: Wait) -> None:
    with wait.for_signal(shown.updated):
        shown.document.new(project("knee"))
    assert slider.maximum() == round(throw(shown) * 10)


def test_without_an_analysis_there_is_nothing_to_move(
    slider: TravelSlider, shown: Session, wait: Wait
) -> None:
    made = project()
    with wait.for_signal(shown.updated):
        shown.document.new(made.with_design(impossible(made.design)))
    assert not slider.isEnabled()
    slider.grab()
