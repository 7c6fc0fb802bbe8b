"""A form built from a table of rows: labels on the left, controls on the right."""

from collections.abc import Mapping
from typing import Any, Protocol, cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from app.inspect.check_list import CheckList
from app.inspect.choice_box import ChoiceBox
from app.inspect.flag_box import FlagBox
from app.inspect.note_box import NoteBox
from app.inspect.rows import Checklist, Choice, Flag, Heading, Number, Row, Text, Value
from app.inspect.text_line import TextLine
from app.units_field import OptionalQuantityField, QuantityField
from solver.project import Display

Options = tuple[tuple[str, str], ...]

_LABEL_CHARACTERS = 15


class _Control(Protocol):
    """What every control of a form can do; Any, as the value is of the row's own type."""

    def set_value(self, value: Any, /) -> None: ...  # noqa: ANN401
    def load(self, value: Any, /) -> None: ...  # noqa: ANN401


class Form(QWidget):
    """The rows of one page. It knows no design: values go in by key, edits come out by key."""

    edited = Signal(str, object)
    """Key and value of what the user changed."""
    stepped = Signal(str, object)
    """Key and value while the user steps a number; `edited` follows."""

    def __init__(
        self, rows: tuple[Row, ...], display: Display, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.rows = rows
        self._display = display
        self._controls: dict[str, QWidget] = {}
        self._labels: dict[str, QLabel] = {}
        self._keys: tuple[str, ...] | None = None
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(5)
        self._grid.setColumnStretch(1, 1)
        for place, row in enumerate(rows):
            if isinstance(row, Heading):
                self._add_heading(place, row)
            else:
                self._add_control(place, row)

    def control(self, key: str) -> QWidget:
        """The control of a row; KeyError where there is none."""
        return self._controls[key]

    def show_values(self, values: Mapping[str, Value], fresh: bool) -> None:
        """Show the values and the rows they belong to.

        `fresh`: they are another thing's, so what was being typed goes.
        """
        self._show_rows(tuple(values))
        for key, value in values.items():
            control = cast(_Control, self._controls[key])
            if fresh:
                control.load(value)
            else:
                control.set_value(value)

    def offer(self, key: str, options: Options) -> None:
        """Offer what can be chosen in a row."""
        control = self._controls[key]
        assert isinstance(control, ChoiceBox | CheckList)
        control.offer(options)

    def set_display(self, display: Display) -> None:
        """Write the numbers in other units."""
        if display != self._display:
            self._display = display
            for control in self._controls.values():
                if isinstance(control, QuantityField | OptionalQuantityField):
                    control.set_display(display)

    def refuse(self, key: str, sentence: str) -> bool:
        """Say at the field why its entry cannot be used; False where its kind has no room."""
        control = self._controls[key]
        if isinstance(control, QuantityField | OptionalQuantityField):
            control.refuse(sentence)
            return True
        return False

    def _add_heading(self, place: int, row: Heading) -> None:
        label = QLabel(row.label, self)
        font = label.font()
        font.setBold(True)
        label.setFont(font)
        label.setContentsMargins(0, 9, 0, 1)
        self._grid.addWidget(label, place, 0, 1, 2)
        self._labels[row.key] = label

    def _add_control(self, place: int, row: Row) -> None:
        control = self._make(row)
        self._controls[row.key] = control
        wide = isinstance(row, Flag) or (isinstance(row, Text) and row.lines > 1)
        if wide:
            self._grid.addWidget(control, place, 0, 1, 2)
            return
        label = QLabel(row.label, self)
        label.setWordWrap(True)
        label.setFixedWidth(label.fontMetrics().averageCharWidth() * _LABEL_CHARACTERS)
        label.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Maximum)
        label.setContentsMargins(0, 5 if isinstance(control, ChoiceBox) else 4, 0, 0)
        label.setBuddy(control)
        self._labels[row.key] = label
        self._grid.addWidget(label, place, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(control, place, 1, Qt.AlignmentFlag.AlignTop)

    def _make(self, row: Row) -> QWidget:
        key = row.key
        match row:
            case Number():
                kind = OptionalQuantityField if row.optional else QuantityField
                field = kind(
                    row.quantity,
                    self._display,
                    row.label,
                    row.tip,
                    allowed=row.allowed,
                    parent=self,
                )
                field.edited.connect(lambda value: self.edited.emit(key, value))
                field.stepped.connect(lambda value: self.stepped.emit(key, value))
                return field
            case Flag():
                control: FlagBox | ChoiceBox | CheckList | NoteBox | TextLine
                control = FlagBox(row.label, row.tip, self)
            case Choice():
                control = ChoiceBox(row.label, row.tip, row.prompt, self)
                control.offer(row.options)
            case Checklist():
                control = CheckList(row.label, row.tip, self)
            case Text(lines=1):
                control = TextLine(row.label, row.tip, self)
            case Text():
                control = NoteBox(row.label, row.tip, row.lines, self)
            case Heading():
                raise TypeError("a heading has no control")
        control.edited.connect(lambda value: self.edited.emit(key, value))
        return control

    def _show_rows(self, keys: tuple[str, ...]) -> None:
        if keys == self._keys:
            return
        self._keys = keys
        heading: QLabel | None = None
        filled = False
        for row in self.rows:
            if isinstance(row, Heading):
                if heading is not None:
                    heading.setVisible(filled)
                heading, filled = self._labels[row.key], False
                continue
            shown = row.key in keys
            filled = filled or shown
            self._controls[row.key].setVisible(shown)
            if row.key in self._labels:
                self._labels[row.key].setVisible(shown)
        if heading is not None:
            heading.setVisible(filled)
