"""The pace of words and numbers: slower than a drag, and never behind it for long."""

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication

from app.calm import PACE
from app.session import Session
from solver.edit import move_point
from tests.app.projects_for_tests import session
from tests.app.waiting import Wait


class View(QObject):
    """Counts how often it is to show something."""

    def __init__(self, made: Session, told: list["View"]) -> None:
        super().__init__(made)
        self.count = 0
        self._told = told
        made.calm.follow(self.show)

    def show(self) -> None:
        """Show what is new."""
        self.count += 1
        self._told.append(self)


class Drag:
    """Moves a point step by step while two views follow."""

    def __init__(self, made: Session) -> None:
        self.session = made
        self.told: list[View] = []
        self.first, self.second = View(made, self.told), View(made, self.told)
        self.steps = 0
        self._start = made.document.design

    def step(self) -> None:
        """One step of the drag, analysed."""
        self.steps += 1
        design = move_point(self._start, "spring anchor", 0.1 * self.steps, -94.0)
        self.session.document.preview(design)
        self.session.refresh()


def test_outside_a_gesture_every_change_is_told_at_once(qapp: QApplication) -> None:
    drag = Drag(session("compression"))
    for _ in range(3):
        drag.session.refresh()
    assert drag.told == 3 * [drag.first, drag.second]


def test_a_step_of_a_drag_is_not_held_up(qapp: QApplication) -> None:
    drag = Drag(session("compression"))
    for _ in range(4):
        drag.step()
    assert drag.told == []
    drag.session.document.cancel()


def test_the_views_take_turns(wait: Wait) -> None:
    drag = Drag(session("compression"))

    def stepped() -> bool:
        drag.step()
        return len(drag.told) >= 6

    wait.until(stepped)
    assert drag.told[:6] == 3 * [drag.first, drag.second]
    drag.session.document.cancel()


def test_the_last_step_is_told_while_the_hand_holds_still(wait: Wait) -> None:
    drag = Drag(session("compression"))
    for _ in range(4):
        drag.step()
    wait.until(lambda: len(drag.told) == 2, seconds=20 * PACE / 1000)
    QApplication.processEvents()
    assert drag.told == [drag.first, drag.second]
    drag.session.document.cancel()


def test_the_end_of_a_gesture_is_told_at_once(qapp: QApplication) -> None:
    drag = Drag(session("compression"))
    for _ in range(4):
        drag.step()
    drag.session.document.commit("Move spring anchor")
    assert drag.told[:2] == [drag.first, drag.second]


def test_a_drag_is_told_at_its_pace(wait: Wait) -> None:
    drag = Drag(session("compression"))

    def stepped() -> bool:
        drag.step()
        return drag.first.count >= 4

    wait.until(stepped)
    assert drag.steps > drag.first.count
    drag.session.document.cancel()
    QApplication.processEvents()


def test_it_says_when_all_views_are_up_to_date(wait: Wait) -> None:
    drag = Drag(session("compression"))
    with wait.for_signal(drag.session.calm.settled):
        drag.step()
    assert drag.told == [drag.first, drag.second]
    drag.session.document.cancel()


def test_those_that_follow_under_one_word_are_shown_in_one_turn(wait: Wait) -> None:
    drag = Drag(session("compression"))
    calm = drag.session.calm
    told: list[int] = []
    calm.follow(lambda: told.append(1), "pair")
    calm.follow(lambda: told.append(2))
    calm.follow(lambda: told.append(3), "pair")

    def stepped() -> bool:
        drag.step()
        return len(told) >= 6

    wait.until(stepped)
    assert told[:6] == 2 * [1, 3, 2]
    assert calm.waiting
    drag.session.document.cancel()
    assert not calm.waiting
