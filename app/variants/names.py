"""Long names of variants in little room: the ends, by which they differ, stay."""

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
