"""The pace of words and numbers: slower than a drag, and never behind it for long."""

from PySide6.QtWidgets import QApplication

from app.calm import PACE
from app.session import Session
from solver.edit import move_point
from tests.app.projects_for_tests import session
from tests.app.waiting import Wait


class Drag:
    """Moves a point step by step and counts how often texts are due."""

    def __init__(self, made: Session) -> None:
        self.session = made
        self.due = 0
        self._start = made.document.design
        self._steps = 0
        made.calm.due.connect(self._count)

    def _count(self) -> None:
        self.due += 1

    def step(self) -> None:
        """One step of the drag, analysed."""
        self._steps += 1
        design = move_point(self._start, "spring anchor", 0.1 * self._steps, -94.0)
        self.session.document.preview(design)
        self.session.refresh()


def test_outside_a_gesture_every_change_is_told_at_once(qapp: QApplication) -> None:
    drag = Drag(session("compression"))
    for _ in range(3):
        drag.session.refresh()
    assert drag.due == 3


def test_the_first_step_is_told_at_once_and_the_next_ones_wait(qapp: QApplication) -> None:
    drag = Drag(session("compression"))
    for _ in range(4):
        drag.step()
    assert drag.due < 4
    drag.session.document.cancel()


def test_the_last_step_is_told_while_the_hand_holds_still(wait: Wait) -> None:
    drag = Drag(session("compression"))
    for _ in range(4):
        drag.step()
    before = drag.due
    wait.until(lambda: drag.due == before + 1, seconds=20 * PACE / 1000)
    drag.session.document.cancel()


def test_the_end_of_a_gesture_is_told_at_once(qapp: QApplication) -> None:
    drag = Drag(session("compression"))
    for _ in range(4):
        drag.step()
    before = drag.due
    drag.session.document.commit("Move spring anchor")
    assert drag.due == before + 1


def test_a_drag_is_told_at_its_pace(wait: Wait) -> None:
    drag = Drag(session("compression"))
    drag.step()

    def stepped() -> bool:
        drag.step()
        return drag.due >= 4

    wait.until(stepped)
    assert drag._steps > drag.due
    drag.session.document.cancel()
