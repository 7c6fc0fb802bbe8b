"""The readings as a table: what it is, how much, and where in the throw."""

from collections.abc import Iterable

from PySide6.QtCore import (
    QEvent,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QSize,
    Qt,
)
from PySide6.QtGui import (
    QContextMenuEvent,
    QFont,
    QGuiApplication,
    QKeyEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QMenu,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from app.broken_labels import BrokenLabels
from app.calm import NUMBERS
from app.copy_key import is_copy, keeps_copy
from app.limit_dialog import ask_limit
from app.seen import Seen
from app.session import Session
from app.whereabouts import place
from solver import units
from solver.analysis import Analysis
from solver.project import Display
from solver.results import Reading

_LABEL, _VALUE, _UNIT, _WHERE = range(4)
_KEY = Qt.ItemDataRole.UserRole
_SHORTEST_NAME = "Holding force at rest A"
_INDENT = 12

AnyIndex = QModelIndex | QPersistentModelIndex


class ReadingsTable(QTreeWidget):
    """Grouped readings. Double click or Enter moves the lever to where a reading was taken.

    Only texts that changed are written, so that it keeps up with a drag.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stale = True
        self._items: dict[str, QTreeWidgetItem] = {}
        self._texts: dict[str, tuple[str, ...]] = {}
        self.labels = BrokenLabels(self)
        self._build()
        self._seen = Seen(self)
        self._seen.changed.connect(self._come_and_go)
        session.calm.follow(self._update, NUMBERS)
        self.itemDoubleClicked.connect(self._go_to)

    def _build(self) -> None:
        self.setHeaderLabels(["Reading", "Value", "Unit", "Where"])
        self.headerItem().setTextAlignment(_VALUE, Qt.AlignmentFlag.AlignRight)
        self.setRootIsDecorated(False)
        self.setItemsExpandable(False)
        self.setIndentation(_INDENT)
        self.setItemDelegate(self.labels)
        self.setAllColumnsShowFocus(True)
        self.setExpandsOnDoubleClick(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Readings")
        self.setToolTip("Double-click a reading to move the lever to where it was taken.")
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionsMovable(False)
        header.setMinimumSectionSize(24)
        header.setSectionResizeMode(_LABEL, QHeaderView.ResizeMode.Stretch)
        for column in (_VALUE, _UNIT, _WHERE):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
        self._set_widths()

    def _set_widths(self) -> None:
        """Fixed widths: following the texts would cost a layout on every step of a drag."""
        metrics = self.fontMetrics()
        for column, widest in ((_VALUE, "−0000.0"), (_UNIT, "N·mm"), (_WHERE, "dead centre")):
            self.header().resizeSection(column, metrics.horizontalAdvance(widest) + 9)
        self._where_width = self.header().sectionSize(_WHERE)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out the places where they would crowd out the names."""
        super().resizeEvent(event)
        taken = sum(self.header().sectionSize(column) for column in (_VALUE, _UNIT))
        taken += self._where_width
        room = self.fontMetrics().horizontalAdvance(_SHORTEST_NAME)
        self.setColumnHidden(_WHERE, self.viewport().width() - taken < room)

    def sizeHint(self) -> QSize:
        """Room for the more important half."""
        return QSize(360, 320)

    def _come_and_go(self, seen: bool) -> None:
        """Catch up with what changed while nobody saw it."""
        if seen and self._stale:
            self._update()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_widths()
            self.labels.forget()

    def event(self, event: QEvent) -> bool:
        """Keep the copy keys here while the table has the focus."""
        return keeps_copy(event) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy, or go to the reading's place on Enter."""
        if is_copy(event):
            self.copy()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._go_to(self.currentItem())
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done with the reading under the mouse, or the current one."""
        menu = self.menu()
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        keyboard = event.reason() == QContextMenuEvent.Reason.Keyboard
        corner = self.visualRect(self.currentIndex()).bottomLeft()
        menu.popup(self.viewport().mapToGlobal(corner) if keyboard else event.globalPos())

    def menu(self) -> QMenu:
        """What can be done with the current reading."""
        reading = self._reading(self.currentItem())
        menu = QMenu(self)
        limit = menu.addAction("Set a &limit…", self.limit)
        limit.setEnabled(reading is not None)
        move = menu.addAction("&Move the lever there", lambda: self._go_to(self.currentItem()))
        move.setEnabled(reading is not None and reading.where is not None)
        menu.addSeparator()
        menu.addAction("&Copy", self.copy).setEnabled(bool(self.selectedItems()))
        menu.addAction("Copy &all", self.copy_all)
        return menu

    def limit(self) -> None:
        """Ask for a limit on the current reading."""
        reading = self._reading(self.currentItem())
        if reading is not None:
            ask_limit(self._session, self, reading.key)

    def copy(self) -> None:
        """Put the selected readings on the clipboard, one a line, tabs between."""
        chosen = set(map(id, self.selectedItems()))
        self._put(item for item in self._items.values() if id(item) in chosen)

    def copy_all(self) -> None:
        """Put all readings on the clipboard."""
        self._put(self._items.values())

    def _put(self, items: Iterable[QTreeWidgetItem]) -> None:
        lines = ["\t".join(item.text(column) for column in range(4)) for item in items]
        if lines:
            QGuiApplication.clipboard().setText("\n".join(lines))

    def _go_to(self, item: QTreeWidgetItem | None) -> None:
        """Move the lever to where the reading was taken, if it has such a place."""
        reading = self._reading(item)
        if reading is not None and reading.where is not None:
            self._session.set_travel(reading.where)

    def _reading(self, item: QTreeWidgetItem | None) -> Reading | None:
        analysis = self._session.analysis
        if item is None or analysis is None:
            return None
        return analysis.readings.get(item.data(_LABEL, _KEY) or "")

    def _update(self) -> None:
        self._stale = not self._seen
        if self._stale:
            return
        analysis, display = self._session.analysis, self._session.display
        readings = {} if analysis is None else analysis.readings
        if list(self._items) != list(readings):
            self._rebuild(readings.values())
        if analysis is not None:
            for key, item in self._items.items():
                self._write(item, key, _texts(readings[key], analysis, display))

    def _write(self, item: QTreeWidgetItem, key: str, texts: tuple[str, ...]) -> None:
        if texts != self._texts.get(key):
            for column, text in enumerate(texts):
                item.setText(column, text)
            self._texts[key] = texts

    def _rebuild(self, readings: Iterable[Reading]) -> None:
        """Lines for other readings than before; the current one stays current if it is there."""
        current = self.currentItem()
        key = current.data(_LABEL, _KEY) if current is not None else None
        chosen = {item.data(_LABEL, _KEY) for item in self.selectedItems()}
        self.clear()
        self._items, self._texts = {}, {}
        groups: dict[str, QTreeWidgetItem] = {}
        for reading in readings:
            if reading.group not in groups:
                groups[reading.group] = self._group(reading.group)
            item = QTreeWidgetItem(groups[reading.group])
            item.setData(_LABEL, _KEY, reading.key)
            item.setToolTip(_LABEL, reading.label)
            item.setTextAlignment(_VALUE, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
            for column in (_LABEL, _UNIT, _WHERE):
                item.setTextAlignment(
                    column, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
                )
            self._items[reading.key] = item
        self.expandAll()
        for each in chosen.intersection(self._items):
            self._items[each].setSelected(True)
        first = next(iter(self._items.values()), None)  # or the focus would begin on a heading
        current = self._items.get(key or "", first)
        if current is not None:
            self.setCurrentItem(current, _LABEL, QItemSelectionModel.SelectionFlag.NoUpdate)

    def _group(self, name: str) -> QTreeWidgetItem:
        group = QTreeWidgetItem(self, [name])
        group.setFlags(Qt.ItemFlag.ItemIsEnabled)
        bold = QFont(self.font())
        bold.setWeight(QFont.Weight.DemiBold)
        group.setFont(_LABEL, bold)
        group.setFirstColumnSpanned(True)
        return group


def _texts(reading: Reading, analysis: Analysis, display: Display) -> tuple[str, ...]:
    """The four columns of a reading."""
    return (
        reading.label,
        units.number(reading.value, reading.quantity, display),
        units.unit_of(reading.quantity, display),
        "" if reading.where is None else place(reading.where, analysis),
    )
