"""The spring gauge: a bar per spring from one end of what it may do to the other.

Each bar shows the range that is worked, marks for both rests and dead centre, the length that
the spring has now, and what is left at either end; what goes wrong is hatched and said in words.
"""

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from app import mark_styles
from app.broken_names import wrapped
from app.label_places import Label, arrange
from app.session import Ref, Session
from app.spring_bars import Bar, Margin, bars, described
from app.theme import Theme, theme_source
from solver import units
from solver.spring_work import SpringWork

_SIDE = 12.0
_BAR = 14.0
_POINTER = 9.0
_BETWEEN = 18.0
_GAP = 12.0
_TOP = 6.0
_LINES = 3
"""Lines of text of every row: its title, the names of the marks, the ends of its scale."""
_NONE = "This design has no springs."


class SpringGauge(QScrollArea):
    """One bar per spring; scrolls where there are many. Pressing a bar selects its spring."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sheet = _Sheet(session, self)
        self.setWidget(self.sheet)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Spring gauge")
        self.setFocusProxy(self.sheet)

    def sizeHint(self) -> QSize:
        """Room for two springs."""
        return QSize(360, 280)

    def minimumSizeHint(self) -> QSize:
        """Room for one, with a line for each of its margins."""
        lines = (_LINES + 2) * QFontMetricsF(self.font()).height()
        return QSize(240, round(lines + _BAR + _POINTER + 4 + 2 * _TOP))


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of text under a bar: at the left, at the right, and whether all is well."""

    left: str
    right: str
    holds: bool


@dataclass(frozen=True, slots=True)
class _Row:
    """A bar with its place: top of the row, and the lines of margin texts below the bar."""

    bar: Bar
    work: SpringWork
    top: float
    lines: tuple[_Line, ...]
    height: float


class _Sheet(QWidget):
    """Paints the bars."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._stale = True
        self._rows: tuple[_Row, ...] = ()
        self.setAccessibleName("Springs from end to end, with what they work and what is left")
        self.setMinimumWidth(240)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        session.calm.follow(self._update)
        session.pose_changed.connect(self.update)
        session.selection_changed.connect(self.update)
        theme_source.changed.connect(self.update)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while hidden."""
        super().showEvent(event)
        if self._stale:
            self._update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay out for the new width."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._lay_out()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._lay_out()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Select the spring whose row was pressed."""
        for row in self._rows:
            if row.top <= event.position().y() < row.top + row.height:
                self._session.select(Ref("spring", row.bar.name))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The press was ours, so is its release."""
        event.accept()

    def _update(self) -> None:
        self._stale = not self.isVisible()
        if not self._stale:
            self._lay_out()

    def _lay_out(self) -> None:
        """Read the analysis, decide the lines of text, and take the height that they need."""
        analysis, display = self._session.analysis, self._session.display
        rows: list[_Row] = []
        top = _TOP
        if analysis is not None:
            line = QFontMetricsF(self.font()).height()
            for bar, work in zip(bars(analysis, display), analysis.springs, strict=True):
                lines = self._lines_of(bar.margins)
                height = (_LINES + len(lines)) * line + _BAR + _POINTER + 4
                rows.append(_Row(bar, work, top, lines, height))
                top += height + _BETWEEN
        self._rows = tuple(rows)
        needed = round(top - _BETWEEN + _TOP if rows else top)
        if needed != self.minimumHeight():
            self.setMinimumHeight(needed)
        texts = [described(row.bar, display) for row in rows] or [_NONE]
        self.setAccessibleDescription(" ".join(texts))
        self.update()

    def _lines_of(self, margins: tuple[Margin, ...]) -> tuple[_Line, ...]:
        """Both margins on one line where they fit; what goes wrong gets lines of its own."""
        metrics = QFontMetricsF(self.font())
        room = self.width() - 2 * _SIDE
        taken = sum(metrics.horizontalAdvance(margin.text) for margin in margins) + _GAP
        if all(margin.holds for margin in margins) and taken <= room:
            texts = {margin.end: margin.text for margin in margins}
            return (_Line(texts.get("left", ""), texts.get("right", ""), True),) if texts else ()
        lines = []
        for margin in margins:
            text = margin.text if margin.holds else f"✕ {margin.text}"
            lines += [_Line(part, "", margin.holds) for part in wrapped(text, room, metrics)]
        return tuple(lines)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows that are to be seen."""
        painter = QPainter(self)
        theme = theme_source.theme
        if not self._rows:
            painter.setPen(theme.faint_ink)
            flags = Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(self.rect().adjusted(12, 12, -12, 0), int(flags), _NONE)
        for row in self._rows:
            band = QRectF(0, row.top, self.width(), row.height)
            if band.intersects(QRectF(event.rect())):
                _RowPainter(painter, theme, row, self.width(), self._session).paint()
        painter.end()


class _RowPainter:
    """Draws one row; lives for one paint."""

    def __init__(
        self, painter: QPainter, theme: Theme, row: _Row, width: float, session: Session
    ) -> None:
        self._painter = painter
        self._theme = theme
        self._row = row
        self._bar = row.bar
        self._session = session
        self._display = session.display
        self._font = QFont(painter.font())
        self._bold = QFont(self._font)
        self._bold.setWeight(QFont.Weight.DemiBold)
        self._metrics = QFontMetricsF(self._font)
        self._line = self._metrics.height()
        self._width = width
        self._low, high = row.bar.extent()
        self._scale = (width - 2 * _SIDE) / (high - self._low)
        self._bar_top = row.top + 2 * self._line + 3
        self._ratio = max(round(painter.deviceTransform().m11()), 1)

    def paint(self) -> None:
        """Draw the row from top to bottom."""
        self._paint_title()
        self._paint_bar()
        self._paint_marks()
        self._paint_pointer()
        self._paint_ends()
        self._paint_margins()

    def _fine(self, colour: QColor, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
        """A crisp line, as thick on every screen."""
        return mark_styles.pen_of(colour, style, self._ratio)

    def _across(self, value: float) -> float:
        return _SIDE + (value - self._low) * self._scale

    def _text(self, left: float, top: float, text: str, colour: QColor) -> None:
        self._painter.setPen(colour)
        self._painter.drawText(QPointF(left, top + self._metrics.ascent()), text)

    def _paint_title(self) -> None:
        theme, top, name = self._theme, self._row.top, self._bar.name
        present = self._present_text()
        taken = self._metrics.horizontalAdvance(present)
        room = self._width - 2 * _SIDE - taken - _GAP
        bold = QFontMetricsF(self._bold)
        shown = bold.elidedText(name, Qt.TextElideMode.ElideRight, room)
        selected = Ref("spring", name) in self._session.selection
        if selected:
            mark = QRectF(3, top, 3, self._row.height)
            self._painter.fillRect(mark, theme.selection)
        self._painter.setFont(self._bold)
        self._text(_SIDE, top, shown, theme.selection if selected else theme.ink)
        self._painter.setFont(self._font)
        after = bold.horizontalAdvance(shown) + 8
        if after + self._metrics.horizontalAdvance(self._bar.kind) <= room:
            self._text(_SIDE + after, top, self._bar.kind, theme.faint_ink)
        self._text(self._width - _SIDE - taken, top, present, theme.ink)

    def _present_text(self) -> str:
        length, force = self._at_cursor()
        shown = units.show(length, self._bar.quantity, self._display)
        return f"{shown}, {units.show(force, self._bar.force_quantity, self._display)}"

    def _at_cursor(self) -> tuple[float, float]:
        """Length (or twist) on the bar's scale and force with the lever where it is shown."""
        analysis = self._session.analysis
        assert analysis is not None
        travel = self._session.travel()
        work, along = self._row.work, analysis.travel
        length = self._bar.sign * float(np.interp(travel, along, work.length))
        return length, float(np.interp(travel, along, work.force))

    def _paint_bar(self) -> None:
        bar, theme, painter = self._bar, self._theme, self._painter
        left = self._across(self._low if bar.left is None else bar.left)
        right = self._width - _SIDE if bar.right is None else self._across(bar.right)
        body = QRectF(left, self._bar_top, right - left, _BAR)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.fillRect(body, theme.field)
        self._fill(bar.low, bar.high, QBrush(theme.lever_plate))
        painter.setPen(self._fine(theme.plate_edge))
        for value in (bar.low, bar.high):
            x = self._across(value)
            painter.drawLine(QLineF(x, self._bar_top, x, self._bar_top + _BAR))
        if bar.left is not None and bar.low < bar.left:
            self._hatch(bar.low, min(bar.left, bar.high))
        if bar.right is not None and bar.high > bar.right:
            self._hatch(max(bar.right, bar.low), bar.high)
        self._outline(body, open_right=bar.right is None)
        if bar.left is not None:
            self._dimension(bar.left, bar.low)
        if bar.right is not None:
            self._dimension(max(bar.high, self._low if bar.left is None else bar.left), bar.right)

    def _dimension(self, low: float, high: float) -> None:
        """A dimension line along what is left at one end, where there is room for its arrows."""
        left, right = self._across(low), self._across(high)
        if right - left < 14:
            return
        painter, middle = self._painter, self._bar_top + _BAR / 2
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        painter.setPen(QPen(self._theme.faint_ink, 1))
        painter.setBrush(self._theme.faint_ink)
        painter.drawLine(QLineF(left + 2, middle, right - 2, middle))
        for tip, way in ((left + 1, 1), (right - 1, -1)):
            back = tip + 6 * way
            arrow = [QPointF(tip, middle), QPointF(back, middle - 2), QPointF(back, middle + 2)]
            painter.drawPolygon(arrow)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)

    def _fill(self, low: float, high: float, brush: QBrush) -> None:
        left, right = self._across(low), self._across(high)
        rect = QRectF(left, self._bar_top, max(right - left, 2.0), _BAR)
        self._painter.fillRect(rect, brush)

    def _hatch(self, low: float, high: float) -> None:
        """Working where the spring cannot, or pushes no more."""
        self._fill(low, high, QBrush(self._theme.field))
        self._fill(low, high, QBrush(self._theme.bad, Qt.BrushStyle.BDiagPattern))
        left, right = self._across(low), self._across(high)
        self._painter.setPen(self._fine(self._theme.bad))
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.drawRect(QRectF(left, self._bar_top, max(right - left, 2.0), _BAR - 1))

    def _outline(self, body: QRectF, *, open_right: bool) -> None:
        """The frame of what is allowed; broken off where no end was given."""
        self._painter.setPen(self._fine(self._theme.plate_edge))
        top, bottom = body.top(), body.bottom() - 1
        self._painter.drawLine(QLineF(body.left(), top, body.left(), bottom))
        if open_right:
            self._painter.setPen(self._fine(self._theme.plate_edge, Qt.PenStyle.DotLine))
        else:
            self._painter.drawLine(QLineF(body.right(), top, body.right(), bottom))
        self._painter.drawLine(QLineF(body.left(), top, body.right(), top))
        self._painter.drawLine(QLineF(body.left(), bottom, body.right(), bottom))

    def _paint_marks(self) -> None:
        """The rests and dead centre, each in its line style with its name above."""
        bar, theme = self._bar, self._theme
        marks = [
            ("A", bar.at_rest_a, theme.rest_a, mark_styles.REST_A),
            ("B", bar.at_rest_b, theme.rest_b, mark_styles.REST_B),
        ]
        if bar.at_dead_centre is not None:
            centre = bar.at_dead_centre
            marks.append(("dead centre", centre, theme.dead_centre, mark_styles.DEAD_CENTRE))
        for _, value, colour, line in marks:
            x = self._across(value)
            self._painter.setPen(QPen(colour, 2, line, Qt.PenCapStyle.FlatCap))
            self._painter.drawLine(QLineF(x, self._bar_top - 4, x, self._bar_top + _BAR + 2))
        self._paint_mark_names([(name, self._across(at), colour) for name, at, colour, _ in marks])

    def _paint_mark_names(self, marks: list[tuple[str, float, QColor]]) -> None:
        a, b, *centre = marks
        if abs(a[1] - b[1]) < self._metrics.horizontalAdvance("A B"):
            marks = [("A, B", (a[1] + b[1]) / 2, self._theme.ink), *centre]
        top = self._bar_top - 5 - self._line
        labels = []
        for name, x, colour in marks:
            width = self._metrics.horizontalAdvance(name)
            lefts = (x - width / 2, x - width - 5, x + 5, x - width - 26, x + 26)
            labels.append(Label(name, colour, [QPointF(left, top) for left in lefts]))
        bounds = QRectF(_SIDE - 6, top, self._width - 2 * _SIDE + 12, self._line)
        found = arrange(labels, bounds, self._metrics, lambda rect: False)
        if len(found) < len(labels):  # the wider name first leaves room for the short ones
            found = arrange(labels[::-1], bounds, self._metrics, lambda rect: False)
        for placed in found:
            self._text(placed.rect.left(), placed.rect.top(), placed.text, placed.colour)

    def _paint_pointer(self) -> None:
        """A triangle under the bar at the length that the spring has now."""
        value, _ = self._at_cursor()
        x = min(max(self._across(value), _SIDE - 6), self._width - _SIDE + 6)
        top = self._bar_top + _BAR + 2
        self._painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(self._theme.selection)
        foot = top + _POINTER - 1
        self._painter.drawPolygon([QPointF(x, top), QPointF(x + 5, foot), QPointF(x - 5, foot)])

    def _paint_ends(self) -> None:
        bar, top = self._bar, self._bar_top + _BAR + _POINTER + 2
        self._text(_SIDE, top, bar.left_text, self._theme.faint_ink)
        width = self._metrics.horizontalAdvance(bar.right_text)
        self._text(self._width - _SIDE - width, top, bar.right_text, self._theme.faint_ink)

    def _paint_margins(self) -> None:
        top = self._bar_top + _BAR + _POINTER + 4 + self._line
        for line in self._row.lines:
            colour = self._theme.ink if line.holds else self._theme.bad
            self._text(_SIDE, top, line.left, colour)
            width = self._metrics.horizontalAdvance(line.right)
            self._text(self._width - _SIDE - width, top, line.right, colour)
            top += self._line
