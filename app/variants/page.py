"""The comparison on one page for the printer: pictures, curves, table, what is different."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
)

from app.drawing.painting import need_application
from app.theme import LIGHT
from app.variants import diagrams
from app.variants.comparison import (
    Comparison,
    Together,
    axis_name,
    place_on_axis,
    plots,
    travel_of,
)
from app.variants.names import shortened
from app.variants.page_answers import page_answers, paint_answers
from app.variants.page_table import page_font, page_table, paint_table
from app.variants.page_words import page_words, paint_words
from app.variants.pictures import Pictures

DOTS = 120
"""Units per inch in which the page is laid out: a line of 1.6 is 0.34 mm wide, as on a drawing."""
_EDGE = 42.0
_GAP = 14.0
_TITLE = 44.0
_FOOT = 22.0
_CURVES = 190.0
_WORDS = 0.42
"""Largest share of the left part's height that is for the words; the pictures get the rest."""
_CAUTION = (
    "A design aid: build and test a prototype. Wear eye protection when fitting springs, keep "
    "fingers out of the throw, and mind local codes where people can be hurt."
)

PAPER = replace(
    LIGHT,
    paper=QColor("#ffffff"),
    panel=QColor("#ffffff"),
    field=QColor("#ffffff"),
    grid=QColor("#eeeeee"),
    grid_major=QColor("#d8d8d8"),
    panel_edge=QColor("#9a9a9a"),
)
"""The light look without its tinted ground."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where the page comes from: the project's file name, and the day it was made."""

    file: str = ""
    day: date | None = None

    def words(self) -> str:
        """Both, as far as they are known; the day is today's unless another is given."""
        return ", ".join(filter(None, (self.file, (self.day or date.today()).isoformat())))


def as_pdf(
    comparison: Comparison, share: float, together: Together, origin: Origin | None = None
) -> bytes:
    """The page as a PDF file, A4 lying; the levers stand at `share` of the first one's travel."""
    need_application()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(DOTS)
    writer.setCreator("Throwover")
    writer.setTitle(f"{comparison.title}: variants side by side")
    layout = QPageLayout(
        QPageSize(QPageSize.PageSizeId.A4), QPageLayout.Orientation.Landscape, QMarginsF()
    )
    layout.setMode(QPageLayout.Mode.FullPageMode)
    writer.setPageLayout(layout)
    painter = QPainter(writer)
    sheet = QRectF(0.0, 0.0, writer.width(), writer.height())
    paint_page(painter, sheet, comparison, share, together, origin or Origin())
    painter.end()
    return bytes(buffer.data().data())


def paint_page(
    painter: QPainter,
    sheet: QRectF,
    comparison: Comparison,
    share: float,
    together: Together,
    origin: Origin,
) -> None:
    """Paint the page onto a sheet of `DOTS` units per inch."""
    inside = sheet.adjusted(_EDGE, _EDGE, -_EDGE, -_EDGE)
    _paint_title(painter, inside, comparison, _place(share, together), origin)
    answers = page_answers(comparison, inside.width())
    top = QRectF(inside.left(), inside.top() + _TITLE, inside.width(), answers.height)
    paint_answers(painter, top, answers, PAPER)
    below = inside.adjusted(0.0, _TITLE + answers.height, 0.0, -_FOOT)
    table = page_table(comparison, below.height(), sources=not answers.why)
    right = QRectF(below.right() - table.width, below.top(), table.width, below.height())
    left = QRectF(below.left(), below.top(), below.width() - table.width - _GAP, below.height())
    words = page_words(comparison, left.width(), _WORDS * left.height())
    high = left.height() - _CURVES - words.height - _GAP
    pictures = QRectF(left.left(), left.top(), left.width(), high)
    curves = QRectF(left.left(), pictures.bottom(), left.width(), _CURVES)
    told = QRectF(left.left(), curves.bottom() + _GAP, left.width(), words.height)
    _paint_pictures(painter, pictures, comparison, share, together)
    _paint_curves(painter, curves, comparison, share, together)
    paint_words(painter, told, words, PAPER)
    paint_table(painter, right, table, comparison, PAPER)
    foot = QRectF(inside.left(), inside.bottom() - _FOOT, inside.width(), _FOOT)
    painter.setFont(page_font(12))
    painter.setPen(PAPER.faint_ink)
    painter.drawText(foot, int(Qt.AlignmentFlag.AlignBottom), _CAUTION)


def _paint_title(
    painter: QPainter, inside: QRectF, comparison: Comparison, place: str, origin: Origin
) -> None:
    heavy, plain = page_font(20, heavy=True), page_font(12)
    painter.setPen(PAPER.ink)
    painter.setFont(heavy)
    title = QFontMetricsF(heavy).elidedText(
        comparison.title or "Variants", Qt.TextElideMode.ElideRight, 0.6 * inside.width()
    )
    painter.drawText(QPointF(inside.left(), inside.top() + 18.0), title)
    painter.setFont(plain)
    painter.setPen(PAPER.faint_ink)
    metrics = QFontMetricsF(plain)
    lines = (f"Variants side by side, levers {place}", origin.words())
    for line, down in zip(lines, (12.0, 28.0), strict=True):
        text = shortened(line, metrics, 0.38 * inside.width())
        at = inside.right() - metrics.horizontalAdvance(text)
        painter.drawText(QPointF(at, inside.top() + down), text)


def _place(share: float, together: Together) -> str:
    """Where the levers stand, in words."""
    rests = {0.0: "at rest A", 1.0: "at rest B"}
    place = rests.get(share, f"at {100.0 * share:.0f} % of the travel from rest A")
    return place if together == "share" else f"in one direction, 1 {place}"


def _paint_pictures(
    painter: QPainter, box: QRectF, comparison: Comparison, share: float, together: Together
) -> None:
    pictures = Pictures(comparison)
    cells = pictures.cells(box)
    travels = [travel_of(entry, comparison, share, together) for entry in comparison.entries]
    pictures.paint_ground(painter, cells, PAPER, page_font(13))
    pictures.paint_linkages(painter, cells, travels, PAPER, page_font(13))


def _paint_curves(
    painter: QPainter, box: QRectF, comparison: Comparison, share: float, together: Together
) -> None:
    if not comparison.solved():
        return
    shown, font = plots(comparison, together), page_font(12)
    width = box.width() / len(shown)
    cells = [
        QRectF(box.left() + index * width, box.top() + 6.0, width, box.height() - 6.0)
        for index in range(len(shown))
    ]
    place = place_on_axis(comparison, share, together)
    for plot, frame in zip(shown, diagrams.frames(shown, cells, font), strict=True):
        diagrams.paint_plot(painter, plot, frame, PAPER, font, axis_name(together))
        diagrams.paint_cursor(painter, plot, frame, place, PAPER, font, comparison.display)
