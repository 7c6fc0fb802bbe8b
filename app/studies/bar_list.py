"""A list of things with a bar for how much each counts, and a number in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from app.broken_labels import BrokenLabels
from app.theme import theme_source

AnyIndex = QModelIndex | QPersistentModelIndex

_LABEL, _BAR, _TEXT = range(3)
_SHARE = Qt.ItemDataRole.UserRole
_PAD = 6


@dataclass(frozen=True, slots=True)
class Bar:
    """One row: its label, the length of its bar (0 … 1), the words at its end."""

    label: str
    share: float
    text: str
    tip: str = ""


class BarList(QTreeWidget):
    """Rows in the order given. Only what changed is written, so that it keeps up with a drag."""

    def __init__(self, name: str, heads: tuple[str, str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown: list[Bar] = []
        self.setAccessibleName(name)
        self.setColumnCount(3)
        self.setHeaderLabels([heads[0], "", heads[1]])
        self.headerItem().setTextAlignment(_TEXT, Qt.AlignmentFlag.AlignRight)
        self.setRootIsDecorated(False)
        self.setAllColumnsShowFocus(True)
        self.setFrameShape(QTreeWidget.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._labels = BrokenLabels(self)
        self.setItemDelegateForColumn(_LABEL, self._labels)
        self.setItemDelegateForColumn(_BAR, _BarPainter(self))
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        header = self.header()
        header.setStretchLastSection(False)
        header.setMinimumSectionSize(24)
        header.setSectionResizeMode(_LABEL, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(_BAR, QHeaderView.ResizeMode.Fixed)
        header.setSectionResizeMode(_TEXT, QHeaderView.ResizeMode.Fixed)
        header.setSectionsMovable(False)
        self._widths()

    @property
    def bars(self) -> tuple[Bar, ...]:
        """The rows shown."""
        return tuple(self._shown)

    def show_bars(self, bars: Sequence[Bar]) -> None:
        """Show these rows."""
        while self.topLevelItemCount() > len(bars):
            self.takeTopLevelItem(self.topLevelItemCount() - 1)
        for place, bar in enumerate(bars):
            item = self.topLevelItem(place) or QTreeWidgetItem(self)
            if place < len(self._shown) and bar == self._shown[place]:
                continue
            item.setTextAlignment(_TEXT, Qt.AlignmentFlag.AlignRight)
            item.setText(_LABEL, bar.label)
            item.setData(_BAR, _SHARE, bar.share)
            item.setText(_TEXT, bar.text)
            item.setToolTip(_LABEL, bar.tip or bar.label)
            item.setToolTip(_TEXT, bar.tip)
        longest = max((bar.text for bar in bars), key=len, default="")
        if longest != max((bar.text for bar in self._shown), key=len, default=""):
            self._widths(longest)
        self._shown = list(bars)

    def sizeHint(self) -> QSize:
        """Room for a few rows."""
        return QSize(300, 140)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow panel the words need the room more than the bars do."""
        super().resizeEvent(event)
        self.setColumnWidth(_BAR, self._bar_width())

    def _bar_width(self) -> int:
        wide = self.fontMetrics().averageCharWidth()
        return min(max(self.viewport().width() // 5, 4 * wide), 12 * wide)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._widths(max((bar.text for bar in self._shown), key=len, default=""))
            self._labels.forget()

    def _widths(self, longest: str = "") -> None:
        metrics = self.fontMetrics()
        head = self.headerItem().text(_TEXT)
        words = max(metrics.horizontalAdvance(longest), metrics.horizontalAdvance(head))
        self.setColumnWidth(_TEXT, words + 3 * _PAD)
        self.setColumnWidth(_BAR, self._bar_width())


def show_all_rows(table: QTreeWidget) -> None:
    """Give a table the height of its rows, for a page that scrolls as a whole."""
    table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    model = table.model()
    rows = [model.index(row, 0) for row in range(model.rowCount())]
    height = table.header().sizeHint().height() + 4 + sum(table.rowHeight(row) for row in rows)
    if table.height() != height:
        table.setFixedHeight(height)


class _BarPainter(QStyledItemDelegate):
    """Draws the bar in its place."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Draw ground and bar."""
        super().paint(painter, option, index)
        share = index.data(_SHARE)
        if share is None:
            return
        theme, box = theme_source.theme, QRectF(option.rect)
        state = option.state
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        ink = theme.on_accent if chosen else theme.accent  # the accent is a chosen row's ground
        height = min(0.5 * box.height(), 10.0)
        room = QRectF(box.left() + 2, box.center().y() - height / 2, box.width() - 4, height)
        if not chosen:
            painter.fillRect(room, theme.panel_edge)
        room.setWidth(max(room.width() * min(share, 1.0), 1.0 if share > 0.0 else 0.0))
        painter.fillRect(room, ink)
