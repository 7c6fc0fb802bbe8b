"""How the compared variants are told apart: a number, a line style and a colour for each."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen

from app.theme import Theme

_DASHES: tuple[tuple[float, ...], ...] = ((), (6.0, 3.0), (1.5, 2.0), (8.0, 2.5, 1.5, 2.5))
_INKS = {
    "light": ("#2a2927", "#0f62a8", "#a3480a", "#6b3fa0"),
    "dark": ("#f1efe9", "#7fb5ef", "#e6a466", "#c9a6f0"),
}
"""Dark enough (light enough) for text on the paper, and apart in lightness and hue."""

DISC = 18.0
"""Diameter of the disc with a number, pixels."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One variant's looks."""

    number: int
    ink: QColor
    dashes: tuple[float, ...]

    def pen(self, width: float = 1.4) -> QPen:
        """The pen of its curves, width in pixels."""
        pen = QPen(self.ink, width)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if self.dashes:
            pen.setDashPattern(list(self.dashes))
        return pen


def mark(number: int, theme: Theme) -> Mark:
    """The looks of the variant of that number, from 1."""
    index = (number - 1) % len(_DASHES)
    return Mark(number, QColor(_INKS[theme.name][index]), _DASHES[index])


def paint_disc(painter: QPainter, centre: QPointF, shown: Mark, theme: Theme) -> None:
    """The variant's number on a disc of its colour."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(shown.ink)
    painter.drawEllipse(centre, DISC / 2.0, DISC / 2.0)
    font = QFont(painter.font())
    font.setPixelSize(12)
    font.setBold(True)
    painter.setFont(font)
    painter.setPen(theme.paper)
    box = QRectF(centre.x() - DISC / 2.0, centre.y() - DISC / 2.0, DISC, DISC)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(shown.number))
    painter.restore()


def paint_sample(painter: QPainter, start: QPointF, length: float, shown: Mark) -> None:
    """A piece of the variant's line, as in a legend."""
    painter.setPen(shown.pen(2.0))
    painter.drawLine(QLineF(start, start + QPointF(length, 0.0)))
