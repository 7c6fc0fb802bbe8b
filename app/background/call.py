"""What a job knows of who asked for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Call:
    """A job's line to who asked: show something so far, and hear whether it is still wanted."""

    progress: Callable[[object], None]
    cancelled: Callable[[], bool]
