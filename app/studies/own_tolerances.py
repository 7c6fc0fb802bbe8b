"""The part of the tolerances that is said of single numbers: this hole, that spring."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QGridLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.inspect.choice_box import ChoiceBox
from app.session import Session
from app.units_field import QuantityField
from solver import edit
from solver.errors import DesignProblem
from solver.model import OwnTolerance
from solver.number_names import NamedNumber
from solver.ranges import RANGES
from solver.spreadable import own_choices
from solver.units import Quantity

_ADD = "Add one for…"
_FIRST: dict[Quantity, float] = {"length": 0.1, "angle": 0.5, "ratio": 0.05}
_SHARE = 0.05
"""A first tolerance of what is no length, angle or ratio: this share of its value."""


class OwnTolerances(QWidget):
    """One line for each own tolerance, and a drop-down to add another."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._choices: dict[str, NamedNumber] = {}
        self._fields: dict[str, QuantityField] = {}
        title = QLabel("Own tolerances", self)
        font = title.font()
        font.setBold(True)
        title.setFont(font)
        tip = "A hole that is drilled with care, a spring that was measured."
        title.setToolTip(tip)
        self._lines = QGridLayout()
        self._lines.setColumnStretch(0, 1)
        self.add = ChoiceBox("Add an own tolerance", tip, _ADD, self)
        self.add.edited.connect(self._add)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 9, 0, 0)
        column.addWidget(title)
        column.addLayout(self._lines)
        column.addWidget(self.add)

    def field(self, number: str) -> QuantityField:
        """The field of a number that has an own tolerance; KeyError for another."""
        return self._fields[number]

    def refresh(self) -> None:
        """Show the present design's own tolerances."""
        design, display = self._session.document.design, self._session.display
        self._choices = {choice.path: choice for choice in own_choices(design)}
        own = {each.number: each.plus_minus for each in design.tolerances.own}
        free = [choice for path, choice in self._choices.items() if path not in own]
        self.add.offer(tuple((choice.path, choice.label) for choice in free))
        known = [path for path in own if path in self._choices]
        if known != list(self._fields):
            self._build(known)
        for path in known:
            self._fields[path].set_display(display)
            self._fields[path].set_value(own[path])

    def _build(self, paths: list[str]) -> None:
        while self._lines.count():
            item = self._lines.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._fields = {}
        for row, path in enumerate(paths):
            self._add_line(row, self._choices[path])

    def _add_line(self, row: int, number: NamedNumber) -> None:
        label = QLabel(f"{number.label}, ±", self)
        label.setWordWrap(True)
        field = QuantityField(
            number.quantity,
            self._session.display,
            f"{number.label}, ±",
            allowed=RANGES[OwnTolerance]["plus_minus"],
            parent=self,
        )
        field.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        field.edited.connect(lambda value, path=number.path: self._set(path, value))
        remove = QToolButton(self)
        remove.setText("×")
        remove.setAutoRaise(True)
        remove.setAccessibleName(f"Remove the own tolerance of {number.label}")
        remove.setToolTip("Let the general tolerance hold again")
        remove.clicked.connect(lambda _=False, path=number.path: self._set(path, None))
        for column, widget in enumerate((label, field, remove)):
            self._lines.addWidget(widget, row, column)
        self._fields[number.path] = field

    def _add(self, path: str) -> None:
        number = self._choices[path]
        size = abs(number.value or 0.0) * _SHARE
        self._set(path, _FIRST.get(number.quantity, size or 1.0))

    def _set(self, path: str, value: float | None) -> None:
        """Give a number an own tolerance, or take it away."""
        document = self._session.document
        try:
            if value is None:
                design = edit.drop_own_tolerance(document.design, path)
            else:
                design = edit.set_own_tolerance(document.design, path, value)
        except DesignProblem as problem:
            self._session.message.emit(str(problem))
            return
        document.apply(design, "Change own tolerance")
