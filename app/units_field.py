"""A line for one quantity: any unit may be typed, a wrong entry gets its sentence in place.

The value is kept in the solver's base unit of its quantity; only the text is in the display's.
"""

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QAction, QPalette
from PySide6.QtWidgets import QLabel, QLineEdit, QSizePolicy, QStyle, QVBoxLayout, QWidget

from app.stepped_line import SteppedLine
from app.theme import theme_source
from solver import units
from solver.errors import UnitProblem
from solver.project import Display
from solver.ranges import Range
from solver.units import Quantity

_STEPS: dict[Quantity, tuple[float, float]] = {
    "length": (1.0, 1 / 16),
    "diameter": (0.1, 0.005),
    "angle": (1.0, 1.0),
    "direction": (1.0, 1.0),
    "force": (1.0, 0.25),
    "torque": (10.0, 0.1),
    "energy": (10.0, 0.1),
    "rate": (0.1, 0.5),
    "angular_rate": (1.0, 0.01),
    "mass": (0.05, 0.1),
    "ratio": (0.01, 0.01),
    "percent": (1.0, 1.0),
    "count": (1.0, 1.0),
    "coils": (0.5, 0.5),
    "acceleration": (0.1, 0.1),
}
"""What one press of an arrow key adds, in display units: metric, inch."""

_HINT = "Any unit may be typed, also sums: 3/8 in, 12 mm + 2."
_UNITLESS: tuple[Quantity, ...] = ("ratio", "count", "coils")


class _Field(QWidget):
    """What both kinds of field do; subclasses say what an empty line means."""

    stepped = Signal(float)
    """The value while an arrow key is held or the wheel turns; `edited` follows at its end."""

    _placeholder = ""

    def __init__(
        self,
        quantity: Quantity,
        display: Display,
        name: str,
        tip: str = "",
        *,
        allowed: Range | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.quantity = quantity
        self.name = name
        self.line = SteppedLine(self)
        self._display = display
        self._allowed = allowed
        self._value: float | None = None
        self._step_from: float | None = None
        self._hint = tip if quantity in _UNITLESS else f"{tip}\n{_HINT}".strip()
        self._sentence = ""
        self._sign: QAction | None = None
        self._build()

    def _build(self) -> None:
        self.line.setAccessibleName(self.name)
        self.line.setAccessibleDescription(self._hint)
        self.line.setToolTip(self._hint)
        self.line.setPlaceholderText(self._placeholder)
        self.line.setMinimumWidth(64)
        self._note = QLabel(self)
        self._note.setWordWrap(True)
        self._note.setTextFormat(Qt.TextFormat.PlainText)
        self._note.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.line)
        column.addWidget(self._note)
        self.setFocusProxy(self.line)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        self.line.entered.connect(self._show_exact)
        self.line.finished.connect(self._finish)
        self.line.escaped.connect(self._restore)
        self.line.stepped.connect(self._step)
        self.line.step_ended.connect(self._end_step)
        self.line.textEdited.connect(self._typing)

    @property
    def problem(self) -> str:
        """The sentence shown for a wrong entry; empty when the entry is right."""
        return self._sentence

    @property
    def display(self) -> Display:
        """The units that the text is written in."""
        return self._display

    def set_display(self, display: Display) -> None:
        """Write the text in other units; the value stays."""
        if display != self._display:
            self._display = display
            if not self._busy():
                self._write()

    def refuse(self, sentence: str) -> None:
        """Say why an entry that could be read cannot be used; its text stays to be corrected.

        The next `set_value` gives the field the value that holds.
        """
        self._mark(sentence)

    def _set(self, value: float | None) -> None:
        if value == self._value or (value != value and self._value != self._value):
            return
        self._value = value
        if not self._busy():
            self._write()

    def _load(self, value: float | None) -> None:
        self._step_from = None
        self._value = value
        self._write()

    def _busy(self) -> bool:
        """Whether the line holds something of the user's that a refresh must not overwrite."""
        return self.line.isModified() or bool(self._sentence)

    def _write(self) -> None:
        # Few digits are calm to look at while a drag changes them, all are there to edit.
        text = self._text(self._value, exact=self.line.hasFocus())
        if text != self.line.text():
            self.line.setText(text)
            self.line.setCursorPosition(0)
        self.line.setModified(False)
        self._mark("")

    def _text(self, value: float | None, exact: bool = True) -> str:
        if value is None:
            return ""
        write = units.exact if exact else units.show
        return write(value, self.quantity, self._display)

    def _show_exact(self) -> None:
        if not self._busy():
            self._write()

    def _parse(self, text: str) -> float | None:
        """The typed value in base units; UnitProblem where it is none or out of range."""
        value = units.read(text, self.quantity, self._display)
        if self._allowed is not None and not self._allowed.holds(value):
            raise UnitProblem(f"{self.name} must be {self._bound(value, self._allowed)}.")
        return value

    def _bound(self, value: float, allowed: Range) -> str:
        """The bound that a value breaks, in the units on screen."""
        if value > allowed.most:
            return f"at most {self._text(allowed.most)}"
        return f"{'above' if allowed.above else 'at least'} {self._text(allowed.least)}"

    def _typing(self) -> None:
        self._mark("")

    def _finish(self) -> None:
        self._take()
        if self._busy():
            return
        if self.line.hasFocus():
            self.line.selectAll()
        else:
            self._write()

    def _take(self) -> None:
        """Take what was typed, or say what is wrong with it and keep the value."""
        self._end_step()
        if not self.line.isModified():
            return
        try:
            value = self._parse(self.line.text())
        except UnitProblem as problem:
            self._mark(str(problem))
            return
        changed = value != self._value and self.line.text() != self._text(self._value)
        if changed:
            self._value = value
        self._write()
        if changed:
            self._tell()

    def _restore(self) -> None:
        self._end_step()
        self._write()
        self.line.selectAll()

    def _step(self, strides: float) -> None:
        if self.line.isModified():
            self._take()
        if self._value is None or self._sentence:
            return
        if self._step_from is None:
            self._step_from = self._value
        size = _STEPS[self.quantity][self._display.units == "inch"]
        value = self._value + strides * size / units.factor(self.quantity, self._display)
        if self._allowed is not None:
            value = min(max(value, self._allowed.least), self._allowed.most)
            if not self._allowed.holds(value):
                return
        self._value = round(value, 9)
        self._write()
        self.line.selectAll()
        self.stepped.emit(self._value)

    def _end_step(self) -> None:
        start, self._step_from = self._step_from, None
        if start is not None and start != self._value:
            self._tell()

    def _tell(self) -> None:
        raise NotImplementedError

    def _mark(self, sentence: str) -> None:
        if sentence == self._sentence:
            return
        self._sentence = sentence
        self._note.setText(sentence)
        self._note.setVisible(bool(sentence))
        self.line.setAccessibleDescription(sentence or self._hint)
        self.line.setToolTip(sentence or self._hint)
        if sentence:
            icon = self.style().standardIcon(QStyle.StandardPixmap.SP_MessageBoxWarning)
            self._sign = self.line.addAction(icon, QLineEdit.ActionPosition.TrailingPosition)
            self._colour()
        elif self._sign is not None:
            self.line.removeAction(self._sign)
            self._sign.deleteLater()
            self._sign = None

    def _colour(self) -> None:
        palette = self._note.palette()
        palette.setColor(QPalette.ColorRole.WindowText, theme_source.theme.bad)
        self._note.setPalette(palette)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the theme while a sentence is shown."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._sentence:
            self._colour()


class QuantityField(_Field):
    """A quantity that is always there.

    `edited(value)` comes once per entry or run of steps, in base units, and only on a change
    that the user made.
    """

    edited = Signal(float)

    @property
    def value(self) -> float:
        """The value in base units; NaN until it was set."""
        return float("nan") if self._value is None else self._value

    def set_value(self, value: float) -> None:
        """Follow a change from elsewhere; what the user is typing stays."""
        self._set(value)

    def load(self, value: float) -> None:
        """Show another thing's value; what was typed for the former one goes."""
        self._load(value)

    def _tell(self) -> None:
        self.edited.emit(self._value)


class OptionalQuantityField(_Field):
    """A quantity that may be absent: an empty line is None. `edited` carries float or None."""

    edited = Signal(object)

    _placeholder = "none"

    @property
    def value(self) -> float | None:
        """The value in base units, or None."""
        return self._value

    def set_value(self, value: float | None) -> None:
        """Follow a change from elsewhere; what the user is typing stays."""
        self._set(value)

    def load(self, value: float | None) -> None:
        """Show another thing's value; what was typed for the former one goes."""
        self._load(value)

    def _parse(self, text: str) -> float | None:
        return super()._parse(text) if text.strip() else None

    def _tell(self) -> None:
        self.edited.emit(self._value)
