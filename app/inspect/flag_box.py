"""A check box that tells only what the user did."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QWidget


class FlagBox(QCheckBox):
    """Yes or no; `edited` carries which."""

    edited = Signal(object)

    def __init__(self, name: str, tip: str = "", parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.setAccessibleDescription(tip)
        self.setToolTip(tip)
        self.clicked.connect(self._clicked)

    def set_value(self, value: bool) -> None:
        """Show yes or no; nothing is emitted."""
        self.setChecked(value)

    load = set_value

    def _clicked(self, checked: bool) -> None:
        self.edited.emit(checked)
