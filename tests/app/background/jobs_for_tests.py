"""Jobs that try the line to the process out."""

import os
import time

from app.background.call import Call
from solver.errors import DesignProblem


def echo(call: Call, value: object) -> object:
    return value


def hold(call: Call, value: object) -> object:
    call.progress(value)
    while not call.cancelled():
        time.sleep(0.001)
    return value


def refuse(call: Call, sentence: str) -> None:
    raise DesignProblem(sentence)


def err(call: Call) -> None:
    print("said in passing")  # noqa: T201  # must not get between the answers
    raise ZeroDivisionError("by nought")


def stop(call: Call) -> None:
    os._exit(3)


JOBS = {"echo": echo, "hold": hold, "refuse": refuse, "err": err, "stop": stop}
