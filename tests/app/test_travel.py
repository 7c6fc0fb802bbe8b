"""The travel slider: mouse, keys, and following the session."""

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.session import Session
from app.travel import TravelSlider
from solver.edit import move_point
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


class Paints(QObject):
    """Counts how often a widget is painted."""

    def __init__(self, widget: TravelSlider) -> None:
        super().__init__(widget)
        self.count = 0
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Count, and let it pass."""
        self.count += event.type() == QEvent.Type.Paint
        return False


def test_the_marks_follow_every_step_of_a_drag(
    slider: TravelSlider, shown: Session, wait: Wait
) -> None:
    with wait.for_signal(shown.updated):
        shown.document.new(project("compression"))
    QTest.qWaitForWindowExposed(slider)
    QApplication.processEvents()
    paints, design = Paints(slider), shown.document.design
    for step in (1, 2, 3):
        paints.count = 0
        shown.document.preview(move_point(design, "spring anchor", 3.0 * step, -94.0))
        shown.refresh()
        QApplication.processEvents()
        assert paints.count == 1
    paints.count = 0
    shown.document.preview(move_point(design, "spring anchor", 9.001, -94.0))
    shown.refresh()
    QApplication.processEvents()
    assert paints.count == 0, "nothing on the track is at another pixel"
    shown.document.cancel()


def test_without_an_analysis_there_is_nothing_to_move(
    slider: TravelSlider, shown: Session, wait: Wait
) -> None:
    made = project()
    with wait.for_signal(shown.updated):
        shown.document.new(made.with_design(impossible(made.design)))
    assert not slider.isEnabled()
    slider.grab()
