"""The compared linkages side by side, painted at one scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen, QTransform

from app.limit_rows import paint_sign
from app.sketch.body import draw_body
from app.sketch.boxes import touches_any
from app.sketch.ghosts import draw_ghosts
from app.sketch.grid import draw_grid
from app.sketch.navigation import fitted
from app.sketch.picture import Ghosts, Picture, drawable
from app.sketch.plates import extent, measures
from app.sketch.sheet import Sheet
from app.theme import Theme
from app.variants.comparison import Comparison, Entry
from app.variants.ghost_names import have_room, paint_ghost_names, pose_bars
from app.variants.marks import DISC, mark, paint_disc, paint_sample
from app.variants.names import shortened
from solver.errors import ThrowoverError

HEAD = 46.0
"""Height of a picture's heading, pixels."""
_EDGE = 8.0
_GAP = 6.0
_SIGN = 14.0
_SAMPLE = 30.0
_BAR_STEPS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0)
_BAR = 90.0
"""Pixels that the bar of the scale has at most."""
_AS_LARGE = 0.995
"""Share of a scale that passes for all of it."""
_EMPTY = (-60.0, -40.0, 60.0, 80.0)


class Pictures:
    """Paints a comparison into cells. What does not change with the pose is found once."""

    def __init__(self, comparison: Comparison) -> None:
        self.comparison = comparison
        self.stills = tuple(_still(entry, comparison) for entry in comparison.entries)

    def cells(self, box: QRectF, gap: float = _GAP) -> list[QRectF]:
        """A cell for each variant: in one row or in two, whichever shows them larger."""
        count = len(self.stills)
        ways = [_grid(box, count, columns, gap) for columns in {count, (count + 1) // 2}]
        return max(ways, key=self.scale)

    def view(self, number: int, cells: Sequence[QRectF]) -> QTransform:
        """From millimetres to pixels in the cell of the variant of that number, from 1."""
        scale = self.scale(cells)
        left, low, right, high = self.stills[number - 1].box or _EMPTY
        middle = paper_of(cells[number - 1]).center()
        return QTransform(
            *(scale, 0.0, 0.0, -scale),
            middle.x() - scale * (left + right) / 2.0,
            middle.y() + scale * (low + high) / 2.0,
        )

    def scale(self, cells: Sequence[QRectF]) -> float:
        """Pixels per mm at which every linkage fits into its cell."""
        found = []
        for still, cell in zip(self.stills, cells, strict=True):
            paper = paper_of(cell)
            found.append(fitted(still.box or _EMPTY, paper.width(), paper.height())[0])
        return min(found)

    def wanted_height(self, width: float, most: float) -> float:
        """The least height (pixels, up to `most`) that shows them as large as any does."""
        largest = self.scale(self.cells(QRectF(0.0, 0.0, width, most)))
        low, high = 0.0, most
        while high - low > 1.0:
            middle = (low + high) / 2.0
            scale = self.scale(self.cells(QRectF(0.0, 0.0, width, middle)))
            low, high = (low, middle) if scale >= _AS_LARGE * largest else (middle, high)
        return high

    def paint_ground(
        self, painter: QPainter, cells: Sequence[QRectF], theme: Theme, font: QFont
    ) -> None:
        """Paint what stays while the levers move: paper, rests and dead centre, headings."""
        letters = not self.named_whole(painter, cells, theme, font)
        for entry, still, cell in zip(self.comparison.entries, self.stills, cells, strict=True):
            paper, view = paper_of(cell), self.view(entry.number, cells)
            painter.save()
            painter.setClipRect(paper)
            world = view.inverted()[0].mapRect(paper)
            draw_grid(painter, view, world, theme, self.comparison.display.units)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            sheet = Sheet(painter, view, theme, font.family())
            draw_ghosts(sheet, still)
            paint_ghost_names(sheet, still, paper, letters)
            painter.restore()
            painter.setPen(QPen(theme.panel_edge, 1))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(cell)
            paint_heading(painter, entry, cell, theme, font)
        self._paint_scale(painter, cells, theme, font)

    def named_whole(
        self, painter: QPainter, cells: Sequence[QRectF], theme: Theme, font: QFont
    ) -> bool:
        """Whether every picture has room for the rests' names in full."""
        return all(
            have_room(
                Sheet(painter, self.view(entry.number, cells), theme, font.family()),
                still,
                paper_of(cell),
            )
            for entry, still, cell in zip(self.comparison.entries, self.stills, cells, strict=True)
        )

    def paint_linkages(
        self,
        painter: QPainter,
        cells: Sequence[QRectF],
        travels: Sequence[float],
        theme: Theme,
        font: QFont,
    ) -> None:
        """Paint the linkages over the ground, each lever at its travel (degrees)."""
        for entry, cell, travel in zip(self.comparison.entries, cells, travels, strict=True):
            painter.save()
            painter.setClipRect(paper_of(cell))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            sheet = Sheet(painter, self.view(entry.number, cells), theme, font.family())
            draw_body(sheet, self._posed(entry, travel))
            painter.restore()

    def _posed(self, entry: Entry, travel: float) -> Picture:
        still, analysis = self.stills[entry.number - 1], entry.analysis
        if analysis is None:
            return still
        try:
            places = analysis.pose_at(travel)
        except ThrowoverError:
            return still
        return replace(still, places={**still.places, **places})

    def _paint_scale(
        self, painter: QPainter, cells: Sequence[QRectF], theme: Theme, font: QFont
    ) -> None:
        """A bar of a round length, for all pictures have one scale."""
        scale = self.scale(cells)
        inch = self.comparison.display.units == "inch"
        unit, name = (25.4, "in") if inch else (1.0, "mm")
        metrics = QFontMetricsF(font)
        room = min(paper_of(cell).width() for cell in cells) - 26.0
        steps = [
            step
            for step in _BAR_STEPS
            if step * unit * scale
            <= min(_BAR, room - metrics.horizontalAdvance(f"{step:g} {name}") - 1.0)
        ]
        length = steps[-1] if steps else _BAR_STEPS[0]
        wide = length * unit * scale
        texts = (f"{length:g} {name}, the same for all", f"{length:g} {name}")
        boxes = [
            (text, QRectF(0.0, 0.0, wide + 6.0 + metrics.horizontalAdvance(text), metrics.height()))
            for text in texts
        ]
        text, foot = self._scale_place(painter, cells, theme, font, boxes)
        end = foot + QPointF(wide, 0.0)
        painter.setPen(QPen(theme.ink, 1))
        painter.drawLine(foot, end)
        for tip in (foot, end):
            painter.drawLine(tip - QPointF(0.0, 4.0), tip + QPointF(0.0, 4.0))
        painter.setFont(font)
        painter.drawText(end + QPointF(6.0, 4.0), text)

    def _scale_place(
        self,
        painter: QPainter,
        cells: Sequence[QRectF],
        theme: Theme,
        font: QFont,
        boxes: Sequence[tuple[str, QRectF]],
    ) -> tuple[str, QPointF]:
        """What stands at the bar, and its left end: in the foot of a picture that is clear there.

        boxes: what may stand there, the best first, with the size of bar and words.
        """
        for text, box in boxes:
            for entry, still, cell in zip(self.comparison.entries, self.stills, cells, strict=True):
                paper = paper_of(cell)
                lens = Sheet(painter, self.view(entry.number, cells), theme, font.family())
                bars = pose_bars(lens, still)
                if box.width() > paper.width() - 20.0:
                    continue
                for left in (paper.left() + 10.0, paper.right() - 10.0 - box.width()):
                    rect = (left, paper.bottom() - 18.0, box.width(), box.height())
                    if not touches_any(rect, bars, 3.0):
                        return text, QPointF(left, paper.bottom() - 10.0)
        return boxes[-1][0], paper_of(cells[0]).bottomLeft() + QPointF(10.0, -10.0)


def _grid(box: QRectF, count: int, columns: int, gap: float) -> list[QRectF]:
    """Cells of equal size in rows of `columns`."""
    rows = -(-count // columns)
    width = (box.width() - gap * (columns - 1)) / columns
    height = (box.height() - gap * (rows - 1)) / rows
    return [
        QRectF(
            box.left() + (index % columns) * (width + gap),
            box.top() + (index // columns) * (height + gap),
            width,
            height,
        )
        for index in range(count)
    ]


def paper_of(cell: QRectF) -> QRectF:
    """The part of a cell below its heading."""
    return cell.adjusted(0.0, HEAD, 0.0, 0.0)


def paint_heading(painter: QPainter, entry: Entry, cell: QRectF, theme: Theme, font: QFont) -> None:
    """Number, name, line sample, and whether the variant works."""
    head = QRectF(cell.left(), cell.top(), cell.width(), HEAD)
    painter.fillRect(head.adjusted(1.0, 1.0, 0.0, 0.0), theme.panel)
    shown = mark(entry.number, theme)
    bold = QFont(font)
    bold.setWeight(QFont.Weight.DemiBold)
    line = QFontMetricsF(bold).height()
    top = head.top() + (HEAD - 2.0 * line) / 2.0
    first = top + line / 2.0
    painter.setFont(font)
    paint_disc(painter, QPointF(head.left() + _EDGE + DISC / 2.0, first), shown, theme)
    left = head.left() + _EDGE + DISC + 6.0
    room = head.right() - left - _EDGE
    beside = QFontMetricsF(bold).horizontalAdvance(entry.name) <= room - _SAMPLE - _EDGE
    name = shortened(entry.name, QFontMetricsF(bold), room)
    painter.setFont(bold)
    painter.setPen(theme.ink)
    painter.drawText(QPointF(left, top + QFontMetricsF(bold).ascent()), name)
    # The sample of the line stands beside the name, or gives way to it and stands below.
    middle = first if beside else first + line
    paint_sample(painter, QPointF(head.right() - _EDGE - _SAMPLE, middle), _SAMPLE, shown)
    state = entry.outcome.state
    sign = QRectF(left, top + line + (line - _SIGN) / 2.0, _SIGN, _SIGN)
    paint_sign(painter, sign, state, theme)
    painter.setFont(font)
    painter.setPen({"good": theme.good, "bad": theme.bad}.get(state, theme.faint_ink))
    after = left + _SIGN + 5.0
    free = head.right() - after - _EDGE - (0.0 if beside else _SAMPLE + _EDGE)
    words = QFontMetricsF(font).elidedText(entry.outcome.words, Qt.TextElideMode.ElideRight, free)
    painter.drawText(QPointF(after, top + line + QFontMetricsF(font).ascent()), words)


def _still(entry: Entry, comparison: Comparison) -> Picture:
    """The linkage as it is drawn, with its ghosts; every pose is made from it."""
    analysis = entry.analysis
    shown = drawable(entry.outcome.design)
    return Picture(
        shown,
        measures(shown).drawn,
        Ghosts().of(analysis, shown),
        frozenset(),
        comparison.display,
        extent(shown),
    )
