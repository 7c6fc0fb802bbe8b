"""Long names and notes of variants in little room: of names the ends stay, by which they differ."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF


def shortened(text: str, metrics: QFontMetricsF, width: float) -> str:
    """The text in one line of that width (pixels), elided in the middle."""
    return metrics.elidedText(text, Qt.TextElideMode.ElideMiddle, width)


def two_lines(text: str, metrics: QFontMetricsF, width: float) -> str:
    """The text in up to two lines of that width (pixels), elided in the second if need be."""
    words = text.split(" ")
    fits = (
        count
        for count in range(len(words), 0, -1)
        if metrics.horizontalAdvance(" ".join(words[:count])) <= width
    )
    taken = next(fits, 0)
    if not taken:
        return shortened(text, metrics, width)
    lines = [" ".join(words[:taken]), " ".join(words[taken:])]
    return "\n".join(shortened(line, metrics, width) for line in lines if line)


def whole_words(text: str, metrics: QFontMetricsF, width: float, lines: int = 1) -> str:
    """As many whole words of a text as fit into so many lines of that width, one below another."""
    words = text.split()
    made: list[str] = []
    while words and len(made) < lines:
        last = len(made) == lines - 1
        taken = len(words)
        while taken > 1 and metrics.horizontalAdvance(_line(words, taken, last)) > width:
            taken -= 1
        made.append(
            metrics.elidedText(_line(words, taken, last), Qt.TextElideMode.ElideRight, width)
        )
        words = words[taken:]
    return "\n".join(made)


def _line(words: list[str], taken: int, last: bool) -> str:
    line = " ".join(words[:taken])
    return f"{line} …" if last and taken < len(words) else line
