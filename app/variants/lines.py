"""What a line of the comparison's table is made of. Needs no Qt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

State = Literal["", "good", "bad"]

BEST = "◆"
"""What stands before the best of a row, besides bold type."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One variant's entry in a line: value, difference to the base, whether it is the best.

    state tells of a limit whether it holds, tip by how much in a sentence. `full` is the value
    with its units where these stand within it; the value itself leaves them to the line.
    """

    value: str
    difference: str = ""
    best: bool = False
    state: State = ""
    tip: str = ""
    full: str = ""

    def text(self) -> str:
        """All of it in a few characters."""
        mark = f"{BEST} " if self.best else ""
        after = f" ({self.difference})" if self.difference else ""
        return f"{mark}{self.value}{after}"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table; `cells` is empty for the heading of a group.

    It is empty too for `remark`s, words below a heading.
    """

    key: str
    label: str
    unit: str = ""
    cells: tuple[Cell, ...] = ()
    remark: bool = False
