"""A short list of names, each with a check box."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QVBoxLayout, QWidget


class CheckList(QWidget):
    """Any of several names. `edited` carries the names checked, in the order offered."""

    edited = Signal(object)

    def __init__(self, name: str, tip: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._name, self._tip = name, tip
        self._boxes: dict[str, QCheckBox] = {}
        self._value: tuple[str, ...] = ()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 2, 0, 2)
        self._column.setSpacing(4)
        self.setAccessibleName(name)
        self.setAccessibleDescription(tip)

    def offer(self, options: tuple[tuple[str, str], ...]) -> None:
        """Offer these pairs of value and words."""
        if tuple(self._boxes) == tuple(value for value, _ in options):
            return
        for box in self._boxes.values():
            self._column.removeWidget(box)
            box.deleteLater()
        self._boxes = {}
        for value, words in options:
            box = QCheckBox(words, self)
            box.setToolTip(self._tip)
            box.setAccessibleName(f"{self._name}: {words}")
            box.clicked.connect(self._clicked)
            self._column.addWidget(box)
            self._boxes[value] = box
        self._show()

    def set_value(self, value: tuple[str, ...]) -> None:
        """Check these names."""
        if value != self._value:
            self.load(value)

    def load(self, value: tuple[str, ...]) -> None:
        """Check another thing's names."""
        self._value = value
        self._show()

    def box(self, value: str) -> QCheckBox:
        """The check box of a value; KeyError where it is not offered."""
        return self._boxes[value]

    def _show(self) -> None:
        for value, box in self._boxes.items():
            box.setChecked(value in self._value)

    def _clicked(self) -> None:
        self._value = tuple(value for value, box in self._boxes.items() if box.isChecked())
        self.edited.emit(self._value)
