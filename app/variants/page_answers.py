"""The answers at the top of the comparison's printed page: how each variant holds, and why."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter

from app.study_words import with_units
from app.theme import Theme
from app.variants.comparison import Comparison
from app.variants.marks import DISC, mark, paint_disc
from app.variants.names import shortened
from app.variants.page_table import page_font
from app.variants.reasons import answer

_SIZES = (14, 13, 12)
"""Heights of the type; the least is 7.2 pt."""
_MOST = 130.0
"""Units of the page that the answers may take; what spreads a reading is else left to the table."""
_LONGEST_NAME = 240.0
_INDENT = DISC + 8.0
_BETWEEN = 3.0
_BELOW = 6.0
_FLAGS = int(Qt.TextFlag.TextWordWrap)


@dataclass(frozen=True, slots=True)
class PageAnswers:
    """The sentences as they are set, (number, text) of each variant: type size and width."""

    told: tuple[tuple[int, str], ...]
    size: int
    width: float
    why: bool
    """Whether they say what spreads the readings."""

    @property
    def height(self) -> float:
        """Of all of them."""
        return sum(self.height_of(text) for _, text in self.told) + _BELOW

    def height_of(self, text: str) -> float:
        """Of one of them."""
        room = QRectF(0.0, 0.0, self.width - _INDENT, 1e4)
        high = QFontMetricsF(page_font(self.size)).boundingRect(room, _FLAGS, text).height()
        return max(high, DISC) + _BETWEEN


def page_answers(comparison: Comparison, width: float) -> PageAnswers:
    """The answers in that width: with what spreads the readings if there is room for it."""
    made = PageAnswers((), _SIZES[-1], width, False)
    metrics = QFontMetricsF(page_font(_SIZES[-1]))
    names = [shortened(entry.name, metrics, _LONGEST_NAME) for entry in comparison.entries]
    for why in (True, False):
        told = tuple(
            (entry.number, f"{name}: {with_units(answer(entry, comparison, why))}")
            for entry, name in zip(comparison.entries, names, strict=True)
        )
        for size in _SIZES:
            made = PageAnswers(told, size, width, why)
            if made.height <= _MOST:
                return made
    return made


def paint_answers(painter: QPainter, box: QRectF, answers: PageAnswers, theme: Theme) -> None:
    """Paint them from the top of the box."""
    top = box.top()
    line = QFontMetricsF(page_font(answers.size)).height()
    for number, text in answers.told:
        high = answers.height_of(text)
        middle = QPointF(box.left() + DISC / 2.0, top + max(line, DISC) / 2.0)
        paint_disc(painter, middle, mark(number, theme), theme)
        painter.setFont(page_font(answers.size))
        painter.setPen(theme.ink)
        down = max(DISC - line, 0.0) / 2.0
        place = QRectF(box.left() + _INDENT, top + down, box.width() - _INDENT, high - down)
        painter.drawText(place, _FLAGS, text)
        top += high
