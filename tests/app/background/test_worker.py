"""The process beside the window: its answers, and that it never outlives the program."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.background.frames import Splitter, packed
from app.background.worker import Worker
from solver.layouts import LAYOUTS
from solver.spread import Spread
from tests.app.waiting import Wait

TABLE = "tests.app.background.jobs_for_tests"
ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def worker(qapp: object) -> Iterator[Worker]:
    made = Worker(table=TABLE)
    yield made
    made.close()
    made.deleteLater()


def gone(number: int) -> bool:
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return True
    return False


class Ear:
    """Everything that a worker says."""

    def __init__(self, worker: Worker) -> None:
        self.answers: list[tuple[str, int, object]] = []
        self.failures: list[tuple[str, int, str]] = []
        self.progress: list[object] = []
        self.troubles: list[str] = []
        worker.answered.connect(lambda *what: self.answers.append(what))
        worker.failed.connect(lambda *what: self.failures.append(what))
        worker.progressed.connect(lambda kind, ticket, value: self.progress.append(value))
        worker.trouble.connect(self.troubles.append)


def test_values_arrive_whole_in_pieces_of_any_size() -> None:
    values = [{"a": 1}, "x" * 1000, None]
    stream = b"".join(packed(value) for value in values)
    for size in (1, 7, len(stream)):
        splitter = Splitter()
        pieces = [stream[at : at + size] for at in range(0, len(stream), size)]
        assert [value for piece in pieces for value in splitter.feed(piece)] == values


def test_no_process_before_it_is_needed(worker: Worker, wait: Wait) -> None:
    assert worker.process_id == 0
    ear = Ear(worker)
    ticket = worker.ask("echo", "hello")
    wait.until(lambda: ear.answers)
    assert ear.answers == [("echo", ticket, "hello")]
    assert not worker.busy


def test_the_newest_of_a_kind_wins(worker: Worker, wait: Wait) -> None:
    ear = Ear(worker)
    worker.ask("hold", "first")
    wait.until(lambda: ear.progress)
    tickets = [worker.ask("echo", number) for number in range(5)]
    worker.cancel("hold")
    wait.until(lambda: not worker.busy)
    assert ear.answers == [("echo", tickets[-1], 4)]


def test_a_cancelled_job_ends_and_is_not_answered(worker: Worker, wait: Wait) -> None:
    ear = Ear(worker)
    worker.ask("hold", "so far")
    wait.until(lambda: ear.progress)
    worker.cancel("hold")
    wait.until(lambda: not worker.busy)
    assert ear.answers == []
    assert ear.progress == ["so far"]


def test_problems_come_back_as_sentences(worker: Worker, wait: Wait) -> None:
    ear = Ear(worker)
    worker.ask("refuse", "The rod is too short: lengthen it.")
    worker.ask("err")
    worker.ask("echo", 1)
    wait.until(lambda: ear.answers)
    assert [sentence for *_, sentence in ear.failures] == [
        "The rod is too short: lengthen it.",
        "This could not be worked out (ZeroDivisionError: by nought).",
    ]


def test_a_process_that_stops_is_started_again_once(worker: Worker, wait: Wait) -> None:
    ear = Ear(worker)
    worker.ask("stop")
    worker.ask("echo", 1)
    wait.until(lambda: not worker.busy)
    assert "started again" in ear.troubles[0]
    assert "until Throwover is started anew" in ear.troubles[1]
    assert {kind for kind, *_ in ear.failures} == {"stop", "echo"}
    assert worker.process_id == 0


def test_a_process_that_someone_killed_does_its_job_when_started_again(
    worker: Worker, wait: Wait
) -> None:
    ear = Ear(worker)
    worker.ask("hold", "so far")
    wait.until(lambda: ear.progress)
    os.kill(worker.process_id, 9)
    wait.until(lambda: len(ear.progress) == 2)
    worker.cancel("hold")
    worker.ask("echo", "well")
    wait.until(lambda: ear.answers)
    assert len(ear.troubles) == 1


def test_closing_ends_the_process_at_once(worker: Worker, wait: Wait) -> None:
    ear = Ear(worker)
    worker.ask("hold", "busy")
    wait.until(lambda: ear.progress)
    number = worker.process_id
    worker.close()
    assert gone(number)
    worker.ask("echo", "anew")
    wait.until(lambda: ear.answers)


def test_a_worker_that_is_deleted_takes_its_process_along(qapp: object, wait: Wait) -> None:
    worker = Worker(table=TABLE)
    ear = Ear(worker)
    worker.ask("hold", "busy")
    wait.until(lambda: ear.progress)
    number = worker.process_id
    worker.deleteLater()
    wait.until(lambda: gone(number))


_HARD = f"""
import os
from PySide6.QtCore import QCoreApplication
from app.background.worker import Worker
application = QCoreApplication([])
worker = Worker(table={TABLE!r})
def tell(kind, ticket, value):
    print(worker.process_id, flush=True)
    os._exit(9)
worker.progressed.connect(tell)
worker.ask("hold", "busy")
application.exec()
"""


def test_the_process_ends_with_a_program_that_dies_hard(wait: Wait) -> None:
    done = subprocess.run(
        [sys.executable, "-c", _HARD], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode == 9, done.stderr
    wait.until(lambda: gone(int(done.stdout)))


def test_a_study_of_the_solver_comes_back_whole(qapp: object, wait: Wait) -> None:
    worker = Worker()
    ear = Ear(worker)
    worker.ask("spread", LAYOUTS[0].build(), 64, 61)
    wait.until(lambda: ear.answers)
    assert isinstance(ear.answers[0][2], Spread)
    worker.close()
    worker.deleteLater()
