"""The part of the tuner's dialog that says what may change: a line for each thing that can."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QLabel,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from app.inspect.choice_box import ChoiceBox
from app.studies import spring_lines
from app.units_field import QuantityField
from solver.model import Design, Spring, TorsionSpring
from solver.movables import (
    Movable,
    PointBox,
    PointLine,
    SpringChoice,
    SpringNumber,
    StopRange,
)
from solver.number_names import find_number
from solver.project import Display
from solver.ranges import RANGES, Range
from solver.units import Quantity

_FAR = Range(0.0, 1e6)
_DIRECTION = Range(-3600.0, 3600.0)
_POINT_REACH, _STOP_REACH, _SHARE = 10.0, 5.0, 0.2
"""First ranges: mm of a point, degrees of a rest, share of a spring's number."""
_WAYS = (
    ("any", "any way"),
    ("x", "left and right"),
    ("y", "up and down"),
    ("line", "along a line at"),
)


class MovableRows(QWidget):
    """What the tuner may change of a design. Nothing is chosen at first."""

    changed = Signal()
    """Something was chosen, or chosen no more."""

    def __init__(self, design: Design, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._design, self._display = design, display
        self.rows: dict[str, _Row] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self._column = column
        for title, rows in (
            ("Points", list(self._points())),
            ("Springs", list(self._springs())),
            ("Rests", list(self._rests())),
        ):
            self._add(title, rows)
        column.addStretch(1)

    def movables(self) -> tuple[Movable, ...]:
        """What was chosen. DesignProblem where a list of springs cannot be read."""
        return tuple(row.movable() for row in self.rows.values() if row.chosen)

    def _add(self, title: str, rows: list[_Row]) -> None:
        if not rows:
            return
        label = QLabel(title, self)
        font = label.font()
        font.setBold(True)
        label.setFont(font)
        self._column.addWidget(label)
        for row in rows:
            self.rows[row.key] = row
            self._column.addWidget(row)
            row.check.toggled.connect(self.changed)

    def _points(self) -> Iterator[_Row]:
        for point in self._design.points:
            yield _PointRow(point.name, self._display, self)

    def _springs(self) -> Iterator[_Row]:
        for spring in self._design.springs:
            kept = ("free_angle",) if isinstance(spring, TorsionSpring) else ("free_length",)
            for field in ("rate", *kept):
                yield _SpringRow(self._design, spring, field, self._display, self)
            yield _ListRow(spring, self._display, self)

    def _rests(self) -> Iterator[_Row]:
        stops = self._design.stops
        yield _RestRow("A", stops.rest_a, self._display, self)
        yield _RestRow("B", stops.rest_b, self._display, self)


class _Row(QWidget):
    """A check box, and below it what is to be said once it is checked."""

    def __init__(self, key: str, label: str, display: Display, parent: QWidget) -> None:
        super().__init__(parent)
        self.key = key
        self._display = display
        self.check = QCheckBox(label, self)
        self.more = QWidget(self)
        self.more.hide()
        self.check.toggled.connect(self.more.setVisible)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.check)
        column.addWidget(self.more)
        self._form = QFormLayout(self.more)
        self._form.setContentsMargins(24, 0, 0, 4)
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)

    @property
    def chosen(self) -> bool:
        """Whether this may change."""
        return self.check.isChecked()

    def movable(self) -> Movable:
        """What may change, and how far."""
        raise NotImplementedError

    def _field(self, label: str, quantity: Quantity, value: float, allowed: Range) -> QuantityField:
        spoken = f"{self.check.text()}: {label}"
        field = QuantityField(quantity, self._display, spoken, allowed=allowed, parent=self.more)
        field.load(value)
        self._form.addRow(label, field)
        return field


class _PointRow(_Row):
    def __init__(self, point: str, display: Display, parent: QWidget) -> None:
        super().__init__(f"points.{point}", point, display, parent)
        self._point = point
        self.way = ChoiceBox(f"{point}: which way", parent=self.more)
        self.way.offer(_WAYS)
        self.way.load("any")
        self._form.addRow("Which way", self.way)
        self.direction = self._field("Line at", "direction", 90.0, _DIRECTION)
        self.reach = self._field("As far as ±", "length", _POINT_REACH, _FAR)
        self.way.edited.connect(self._show_line)
        self._show_line("any")

    def _show_line(self, way: object) -> None:
        self._form.setRowVisible(self.direction, way == "line")

    def movable(self) -> Movable:
        reach = self.reach.value
        match _WAYS[self.way.currentIndex()][0]:
            case "any":
                return PointBox(self._point, reach, reach)
            case "x":
                return PointLine(self._point, 0.0, reach)
            case "y":
                return PointLine(self._point, 90.0, reach)
            case _:
                return PointLine(self._point, self.direction.value, reach)


class _SpringRow(_Row):
    def __init__(
        self, design: Design, spring: Spring, field: str, display: Display, parent: QWidget
    ) -> None:
        number = find_number(design, f"springs.{spring.name}.{field}")
        super().__init__(number.path, number.label, display, parent)
        self._spring, self._number = spring.name, field
        allowed = RANGES[type(spring)][field]
        value = number.value or 0.0
        off = max(abs(value) * _SHARE, 1.0 if math.isclose(value, 0.0) else 0.0)
        self.low = self._field("From", number.quantity, value - off, allowed)
        self.high = self._field("To", number.quantity, value + off, allowed)

    def movable(self) -> Movable:
        return SpringNumber(self._spring, self._number, self.low.value, self.high.value)


class _ListRow(_Row):
    def __init__(self, spring: Spring, display: Display, parent: QWidget) -> None:
        super().__init__(f"list.{spring.name}", f"{spring.name}, from a list", display, parent)
        self._spring = spring
        self.text = QPlainTextEdit(self.more)
        self.text.setAccessibleName(f"List of springs for {spring.name}")
        self.text.setPlaceholderText(spring_lines.columns(spring))
        self.text.setToolTip(
            f"One spring a line: {spring_lines.columns(spring)}. Any unit may be typed; a table "
            "copied from a spreadsheet can be pasted."
        )
        self.text.setTabChangesFocus(True)
        self.text.setFixedHeight(5 * self.text.fontMetrics().lineSpacing() + 12)
        self._form.addRow(self.text)

    def movable(self) -> Movable:
        springs = spring_lines.read_springs(self.text.toPlainText(), self._spring, self._display)
        return SpringChoice(self._spring.name, springs)


class _RestRow(_Row):
    def __init__(
        self, rest: Literal["A", "B"], at: float, display: Display, parent: QWidget
    ) -> None:
        super().__init__(f"stops.{rest}", f"rest {rest}", display, parent)
        self._rest, self._at = rest, at
        self.reach = self._field("As far as ±", "angle", _STOP_REACH, Range(0.0, 180.0))

    def movable(self) -> Movable:
        reach = self.reach.value
        return StopRange(self._rest, self._at - reach, self._at + reach)
