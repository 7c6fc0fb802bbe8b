"""The limits as rows of a list: the limit, and under it what its reading makes of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QPainter,
    QPen,
    QResizeEvent,
    QStandardItem,
    QStandardItemModel,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.limit_shares import Shares
from app.session import Session
from app.study_words import percent, tied, with_units
from app.theme import Theme, theme_source
from solver import units
from solver.model import Limit
from solver.project import Display
from solver.readings import catalogue

State = Literal["good", "bad", "unknown"]
AnyIndex = QModelIndex | QPersistentModelIndex

_ROW = Qt.ItemDataRole.UserRole
_SIGN = 16
_EDGE = 8
_KNOWN = 200
_WORD: dict[State, str] = {"good": "holds", "bad": "fails", "unknown": "not known"}


@dataclass(frozen=True, slots=True)
class Row:
    """One limit: its reading's key, the limit in words, and the sentence on it.

    `copies` tells in how many copies it holds, "" while that is not known.
    """

    key: str
    limit: str
    sentence: str
    state: State
    copies: str = ""

    @property
    def words(self) -> str:
        """All that is said of the limit."""
        return f"{self.sentence} {self.copies}".rstrip()

    def spoken(self) -> str:
        """The row in words."""
        return f"{self.limit}: {_WORD[self.state]}. {self.words}"


def rows(session: Session, held: Mapping[Limit, float] | None = None) -> list[Row]:
    """A row for each limit of the design, also while the design cannot be solved.

    It also tells in how many copies (`held`, 0 … 1) the limit holds, where that is known.
    """
    held = held or {}
    design, display = session.document.design, session.display
    results = {}
    if session.analysis is not None and session.problem is None:
        results = {result.limit: result for result in session.analysis.limits}
    kinds = {kind.key: kind for kind in catalogue(design)} if design.limits else {}
    made = []
    for limit in design.limits:
        kind, result = kinds.get(limit.reading), results.get(limit)
        if kind is None:
            text = limit.reading
            sentence = "This design has no such reading: remove the limit."
        else:
            text = f"{kind.label}: {bounds(limit, kind.quantity, display)}"
            sentence = "Not known while the design cannot be solved."
        state: State = "unknown"
        copies = ""
        if result is not None:
            sentence, state = result.sentence, "good" if result.holds else "bad"
            if limit in held:
                copies = _copies(percent(held[limit]))
        made.append(Row(limit.reading, text, sentence, state, copies))
    return made


def _copies(share: str) -> str:
    return f"It holds in {tied(share)} of copies."


def bounds(limit: Limit, quantity: units.Quantity, display: Display) -> str:
    """What a limit asks for: at least 4.00 N, at most 8.0 mm."""
    parts = []
    if limit.at_least is not None:
        parts.append(f"at least {units.show(limit.at_least, quantity, display)}")
    if limit.at_most is not None:
        parts.append(f"at most {units.show(limit.at_most, quantity, display)}")
    return ", ".join(parts)


def paint_sign(painter: QPainter, box: QRectF, state: State, theme: Theme) -> None:
    """A disc with a tick, a square with a cross, or a triangle with a stroke: shapes, not tints."""
    colour = {"good": theme.good, "bad": theme.bad, "unknown": theme.faint_ink}[state]
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.translate(box.topLeft())
    painter.scale(box.width() / 16, box.height() / 16)
    stroke = QPen(theme.panel, 2)
    stroke.setCapStyle(Qt.PenCapStyle.RoundCap)
    if state == "good":
        painter.drawEllipse(QRectF(0.5, 0.5, 15, 15))
        painter.setPen(stroke)
        painter.drawPolyline([QPointF(4.5, 8.4), QPointF(7, 10.9), QPointF(11.6, 5.6)])
    elif state == "bad":
        painter.drawRoundedRect(QRectF(1, 1, 14, 14), 2, 2)
        painter.setPen(stroke)
        painter.drawLine(QPointF(5, 5), QPointF(11, 11))
        painter.drawLine(QPointF(5, 11), QPointF(11, 5))
    else:
        painter.drawPolygon([QPointF(8, 1), QPointF(15.5, 15), QPointF(0.5, 15)])
        painter.setPen(stroke)
        painter.drawLine(QPointF(8, 6), QPointF(8, 10))
        painter.drawPoint(QPointF(8, 12.7))
    painter.restore()


class LimitList(QListView):
    """The limits, those that fail first. Only rows whose text changed are written.

    While a hand moves things every row stays where it is; at rest they are put in order.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._shares = Shares(session, self)
        self._rows: list[Row] = []
        self.spare = ""
        self._model = QStandardItemModel(self)
        self.setModel(self._model)
        self._painter = _RowPainter(self)
        self.setItemDelegate(self._painter)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setAccessibleName("Limits")

    @property
    def key(self) -> str:
        """The reading of the selected row; "" where none is selected."""
        chosen = self.selectionModel().selectedIndexes()
        return str(chosen[0].data(_ROW).key) if chosen else ""

    def refresh(self) -> None:
        """Show the session's limits."""
        fresh = self._in_order(rows(self._session, self._shares.now()))
        if not self.spare and any(row.copies for row in fresh):
            # From now on there is room for these words also while they are not known.
            self.spare = _copies("99.9 %")
            self.scheduleDelayedItemsLayout()
        if [row.key for row in fresh] != [row.key for row in self._rows]:
            self._rebuild(fresh)
            return
        for index, (row, shown) in enumerate(zip(fresh, self._rows, strict=True)):
            if row != shown:
                item = self._model.item(index)
                item.setData(row, _ROW)
                item.setText(row.spoken())
        self._rows = fresh

    def _in_order(self, fresh: list[Row]) -> list[Row]:
        """The rows as the design has them, failing ones first; in a gesture as they stand."""
        if not self._session.document.in_gesture:
            return sorted(fresh, key=lambda row: row.state != "bad")
        places = {row.key: place for place, row in enumerate(self._rows)}
        return sorted(fresh, key=lambda row: places.get(row.key, len(places)))

    def _rebuild(self, fresh: list[Row]) -> None:
        """Other rows, or in another order; the limit selected stays so, or the one in its place."""
        chosen = self.selectionModel().selectedIndexes()
        current = chosen[0].row() if chosen else -1
        keys = [row.key for row in fresh]
        if chosen and self.key in keys:
            current = keys.index(self.key)
        self._rows = fresh
        self._model.clear()
        for row in fresh:
            item = QStandardItem(row.spoken())
            item.setData(row, _ROW)
            self._model.appendRow(item)
        if fresh and current >= 0:
            index = self._model.index(min(current, len(fresh) - 1), 0)
            self.setCurrentIndex(index)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Break the sentences anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_painter"):
            self._painter.forget()
            self.scheduleDelayedItemsLayout()


class _RowPainter(QStyledItemDelegate):
    """Draws a limit on one line and its sentence, wrapped, below."""

    def __init__(self, view: LimitList) -> None:
        super().__init__(view)
        self._view = view
        self._heights: dict[tuple[str, bool, int], int] = {}

    def forget(self) -> None:
        """Measure the texts anew, in another font."""
        self._heights.clear()

    def _room(self) -> int:
        return max(self._view.viewport().width() - 3 * _EDGE - _SIGN, 40)

    def _bold(self) -> QFont:
        font = QFont(self._view.font())
        font.setWeight(QFont.Weight.DemiBold)
        return font

    def lines(self, row: Row) -> tuple[int, int]:
        """Heights of the limit and of what is said of it at the present width."""
        longest = f"{row.sentence} {row.copies or self._view.spare}".rstrip()
        return self._height(row.limit, bold=True), self._height(longest, bold=False)

    def _height(self, text: str, bold: bool) -> int:
        """The height of a wrapped text; a list asks for it many times between two changes."""
        key = (text, bold, self._room())
        if key not in self._heights:
            if len(self._heights) > _KNOWN:
                self._heights.clear()
            metrics = QFontMetrics(self._bold()) if bold else self._view.fontMetrics()
            self._heights[key] = _wrapped(metrics, with_units(text), self._room())
        return self._heights[key]

    def sizeHint(self, option: QStyleOptionViewItem, index: AnyIndex) -> QSize:
        """As high as the wrapped texts."""
        return QSize(self._room(), sum(self.lines(index.data(_ROW))) + _EDGE)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Draw sign, limit and sentence."""
        row: Row = index.data(_ROW)
        theme = theme_source.theme
        box = option.rect
        state = option.state
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        painter.save()
        if chosen:
            tone = QColor(theme.selection)
            tone.setAlpha(28)
            painter.fillRect(box, tone)
            painter.fillRect(QRectF(box.left(), box.top(), 3, box.height()), theme.selection)
        top = box.top() + _EDGE // 2
        paint_sign(painter, QRectF(box.left() + _EDGE, top + 1, _SIGN, _SIGN), row.state, theme)
        left, flags = box.left() + 2 * _EDGE + _SIGN, int(Qt.TextFlag.TextWordWrap)
        limit, sentence = self.lines(row)
        painter.setFont(self._bold())
        painter.setPen(theme.ink)
        painter.drawText(QRectF(left, top, self._room(), limit), flags, with_units(row.limit))
        painter.setFont(self._view.font())
        painter.setPen(theme.bad if row.state == "bad" else theme.faint_ink)
        place = QRectF(left, top + limit, self._room(), sentence)
        painter.drawText(place, flags, with_units(row.words))
        painter.restore()


def _wrapped(metrics: QFontMetrics, text: str, room: int) -> int:
    flags = int(Qt.TextFlag.TextWordWrap)
    return metrics.boundingRect(0, 0, room, 10000, flags, text).height()
