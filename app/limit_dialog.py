"""Asks for a limit on a reading: which reading, at least how much, at most how much."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QVBoxLayout,
    QWidget,
)

from app.session import Session
from app.theme import theme_source
from app.units_field import OptionalQuantityField
from app.whereabouts import place_phrase
from solver import edit, units
from solver.errors import ThrowoverError
from solver.model import Limit
from solver.readings import ReadingKind, catalogue


class LimitDialog(QDialog):
    """Sets the limit on a reading, or changes the one it has; one undo command."""

    def __init__(self, session: Session, key: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._kinds = {kind.key: kind for kind in catalogue(session.document.design)}
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Limit on a reading")
        self.choice = QComboBox(self)
        self.choice.setAccessibleName("Reading")
        for kind in self._kinds.values():
            self.choice.addItem(kind.label, kind.key)
        self.choice.setCurrentIndex(max(self.choice.findData(key or self._unlimited()), 0))
        self._now = QLabel(self)
        self._now.setTextFormat(Qt.TextFormat.PlainText)
        self._problem = QLabel(self)
        self._problem.setWordWrap(True)
        self._problem.setTextFormat(Qt.TextFormat.PlainText)
        self._problem.hide()
        self._build()
        self.choice.currentIndexChanged.connect(self._show_reading)
        self._show_reading()

    def _build(self) -> None:
        self._form = QFormLayout()
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self._form.addRow("&Reading", self.choice)
        self._form.addRow("Now", self._now)
        buttons = QDialogButtonBox(self)
        self.accept_button = buttons.addButton("Set limit", QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.addButton(QDialogButtonBox.StandardButton.Cancel)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addLayout(self._form)
        column.addWidget(self._problem)
        column.addStretch(1)
        column.addWidget(buttons)
        self.setMinimumWidth(380)

    def _unlimited(self) -> str:
        """The first reading without a limit: what a new limit is likely to be on."""
        taken = {limit.reading for limit in self._session.document.design.limits}
        return next((key for key in self._kinds if key not in taken), "")

    @property
    def kind(self) -> ReadingKind:
        """The reading chosen."""
        return self._kinds[self.choice.currentData()]

    def _show_reading(self) -> None:
        """Fields in the reading's unit, holding the limit that it has."""
        while self._form.rowCount() > 2:
            self._form.removeRow(2)
        kind, display = self.kind, self._session.display
        limits = self._session.document.design.limits
        present = next((limit for limit in limits if limit.reading == kind.key), Limit(kind.key))
        self.at_least = OptionalQuantityField(
            kind.quantity, display, "At least", f"The least that {kind.label} may be."
        )
        self.at_most = OptionalQuantityField(
            kind.quantity, display, "At most", f"The most that {kind.label} may be."
        )
        for field in (self.at_least, self.at_most):
            field.line.returnPressed.connect(self.accept)
        self.at_least.load(present.at_least)
        self.at_most.load(present.at_most)
        self._form.addRow("At &least", self.at_least)
        self._form.addRow("At &most", self.at_most)
        self._now.setText(self._present(kind))
        self._say("")

    def _present(self, kind: ReadingKind) -> str:
        analysis = self._session.analysis
        reading = analysis.readings.get(kind.key) if analysis is not None else None
        if analysis is None or reading is None:
            return "not known"
        value = units.show(reading.value, reading.quantity, self._session.display)
        where = "" if reading.where is None else f" {place_phrase(reading.where, analysis)}"
        return value + where

    def accept(self) -> None:
        """Set the limit and close, or say what is wrong."""
        for field in (self.at_least, self.at_most):
            field.line.finish()  # takes what is still being typed
            if field.problem:
                field.line.setFocus()
                return
        document = self._session.document
        try:
            design = edit.set_limit(
                document.design, self.kind.key, self.at_least.value, self.at_most.value
            )
        except ThrowoverError as problem:
            self._say(str(problem))
            return
        document.apply(design, f"Set limit on {self.kind.label}")
        super().accept()

    def _say(self, sentence: str) -> None:
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.WindowText, theme_source.theme.bad)
        self._problem.setPalette(palette)
        self._problem.setText(sentence)
        self._problem.setVisible(bool(sentence))


def ask_limit(session: Session, parent: QWidget, key: str = "") -> LimitDialog:
    """Open the dialog over `parent`'s window, for a reading or with a choice of one."""
    dialog = LimitDialog(session, key, parent.window())
    dialog.open()
    return dialog
