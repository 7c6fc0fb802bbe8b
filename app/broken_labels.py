"""Labels of a tree's first column in as many lines as they need there."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QTreeWidget

from app.broken_names import LINE_END, broken
from app.study_words import with_units

AnyIndex = QModelIndex | QPersistentModelIndex

_LABEL = 0
_LEAST = 40
"""Pixels that a label is taken to have at the least."""


class BrokenLabels(QStyledItemDelegate):
    """Breaks labels that are wider than their column, where they have a comma rather there.

    Labels that span all columns are headings, and stay whole.
    """

    def __init__(self, table: QTreeWidget) -> None:
        super().__init__(table)
        self._table = table
        self._known: dict[tuple[str, int], tuple[str, int]] = {}
        table.header().sectionResized.connect(self._resized)

    def forget(self) -> None:
        """Break all labels anew, for another width or in another font."""
        self._known.clear()
        self._table.scheduleDelayedItemsLayout()

    def _resized(self, column: int) -> None:
        if column == _LABEL:
            self.forget()

    def broken(self, index: AnyIndex) -> tuple[str, int]:
        """A row's label with its line breaks at the present width, and how many lines it has."""
        table, depth, above = self._table, 0, index.parent()
        label = str(index.sibling(index.row(), _LABEL).data() or "")
        if table.isFirstColumnSpanned(index.row(), QModelIndex(above)):
            return label, 1
        while above.isValid():
            depth, above = depth + 1, above.parent()
        if (label, depth) not in self._known:
            style = table.style()
            edge = style.pixelMetric(QStyle.PixelMetric.PM_FocusFrameHMargin, None, table) + 1
            room = table.columnWidth(_LABEL) - depth * table.indentation() - 2 * edge
            lines = broken(with_units(label), max(room, _LEAST), table.fontMetrics())
            self._known[label, depth] = LINE_END.join(lines), len(lines)
        return self._known[label, depth]

    def initStyleOption(self, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Show the label in its lines."""
        super().initStyleOption(option, index)
        if index.column() == _LABEL:
            option.text = self.broken(index)[0]

    def sizeHint(self, option: QStyleOptionViewItem, index: AnyIndex) -> QSize:
        """As high as the label's lines, also of an empty text."""
        return QSize(_LEAST, self.broken(index)[1] * self._table.fontMetrics().height())
