"""Chooses a number of a design and the range that it goes through."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFormLayout, QWidget

from app.inspect.choice_box import ChoiceBox
from app.units_field import QuantityField
from solver.model import Design
from solver.number_names import NamedNumber, named_numbers
from solver.project import Display
from solver.ranges import Range
from solver.sampling import may_be_negative
from solver.sweep import Values
from solver.units import Quantity

_WIDE = Range(-1e9, 1e9)
_REACH: dict[Quantity, float] = {"length": 10.0, "direction": 5.0, "angle": 10.0}
_SHARE = 0.3
"""A first range of what is no length or angle: this share of its value to either side."""


class NumberRange(QWidget):
    """A drop-down of numbers, and from where to where the chosen one goes."""

    changed = Signal()
    """Another number or range was chosen."""

    def __init__(self, name: str, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._numbers: dict[str, NamedNumber] = {}
        self._number: NamedNumber | None = None
        self._fields: tuple[QuantityField, ...] = ()
        self.choice = ChoiceBox(name, "What goes through a range.", parent=self)
        self.choice.setMinimumContentsLength(24)
        self.choice.edited.connect(self._choose)
        self._form = QFormLayout(self)
        self._form.setContentsMargins(0, 8, 0, 0)
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self._form.addRow(name, self.choice)

    @property
    def low(self) -> QuantityField:
        """The field with the start of the range."""
        return self._fields[0]

    @property
    def high(self) -> QuantityField:
        """The field with the end of the range."""
        return self._fields[1]

    def offer(self, numbers: tuple[NamedNumber, ...], first: NamedNumber) -> None:
        """Offer these numbers; `first` is taken where the one chosen is not among them."""
        self._numbers = {number.path: number for number in numbers}
        self.choice.offer(tuple((number.path, number.label) for number in numbers))
        if self._number is None or self._number.path not in self._numbers:
            self.choice.load(first.path)
            self._show(first)

    @property
    def path(self) -> str:
        """The path of the number chosen; "" where there is none."""
        return "" if self._number is None else self._number.path

    def take_another(self, path: str) -> None:
        """Take the first number but the one of that path."""
        other = next((each for each in self._numbers.values() if each.path != path), None)
        if other is not None:
            self.choice.load(other.path)
            self._show(other)

    def set_display(self, display: Display) -> None:
        """Write the range in other units."""
        self._display = display
        for field in self._fields:
            field.set_display(display)

    def pair(self, steps: int) -> tuple[str, Values]:
        """The number's path and its values, in the document's unit."""
        assert self._number is not None
        return self._number.path, np.linspace(self.low.value, self.high.value, steps)

    def _choose(self, path: object) -> None:
        self._show(self._numbers[str(path)])
        self.changed.emit()

    def _show(self, number: NamedNumber) -> None:
        """Fields in the number's unit, with a range around its present value."""
        while self._form.rowCount() > 1:
            self._form.removeRow(1)
        self._number, value = number, number.value or 0.0
        off = _REACH.get(number.quantity, abs(value) * _SHARE) or 1.0
        low = value - off if may_be_negative(number.path) else max(value - off, 0.1 * value)
        fields = []
        for words, at in (("From", low), ("To", value + off)):
            field = QuantityField(
                number.quantity,
                self._display,
                f"{number.label}: {words.lower()}",
                allowed=_WIDE,
                parent=self,
            )
            field.load(at)
            field.edited.connect(lambda _: self.changed.emit())
            self._form.addRow(words, field)
            fields.append(field)
        self._fields = tuple(fields)


def sweepable(design: Design) -> tuple[NamedNumber, ...]:
    """The numbers of a design that can go through a range: springs first, as most asked for."""
    numbers = [
        number
        for number in named_numbers(design)
        if number.value is not None and number.quantity != "count"
    ]
    return tuple(sorted(numbers, key=lambda number: not number.path.startswith("springs.")))
