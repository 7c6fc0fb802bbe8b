"""The dimensions of the sheet as a list: which are shown, own ones, and back in their place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.drawing.chosen import Choice
from app.inspect.choice_box import ChoiceBox
from app.workshop.choices import Way
from solver.project import Sheet

_WAYS = (("straight", "straight"), ("across", "across"), ("up", "up"))
_HINT = "Tick what the sheet shows. Drag a text on the page to move it."
_ELSEWHERE = "Only the dimensioned sheet has these; choose it to tick, move or add dimensions."


class DimensionList(QWidget):
    """Check boxes for all dimensions; it tells what the user wants and changes nothing itself."""

    shown = Signal(str, bool)
    picked = Signal(str)
    put_back = Signal(str)
    added = Signal(str, str, str)
    removed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.hint = QLabel(_HINT, self)
        self.list = QListWidget(self)
        self.list.setAccessibleName("Dimensions of the sheet")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setWordWrap(True)
        self.back = self._button("Put back", "Undo the moving of this dimension's text.")
        self.remove = self._button("Remove", "Take this dimension of your own off the sheet.")
        self.a = ChoiceBox("From point", "Where the distance begins.", parent=self)
        self.b = ChoiceBox("To point", "Where it ends.", parent=self)
        self.way = ChoiceBox(
            "Measured", "Straight from one to the other, or a part of it.", parent=self
        )
        self.way.offer(_WAYS)
        self.way.load("straight")
        self.add = self._button("Add", "Put the distance of these two points on the sheet.")
        self._known: tuple[tuple[str, str, bool], ...] = ()
        self._moved: frozenset[str] = frozenset()
        self._in_use = True
        self._lay_out()
        self._follow()
        self._enable()

    def _button(self, text: str, tip: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setToolTip(tip)
        button.setAccessibleDescription(tip)
        button.setAutoDefault(False)
        return button

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        self.hint.setWordWrap(True)
        column.addWidget(self.hint)
        column.addWidget(self.list, 1)
        row = QHBoxLayout()
        row.addWidget(self.back)
        row.addWidget(self.remove)
        row.addStretch(1)
        column.addLayout(row)
        grid = QGridLayout()
        heading = QLabel("A dimension of your own", self)
        font = heading.font()
        font.setBold(True)
        heading.setFont(font)
        grid.addWidget(heading, 0, 0, 1, 2)
        for row_number, (words, box) in enumerate(
            (("From", self.a), ("To", self.b), ("Measured", self.way)), start=1
        ):
            label = QLabel(words, self)
            label.setBuddy(box)
            grid.addWidget(label, row_number, 0)
            grid.addWidget(box, row_number, 1)
        grid.addWidget(self.add, 4, 1)
        grid.setColumnStretch(1, 1)
        column.addLayout(grid)

    def _follow(self) -> None:
        self.list.itemChanged.connect(self._ticked)
        self.list.currentItemChanged.connect(self._current)
        self.back.clicked.connect(lambda: self.put_back.emit(self.key))
        self.remove.clicked.connect(lambda: self.removed.emit(self.key))
        self.add.clicked.connect(self._add)
        for box in (self.a, self.b, self.way):
            box.edited.connect(self._enable)

    @property
    def key(self) -> str:
        """The key of the dimension that is selected; "" for none."""
        row = self.list.currentRow()
        return self._known[row][0] if row >= 0 else ""

    def show_choices(self, choices: Sequence[Choice], sheet: Sheet, points: Sequence[str]) -> None:
        """Show the dimensions that there are now."""
        known = tuple((choice.key, choice.title, choice.shown) for choice in choices)
        self._moved = frozenset(
            choice.key for choice in sheet.dimensions if choice.shift_x or choice.shift_y
        )
        if known != self._known:
            selected, place = self.key, self.list.verticalScrollBar().value()
            self._known = known
            self._fill(selected)
            self.list.verticalScrollBar().setValue(place)
        options = tuple((name, name) for name in points)
        self.a.offer(options)
        self.b.offer(options)
        self._enable()

    def set_in_use(self, there: bool) -> None:
        """Whether the paper that is shown has dimensions to choose; where not, it says so."""
        self.hint.setText(_HINT if there else _ELSEWHERE)
        for part in (self.list, self.a, self.b, self.way):
            part.setEnabled(there)
        self._in_use = there
        self._enable()

    def pick(self, key: str) -> None:
        """Select a dimension without telling."""
        self.list.blockSignals(True)
        self.list.setCurrentRow(self._row(key))
        self.list.blockSignals(False)
        self._enable()

    def _fill(self, selected: str) -> None:
        self.list.blockSignals(True)
        self.list.clear()
        for key, title, shown in self._known:
            item = QListWidgetItem(title)
            item.setData(Qt.ItemDataRole.UserRole, key)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if shown else Qt.CheckState.Unchecked)
            self.list.addItem(item)
        self.list.setCurrentRow(self._row(selected))
        self.list.blockSignals(False)

    def _row(self, key: str) -> int:
        """The row of a key; -1 where there is none."""
        return next((row for row, known in enumerate(self._known) if known[0] == key), -1)

    def _ticked(self, item: QListWidgetItem) -> None:
        key = str(item.data(Qt.ItemDataRole.UserRole))
        self.shown.emit(key, item.checkState() == Qt.CheckState.Checked)

    def _current(self) -> None:
        self._enable()
        self.picked.emit(self.key)

    def _add(self) -> None:
        a, b, way = (str(box.currentText()) for box in (self.a, self.b, self.way))
        self.added.emit(a, b, cast(Way, way))

    def _enable(self) -> None:
        self.back.setEnabled(self._in_use and self.key in self._moved)
        self.remove.setEnabled(self._in_use and self.key.startswith("own:"))
        ends = {self.a.currentText(), self.b.currentText()} - {""}
        self.add.setEnabled(self._in_use and len(ends) == 2)
