"""A drop-down of named choices that tells only what the user chose."""

from collections.abc import Mapping

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QStandardItemModel, QWheelEvent
from PySide6.QtWidgets import QComboBox, QSizePolicy, QWidget

_MOVES = (
    *(Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown),
    *(Qt.Key.Key_Home, Qt.Key.Key_End),
)


class ChoiceBox(QComboBox):
    """One of several values, each shown in words. `edited` carries the value chosen."""

    edited = Signal(object)

    def __init__(
        self, name: str, tip: str = "", prompt: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._options: tuple[tuple[str, str], ...] = ()
        self._value: str | None = None
        self._withheld: dict[str, str] = {}
        self.setAccessibleName(name)
        self.setAccessibleDescription(tip)
        self.setToolTip(tip)
        self.setPlaceholderText(prompt)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.activated.connect(self._chosen)

    def offer(self, options: tuple[tuple[str, str], ...]) -> None:
        """Offer these pairs of value and words; the value shown stays where it is among them."""
        if options != self._options:
            self._options = options
            self.clear()
            self.addItems([words for _, words in options])
            self._mark()
            self._show()

    def withhold(self, reasons: Mapping[str, str]) -> None:
        """Offer the values that are keys here greyed out, with the reason as their tool tip."""
        if reasons != self._withheld:
            self._withheld = dict(reasons)
            self._mark()

    def _mark(self) -> None:
        model = self.model()
        assert isinstance(model, QStandardItemModel)
        for row, (value, _) in enumerate(self._options):
            item = model.item(row)
            item.setEnabled(value not in self._withheld)
            item.setToolTip(self._withheld.get(value, ""))

    def set_value(self, value: str | None) -> None:
        """Show a value; one that is not offered shows the prompt."""
        if value != self._value:
            self._value = value
            self._show()

    def load(self, value: str | None) -> None:
        """Show another thing's value."""
        self._value = value
        self._show()

    def _show(self) -> None:
        values = [value for value, _ in self._options]
        self.setCurrentIndex(values.index(self._value) if self._value in values else -1)

    def _chosen(self, index: int) -> None:
        value = self._options[index][0]
        if self.placeholderText():
            self.setCurrentIndex(-1)
        elif value != self._value:
            self._value = value
        else:
            return
        self.edited.emit(value)

    def event(self, event: QEvent) -> bool:
        """Keep letters for finding an entry: they are commands of the window otherwise."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and event.text().isprintable()
            and event.text()
            and event.modifiers()
            in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier)
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the list where choosing is an act: a stray arrow key must not do it."""
        if self.placeholderText() and (event.key() in _MOVES or event.text().isalnum()):
            self.showPopup()
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page unless the box has the focus."""
        if self.hasFocus() and not self.placeholderText():
            super().wheelEvent(event)
        else:
            event.ignore()
