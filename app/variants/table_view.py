"""The numbers of a comparison beside the pictures: the table, and what changed in words."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import (
    QBrush,
    QFont,
    QFontMetrics,
    QFontMetricsF,
    QGuiApplication,
    QKeyEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QSplitter,
    QTextBrowser,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.broken_labels import BrokenLabels
from app.copy_key import is_copy, keeps_copy
from app.inspect.choice_box import ChoiceBox
from app.theme import current
from app.variants.comparison import Comparison
from app.variants.lines import BEST, Cell, Line
from app.variants.names import two_lines
from app.variants.reasons import answer
from app.variants.tables import OF_SHOWN, changed, lines

ANSWERS_HEAD = "How they hold"
_LABEL, _UNIT, _FIRST = 0, 1, 2
_NARROWEST = "◆ 000.0 (−00.0)"
_SHORT_LABEL = "  Slack margin, least: ≥ 5.00"
"""Room for a label where the window is narrow; there it has several lines."""
_NUMBERS = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_PADDING = 16
"""Pixels that a cell has besides its text."""


class Table(QTreeWidget):
    """One column for each variant. Only cells that changed are written."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: dict[str, QTreeWidgetItem] = {}
        self._lines: dict[str, Line] = {}
        self._theme = ""
        self._heads: tuple[str, ...] = ()
        self._widest_label = 0
        self.setRootIsDecorated(False)
        self.setItemsExpandable(False)
        self.setIndentation(10)
        self.labels = BrokenLabels(self)
        self.setItemDelegateForColumn(_LABEL, self.labels)
        self.setAllColumnsShowFocus(True)
        self.setExpandsOnDoubleClick(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setAccessibleName("Readings and limits of the variants")
        self.header().setStretchLastSection(False)
        self.header().setSectionsMovable(False)
        self.header().setTextElideMode(Qt.TextElideMode.ElideNone)
        self.header().sectionResized.connect(self._name_column)
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self._fit_header()
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)

    def sizeHint(self) -> QSize:
        """Room for two variants."""
        return QSize(520, 480)

    def show_comparison(self, comparison: Comparison) -> None:
        """Show these numbers."""
        fresh = {line.key: line for line in lines(comparison)}
        heads = [f"{entry.number}  {entry.name}" for entry in comparison.entries]
        theme = current().name
        if list(fresh) != list(self._items) or self.columnCount() != len(heads) + 2:
            self._rebuild(fresh, len(heads))
        elif theme != self._theme:
            self._lines = {}
        self._theme = theme
        self._heads = tuple(heads)
        self.headerItem().setText(_LABEL, "Reading")
        self.headerItem().setText(_UNIT, "Unit")
        for column, head in enumerate(heads, start=_FIRST):
            self.headerItem().setTextAlignment(column, Qt.AlignmentFlag.AlignRight)
            self.headerItem().setToolTip(column, head)
            self._name_column(column)
        for key, line in fresh.items():
            if line != self._lines.get(key):
                self._write(self._items[key], line)
        if fresh != self._lines:
            self._lines = fresh
            self._fit_columns()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit_header()
            self.labels.forget()

    def _fit_header(self) -> None:
        """Always two lines high, so that the table stays where it is while columns change."""
        self.header().setFixedHeight(2 * self.fontMetrics().lineSpacing() + 8)

    def _name_column(self, column: int) -> None:
        """Put the name over a column, in two lines if need be."""
        if _FIRST <= column < _FIRST + len(self._heads):
            width = self.header().sectionSize(column) - _PADDING
            name = two_lines(self._heads[column - _FIRST], QFontMetricsF(self.font()), width)
            self.headerItem().setText(column, name)

    def event(self, event: QEvent) -> bool:
        """Keep the copy keys here while the table has the focus."""
        return keeps_copy(event) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy the selected lines, tabs between their cells."""
        if not is_copy(event):
            super().keyPressEvent(event)
            return
        chosen = set(map(id, self.selectedItems()))
        rows = [item for item in self._items.values() if id(item) in chosen]
        count = self.columnCount()
        texts = ["\t".join(item.text(column) for column in range(count)) for item in rows]
        if texts:
            QGuiApplication.clipboard().setText("\n".join(texts))

    def _rebuild(self, fresh: dict[str, Line], variants: int) -> None:
        self.clear()
        self._items, self._lines = {}, {}
        self.setColumnCount(variants + 2)
        group: QTreeWidgetItem | None = None
        for key, line in fresh.items():
            if not (line.cells or line.remark) or group is None:
                item = group = QTreeWidgetItem(self)
                item.setFlags(Qt.ItemFlag.ItemIsEnabled)
                item.setFirstColumnSpanned(True)
            else:
                item = QTreeWidgetItem(group)
                item.setFirstColumnSpanned(line.remark)
            self._items[key] = item
        self.expandAll()
        self._set_widths(variants)

    def _set_widths(self, variants: int) -> None:
        metrics, header = self.fontMetrics(), self.header()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setMinimumSectionSize(40)
        header.resizeSection(_UNIT, metrics.horizontalAdvance("N·mm") + 6)
        for column in range(_FIRST, _FIRST + variants):
            header.resizeSection(column, metrics.horizontalAdvance(_NARROWEST) + 8)
        self._fit_labels()

    def _fit_columns(self) -> None:
        """Make columns as wide as their numbers, which are never cut; they only grow."""
        plain = QFontMetrics(_weighted(self.font(), heavy=False))
        bold = QFontMetrics(_weighted(self.font(), heavy=True))
        rows = [line for line in self._lines.values() if line.cells]
        for place in range(len(self._heads)):
            cells = [row.cells[place] for row in rows]
            widths = [(bold if c.best else plain).horizontalAdvance(c.text()) for c in cells]
            wide = max(widths, default=0) + _PADDING
            if wide > self.header().sectionSize(place + _FIRST):
                self.header().resizeSection(place + _FIRST, wide)
        labels = [plain.horizontalAdvance(row.label) for row in rows]
        self._widest_label = max(labels, default=0) + 2 * self.indentation() + _PADDING
        self._fit_labels()

    def wanted_width(self) -> int:
        """Pixels in which every column has its room."""
        others = sum(self.header().sectionSize(at) for at in range(_UNIT, self.columnCount()))
        bar = self.verticalScrollBar().sizeHint().width()
        return self._widest_label + others + bar + 24

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The labels take what the numbers leave; where that is too little, the table scrolls."""
        super().resizeEvent(event)
        self._fit_labels()

    def _fit_labels(self) -> None:
        others = sum(self.header().sectionSize(at) for at in range(_UNIT, self.columnCount()))
        room = self.viewport().width() - others
        least = min(self._widest_label, self.fontMetrics().horizontalAdvance(_SHORT_LABEL))
        self.header().resizeSection(_LABEL, max(room, least))

    def _write(self, item: QTreeWidgetItem, line: Line) -> None:
        item.setText(_LABEL, line.label)
        item.setToolTip(_LABEL, line.label)
        if not line.cells:
            item.setFont(_LABEL, _weighted(self.font(), heavy=not line.remark))
            return
        item.setText(_UNIT, line.unit)
        for column, cell in enumerate(line.cells, start=_FIRST):
            item.setText(column, cell.text())
            item.setTextAlignment(column, _NUMBERS)
            item.setFont(column, _weighted(self.font(), heavy=cell.best))
            item.setForeground(column, _brush(cell))
            item.setToolTip(column, cell.tip)


class Answers(QWidget):
    """Table above, changes below."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.table = Table(self)
        self.changes = QTextBrowser(self)
        self.changes.setAccessibleName("How they hold, and what is different")
        self.changes.setFrameShape(QTextBrowser.Shape.NoFrame)
        self.changes.document().setDocumentMargin(8)
        self.base = ChoiceBox(
            "Differences to",
            "Choose the variant that the differences in brackets and in words are to. "
            "It is the first one whenever the program starts.\n"
            f"In brackets are differences {OF_SHOWN}.",
            parent=self,
        )
        legend = QHBoxLayout()
        legend.setContentsMargins(6, 0, 6, 0)
        legend.addWidget(QLabel(f"{BEST} and bold: best of the row.", self))
        legend.addStretch(1)
        legend.addWidget(QLabel("In brackets: more than", self))
        legend.addWidget(self.base, 3)
        above = QWidget(self)
        column = QVBoxLayout(above)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(3)
        column.addWidget(self.table, 1)
        column.addLayout(legend)
        halves = QSplitter(Qt.Orientation.Vertical, self)
        halves.addWidget(above)
        halves.addWidget(self.changes)
        halves.setStretchFactor(0, 3)
        halves.setStretchFactor(1, 1)
        halves.setSizes([640, 240])
        halves.setChildrenCollapsible(False)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(halves)
        self._told = ""

    def show_comparison(self, comparison: Comparison) -> None:
        """Show these numbers and words."""
        entries = comparison.entries
        self.base.offer(tuple((e.name, f"{e.number} {e.name}") for e in entries))
        self.base.load(comparison.base.name)
        self.table.show_comparison(comparison)
        told = answers_as_html(comparison) + changes_as_html(comparison)
        if told != self._told:
            self._told = told
            self.changes.setHtml(told)


def answers_as_html(comparison: Comparison) -> str:
    """What copies of each variant do, and why some fail."""
    told = (
        f"<p><b>{_safe(f'{entry.number} {entry.name}')}:</b> {_safe(answer(entry, comparison))}</p>"
        for entry in comparison.entries
    )
    return f"<p><b>{ANSWERS_HEAD}</b></p>{''.join(told)}"


def changes_as_html(comparison: Comparison) -> str:
    """What is different in each variant from the one held against, a list for each."""
    base = comparison.base
    parts = []
    for entry, sentences in changed(comparison):
        head = f"{entry.number} {entry.name}, against {base.number} {base.name}"
        items = "".join(f"<li>{_safe(sentence)}</li>" for sentence in sentences)
        parts.append(f"<p><b>What is different in {_safe(head)}</b></p><ul>{items}</ul>")
    return "".join(parts)


def _safe(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _weighted(font: QFont, heavy: bool) -> QFont:
    made = QFont(font)
    made.setWeight(QFont.Weight.DemiBold if heavy else QFont.Weight.Normal)
    return made


def _brush(cell: Cell) -> QBrush:
    theme = current()
    return QBrush({"good": theme.good, "bad": theme.bad}.get(cell.state, theme.ink))
