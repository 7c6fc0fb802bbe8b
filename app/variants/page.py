"""The comparison on one page for the printer: pictures, curves, table, what is different."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
)

from app.drawing.painting import need_application
from app.theme import LIGHT, Theme
from app.variants import diagrams
from app.variants.comparison import (
    Comparison,
    Together,
    axis_name,
    place_on_axis,
    plots,
    travel_of,
)
from app.variants.marks import mark, paint_disc
from app.variants.names import two_lines
from app.variants.pictures import Pictures
from app.variants.tables import Line, changed, legend, lines

DOTS = 120
"""Units per inch in which the page is laid out: a line of 1.6 is 0.34 mm wide, as on a drawing."""
_EDGE = 42.0
_GAP = 14.0
_TITLE = 32.0
_PICTURES, _CURVES = 0.45, 0.23
"""Shares of the height below the title."""
_UNIT = 40.0
_LABELS = {2: 240.0, 3: 220.0, 4: 196.0}
_COLUMNS = {2: 112.0, 3: 100.0, 4: 86.0}
"""Widths of the columns by the count of variants."""
_ROW, _LEAST_ROW = 17.0, 11.0
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


def as_pdf(comparison: Comparison, share: float, together: Together) -> bytes:
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
    paint_page(painter, sheet, comparison, share, together)
    painter.end()
    return bytes(buffer.data().data())


def paint_page(
    painter: QPainter, sheet: QRectF, comparison: Comparison, share: float, together: Together
) -> None:
    """Paint the page onto a sheet of `DOTS` units per inch."""
    inside = sheet.adjusted(_EDGE, _EDGE, -_EDGE, -_EDGE)
    _paint_title(painter, inside, comparison, _place(share, together))
    below = inside.adjusted(0.0, _TITLE, 0.0, -_ROW)
    count = len(comparison.entries)
    wide = _label_width(count) + _UNIT + count * _COLUMNS.get(count, 112.0)
    left = QRectF(below.left(), below.top(), below.width() - wide - _GAP, below.height())
    right = QRectF(left.right() + _GAP, below.top(), wide, below.height())
    pictures = QRectF(left.left(), left.top(), left.width(), _PICTURES * left.height())
    curves = QRectF(left.left(), pictures.bottom(), left.width(), _CURVES * left.height())
    words = QRectF(left.left(), curves.bottom() + _GAP, left.width(), 0.0)
    words.setBottom(left.bottom())
    _paint_pictures(painter, pictures, comparison, share, together)
    _paint_curves(painter, curves, comparison, share, together)
    _paint_words(painter, words, comparison)
    _paint_table(painter, right, comparison)
    foot = QRectF(inside.left(), inside.bottom() - _ROW + 2.0, inside.width(), _ROW)
    painter.setFont(_font(10))
    painter.setPen(PAPER.faint_ink)
    painter.drawText(foot, int(Qt.AlignmentFlag.AlignBottom), _CAUTION)


def _label_width(count: int) -> float:
    return _LABELS.get(count, 240.0)


def _font(pixels: int, heavy: bool = False) -> QFont:
    font = QFont("DejaVu Sans")
    font.setPixelSize(pixels)
    font.setWeight(QFont.Weight.Bold if heavy else QFont.Weight.Normal)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


def _paint_title(painter: QPainter, inside: QRectF, comparison: Comparison, place: str) -> None:
    heavy, plain = _font(19, heavy=True), _font(12)
    painter.setPen(PAPER.ink)
    painter.setFont(heavy)
    title = QFontMetricsF(heavy).elidedText(
        comparison.title or "Variants", Qt.TextElideMode.ElideRight, 0.6 * inside.width()
    )
    painter.drawText(QPointF(inside.left(), inside.top() + 16.0), title)
    painter.setFont(plain)
    painter.setPen(PAPER.faint_ink)
    text = f"Variants side by side, levers {place}"
    at = inside.right() - QFontMetricsF(plain).horizontalAdvance(text)
    painter.drawText(QPointF(at, inside.top() + 16.0), text)


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
    pictures.paint_ground(painter, cells, PAPER, _font(12))
    pictures.paint_linkages(painter, cells, travels, PAPER, _font(12))


def _paint_curves(
    painter: QPainter, box: QRectF, comparison: Comparison, share: float, together: Together
) -> None:
    if not comparison.solved():
        return
    shown, font = plots(comparison, together), _font(11)
    width = box.width() / len(shown)
    cells = [
        QRectF(box.left() + index * width, box.top() + 6.0, width, box.height() - 6.0)
        for index in range(len(shown))
    ]
    place = place_on_axis(comparison, share, together)
    for plot, frame in zip(shown, diagrams.frames(shown, cells, font), strict=True):
        diagrams.paint_plot(painter, plot, frame, PAPER, font, axis_name(together))
        diagrams.paint_cursor(painter, plot, frame, place, PAPER, font, comparison.display)


def _paint_words(painter: QPainter, box: QRectF, comparison: Comparison) -> None:
    """The verdicts, and what is different in each variant from one, in columns."""
    base = comparison.base
    told = {entry.number: sentences for entry, sentences in changed(comparison)}
    texts = []
    for entry in comparison.entries:
        text = f"{entry.name}\n{entry.outcome.sentence}"
        if entry is not base:
            listed = "\n".join(f"– {sentence}" for sentence in told[entry.number])
            text += f"\nDifferent from {base.number}:\n{listed}"
        texts.append((entry.number, text))
    width = (box.width() - _GAP * (len(texts) - 1)) / len(texts)
    for index, (number, text) in enumerate(texts):
        column = QRectF(box.left() + index * (width + _GAP), box.top(), width, box.height())
        _paint_column(painter, column, number, text, PAPER)


def _paint_column(painter: QPainter, box: QRectF, number: int, text: str, theme: Theme) -> None:
    head, _, rest = text.partition("\n")
    painter.setFont(_font(12, heavy=True))
    paint_disc(painter, QPointF(box.left() + 9.0, box.top() + 9.0), mark(number, theme), theme)
    painter.setPen(theme.ink)
    name = two_lines(head, QFontMetricsF(_font(12, heavy=True)), box.width() - 24.0)
    high = 24.0 + 14.0 * name.count("\n")
    painter.drawText(QRectF(box.left() + 24.0, box.top() + 2.0, box.width() - 24.0, high), 0, name)
    room = box.adjusted(0.0, high, 0.0, 0.0)
    flags = int(Qt.TextFlag.TextWordWrap)
    rows = rest.split("\n")
    for pixels in (12, 11, 10, 9):
        metrics = QFontMetricsF(_font(pixels))
        if metrics.boundingRect(room, flags, rest).height() <= room.height():
            break
    dropped = 0
    while len(rows) > 1 and metrics.boundingRect(room, flags, rest).height() > room.height():
        rows, dropped = rows[:-1], dropped + 1
        rest = "\n".join([*rows, f"… and {dropped} more"])
    painter.setFont(_font(pixels))
    painter.drawText(room, flags, rest)


def _paint_table(painter: QPainter, box: QRectF, comparison: Comparison) -> None:
    rows: Sequence[Line] = lines(comparison)
    room = int((box.height() - 2.0 * _ROW - 4.0) / _LEAST_ROW)
    left_out = max(len(rows) - room, 0)
    rows = rows[: len(rows) - left_out]
    high = min(_ROW, (box.height() - 2.0 * _ROW - 4.0) / max(len(rows), 1))
    pixels = max(min(round(high - 4.5), 12), 7)
    painter.setFont(_font(12, heavy=True))
    columns = _columns(box, len(comparison.entries))
    for entry, (start, width) in zip(comparison.entries, columns, strict=True):
        middle = QPointF(start + width - 10.0, box.top() + 9.0)
        paint_disc(painter, middle, mark(entry.number, PAPER), PAPER)
    top = box.top() + _ROW + 4.0
    for row in rows:
        _paint_row(painter, QRectF(box.left(), top, box.width(), high), row, columns, pixels)
        top += high
    words = legend(comparison)
    if left_out:
        words += f" {left_out} more rows are in the CSV table."
    painter.setFont(_font(10))
    painter.setPen(PAPER.faint_ink)
    painter.drawText(QRectF(box.left(), top + 3.0, box.width(), _ROW), 0, words)


def _columns(box: QRectF, count: int) -> list[tuple[float, float]]:
    """Left edge and width of each variant's column."""
    start = box.left() + _label_width(count) + _UNIT
    width = (box.right() - start) / count
    return [(start + index * width, width) for index in range(count)]


def _paint_row(
    painter: QPainter,
    box: QRectF,
    row: Line,
    columns: Sequence[tuple[float, float]],
    pixels: int,
) -> None:
    middle = int(Qt.AlignmentFlag.AlignVCenter)
    painter.setPen(QPen(PAPER.grid_major, 0.6))
    painter.drawLine(box.bottomLeft(), box.bottomRight())
    wide = _label_width(len(columns)) if row.cells else box.width()
    font = _fitting(row.label, not (row.cells or row.remark), pixels, wide)
    label = QRectF(box.left(), box.top(), wide, box.height())
    text = QFontMetricsF(font).elidedText(row.label, Qt.TextElideMode.ElideRight, label.width())
    painter.setFont(font)
    painter.setPen(PAPER.ink)
    painter.drawText(label, middle, text)
    painter.setPen(PAPER.faint_ink)
    painter.drawText(QRectF(label.right() + 4.0, box.top(), _UNIT, box.height()), middle, row.unit)
    for cell, (start, width) in zip(row.cells, columns, strict=False):
        place = QRectF(start, box.top(), width, box.height())
        painter.setFont(_fitting(cell.text(), cell.best, pixels, width - 10.0))
        painter.setPen({"good": PAPER.good, "bad": PAPER.bad}.get(cell.state, PAPER.ink))
        painter.drawText(place, middle | int(Qt.AlignmentFlag.AlignRight), cell.text())


def _fitting(text: str, heavy: bool, pixels: int, width: float) -> QFont:
    """The font in which a text fits its column: numbers are made smaller, never cut."""
    font = _font(pixels, heavy)
    while pixels > 5 and QFontMetricsF(font).horizontalAdvance(text) > width:
        pixels -= 1
        font = _font(pixels, heavy)
    return font
