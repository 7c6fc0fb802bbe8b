"""The part of the tuner's dialog that says what may change: a line for each thing that can."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Literal

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QSizePolicy,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.inspect.choice_box import ChoiceBox
from app.studies import spring_lines
from app.units_field import QuantityField
from solver import units
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
_AS_FAR, _EACH = "As far as ±", "In x and in y, each ±"
_HINT = "Tick what may change; here you then say how far."
_WAYS = (
    ("any", "any way"),
    ("x", "left and right"),
    ("y", "up and down"),
    ("line", "along a line at"),
)


class MovableRows(QWidget):
    """What the tuner may change of a design. Nothing is chosen at first.

    Every row keeps its place: how far the row at hand may go is said in `details`, a widget of
    its own for the owner to place.
    """

    changed = Signal()
    """Something was chosen, or chosen no more."""

    def __init__(self, design: Design, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._design, self._display = design, display
        self.rows: dict[str, _Row] = {}
        self.details = QStackedWidget(self)
        hint = QLabel(_HINT, self.details)
        hint.setWordWrap(True)
        hint.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.details.addWidget(hint)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 8, 0)
        column.setSpacing(2)
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

    def ticks(self) -> dict[str, tuple[object, ...]]:
        """What was chosen and how far, by the keys of the rows; see `restore`."""
        return {row.key: row.entries() for row in self.rows.values() if row.chosen}

    def restore(self, ticks: Mapping[str, tuple[object, ...]]) -> None:
        """Choose what `ticks` once told, of the rows that there still are."""
        for key, entries in ticks.items():
            row = self.rows.get(key)
            if row is not None:
                row.enter(entries)
                row.check.setChecked(True)

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
            self.details.addWidget(row.more)
            row.check.toggled.connect(self.changed)
            row.asked.connect(self.details.setCurrentWidget)

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
    """A check box and, once it is checked, how far; `more` has the fields for that."""

    asked = Signal(QWidget)
    """The fields of this row are wanted."""

    def __init__(self, key: str, label: str, display: Display, parent: QWidget) -> None:
        super().__init__(parent)
        self.key = key
        self._display = display
        self.check = QCheckBox(label, self)
        self.check.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.far = QToolButton(self)
        self.far.setAutoRaise(True)
        self.far.setToolTip(f"Say how far {label} may go")
        kept = self.far.sizePolicy()
        kept.setRetainSizeWhenHidden(True)
        self.far.setSizePolicy(kept)
        self.far.setText("±")
        self.setFixedHeight(max(self.check.sizeHint().height(), self.far.sizeHint().height()))
        self.far.hide()
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self.check, 1)
        line.addWidget(self.far)
        self.more = QWidget(parent)
        self._form = QFormLayout(self.more)
        self._form.setContentsMargins(0, 0, 8, 0)
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        title = QLabel(f"How far may {label} go?", self.more)
        title.setWordWrap(True)
        self._form.addRow(title)
        self.check.toggled.connect(self._toggle)
        self.far.clicked.connect(lambda: self.asked.emit(self.more))

    @property
    def chosen(self) -> bool:
        """Whether this may change."""
        return self.check.isChecked()

    def movable(self) -> Movable:
        """What may change, and how far."""
        raise NotImplementedError

    def summary(self) -> str:
        """How far, in few characters."""
        raise NotImplementedError

    def entries(self) -> tuple[object, ...]:
        """What the fields hold, for `enter`."""
        raise NotImplementedError

    def enter(self, entries: tuple[object, ...]) -> None:
        """Fill the fields with what they once held."""
        raise NotImplementedError

    def tell(self) -> None:
        """Write the summary anew."""
        self.far.setText(self.summary())

    def _toggle(self, on: bool) -> None:
        self.tell()
        self.far.setVisible(on)
        self.more.setEnabled(on)
        if on:
            self.asked.emit(self.more)

    def _field(self, label: str, quantity: Quantity, value: float, allowed: Range) -> QuantityField:
        spoken = f"{self.check.text()}: {label}"
        field = QuantityField(quantity, self._display, spoken, allowed=allowed, parent=self.more)
        field.load(value)
        field.edited.connect(lambda _: self.tell())
        self._form.addRow(label, field)
        return field

    def _shown(self, field: QuantityField, quantity: Quantity) -> str:
        return units.show(field.value, quantity, self._display)


class _PointRow(_Row):
    def __init__(self, point: str, display: Display, parent: QWidget) -> None:
        super().__init__(f"points.{point}", point, display, parent)
        self._point = point
        self.way = ChoiceBox(f"{point}: which way", parent=self.more)
        self.way.offer(_WAYS)
        self.way.load("any")
        self._form.addRow("Which way", self.way)
        self.direction = self._field("Line at", "direction", 90.0, _DIRECTION)
        self.reach = self._field(_AS_FAR, "length", _POINT_REACH, _FAR)
        self.way.edited.connect(self._show_line)
        self._show_line("any")

    def _show_line(self, way: object) -> None:
        self._form.setRowVisible(self.direction, way == "line")
        label = self._form.labelForField(self.reach)
        if isinstance(label, QLabel):
            label.setText(_EACH if way == "any" else _AS_FAR)
        self.tell()

    def _way(self) -> str:
        return _WAYS[self.way.currentIndex()][0]

    def summary(self) -> str:
        far = f"±{self._shown(self.reach, 'length')}"
        return {"any": f"x, y {far}", "x": f"x {far}", "y": f"y {far}"}.get(self._way(), far)

    def entries(self) -> tuple[object, ...]:
        return (self._way(), self.direction.value, self.reach.value)

    def enter(self, entries: tuple[object, ...]) -> None:
        way, direction, reach = entries
        assert isinstance(direction, float)
        assert isinstance(reach, float)
        self.way.load(str(way))
        self.direction.load(direction)
        self.reach.load(reach)
        self._show_line(way)

    def movable(self) -> Movable:
        reach = self.reach.value
        match self._way():
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
        self._spring, self._number, self._quantity = spring.name, field, number.quantity
        allowed = RANGES[type(spring)][field]
        value = number.value or 0.0
        off = max(abs(value) * _SHARE, 1.0 if math.isclose(value, 0.0) else 0.0)
        self.low = self._field("From", number.quantity, value - off, allowed)
        self.high = self._field("To", number.quantity, value + off, allowed)

    def summary(self) -> str:
        low = units.number(self.low.value, self._quantity, self._display)
        return f"{low} … {self._shown(self.high, self._quantity)}"

    def entries(self) -> tuple[object, ...]:
        return (self.low.value, self.high.value)

    def enter(self, entries: tuple[object, ...]) -> None:
        for field, value in zip((self.low, self.high), entries, strict=True):
            assert isinstance(value, float)
            field.load(value)

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
        self.text.setFixedHeight(4 * self.text.fontMetrics().lineSpacing() + 12)
        self.text.textChanged.connect(self.tell)
        self._form.addRow(self.text)

    def summary(self) -> str:
        lines = [line.strip() for line in self.text.toPlainText().splitlines()]
        count = sum(bool(line) and not line.startswith("#") for line in lines)
        return f"{count} spring{'' if count == 1 else 's'}"

    def entries(self) -> tuple[object, ...]:
        return (self.text.toPlainText(),)

    def enter(self, entries: tuple[object, ...]) -> None:
        self.text.setPlainText(str(entries[0]))

    def movable(self) -> Movable:
        springs = spring_lines.read_springs(self.text.toPlainText(), self._spring, self._display)
        return SpringChoice(self._spring.name, springs)


class _RestRow(_Row):
    def __init__(
        self, rest: Literal["A", "B"], at: float, display: Display, parent: QWidget
    ) -> None:
        super().__init__(f"stops.{rest}", f"rest {rest}", display, parent)
        self._rest, self._at = rest, at
        self.reach = self._field(_AS_FAR, "angle", _STOP_REACH, Range(0.0, 180.0))

    def summary(self) -> str:
        return f"±{self._shown(self.reach, 'angle')}"

    def entries(self) -> tuple[object, ...]:
        return (self.reach.value,)

    def enter(self, entries: tuple[object, ...]) -> None:
        (reach,) = entries
        assert isinstance(reach, float)
        self.reach.load(reach)

    def movable(self) -> Movable:
        reach = self.reach.value
        return StopRange(self._rest, self._at - reach, self._at + reach)
