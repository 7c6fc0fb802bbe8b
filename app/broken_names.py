"""Names in several lines where a column is too narrow for them in one."""

from PySide6.QtGui import QFontMetrics, QFontMetricsF

LINE_END = "\N{LINE SEPARATOR}"
"""What Qt's item views break a line at."""


def broken(name: str, room: int, metrics: QFontMetrics) -> list[str]:
    """A name in lines no wider than `room` (pixels) where its words allow, rather at its comma."""
    if metrics.horizontalAdvance(name) <= room:
        return [name]
    first, comma, second = name.rpartition(", ")
    if comma and max(metrics.horizontalAdvance(part) for part in (first + ",", second)) <= room:
        return [first + ",", second]
    return wrapped(name, room, metrics)


def wrapped(text: str, room: float, metrics: QFontMetrics | QFontMetricsF) -> list[str]:
    """A text broken at spaces into lines no wider than `room` (pixels) where its words allow."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and metrics.horizontalAdvance(longer) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines
