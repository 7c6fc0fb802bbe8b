"""The dialog with what copies of a design may be off by. Every change is one undo command."""

from __future__ import annotations

from dataclasses import replace
from typing import cast

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.closing import close_button
from app.inspect.form import Form
from app.inspect.rows import Choice, Heading, Number, Row, Value
from app.screen_room import fitted
from app.session import Session
from app.studies.own_tolerances import OwnTolerances
from solver import variants
from solver.hole_tolerances import holes_only
from solver.model import Design, ExtensionSpring, Tolerances, TorsionSpring
from solver.own_tolerances import tolerance_problems
from solver.ranges import RANGES
from solver.units import Quantity

_INTRO = (
    "What each copy may be off by, to either side. Every hole of every part is off on its own, "
    "in x and in y; the friction of all pins of a copy is off together. All this is of the "
    "variant on the sheet, “{variant}”: every variant has tolerances of its own. Where copies lie "
    "mostly near the middle, ± is three standard deviations: 3 in 1000 are farther off."
)
_FOR_ALL = (
    "Give these tolerances to all other variants, so that their copies compare. Own tolerances go "
    "to those that have the part."
)
_HOLES_ONLY = (
    "Leave what holes may be off by as it is, and make everything else of this variant exact."
)
_ONLY_HOLES_ARE = "Nothing but the holes is off."
_ALIKE = "All variants have these tolerances."
_CLASSES = (
    ("none", "the ± below"),
    ("fine", "ISO 2768-1 fine (f)"),
    ("medium", "ISO 2768-1 medium (m)"),
    ("coarse", "ISO 2768-1 coarse (c)"),
    ("very coarse", "ISO 2768-1 very coarse (v)"),
)
_SPREADS = (
    ("normal", "mostly near the middle"),
    ("uniform", "anywhere in between"),
)


def _number(key: str, label: str, quantity: Quantity, tip: str) -> Number:
    return Number(key, label, quantity, tip, RANGES[Tolerances][key])


ROWS: tuple[Row, ...] = (
    Heading("holes", "Holes and stops"),
    Choice("hole_class", "Holes by", "Where the tolerance of the holes is from.", _CLASSES),
    _number("hole", "Each hole, ±", "length", "What a hole may be off by in x and in y."),
    _number("stop", "Each rest, ±", "angle", "What each stop may be off by."),
    Heading("springs", "Springs"),
    _number("rate", "Rate, ±", "percent", "What a spring's rate may be off by."),
    _number("free_length", "Free length, ±", "length", "What a free length may be off by."),
    _number("free_angle", "Free angle, ±", "angle", "For torsion springs."),
    _number("initial_tension", "Initial tension, ±", "percent", "For extension springs."),
    Heading("rest", "Friction and loads"),
    _number(
        "friction_least",
        "Friction from ×",
        "ratio",
        "On a slippery day all friction is this many times what the design says.",
    ),
    _number(
        "friction_most",
        "Friction to ×",
        "ratio",
        "On a dry day all friction is this many times what the design says.",
    ),
    _number("load", "Loads, ±", "percent", "What weights and loads may be off by."),
    Heading("law", "All of them"),
    Choice(
        "spread",
        "Copies lie",
        "Near the middle: a normal law whose three standard deviations are the ±. "
        "Anywhere: a uniform law between the ends.",
        _SPREADS,
    ),
)


class ToleranceDialog(QDialog):
    """Edits the tolerances of a session's design; stays open while one works on."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._variant = session.document.project.variant.name
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Tolerances of copies")
        self.form = Form(ROWS, session.display, self)
        self.own = OwnTolerances(session, self)
        self.holes_only = QPushButton("&Holes only", self)
        self.for_all = QPushButton("Use for &all variants", self)
        self._lay_out()
        self.form.edited.connect(self._edit)
        self.holes_only.clicked.connect(self._leave_holes)
        self.for_all.clicked.connect(self._use_for_all)
        session.document.changed.connect(self.refresh)
        self.resize(fitted(self, self.sizeHint()))
        self.refresh()

    def _lay_out(self) -> None:
        intro = self.intro = QLabel(self)
        intro.setTextFormat(Qt.TextFormat.PlainText)
        intro.setWordWrap(True)
        page = QWidget(self)
        inside = QVBoxLayout(page)
        inside.addWidget(intro)
        inside.addWidget(self.form)
        inside.addWidget(self.own)
        inside.addStretch(1)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(page)
        buttons = QDialogButtonBox(self)
        buttons.addButton(close_button(self, "Close"), QDialogButtonBox.ButtonRole.RejectRole)
        buttons.addButton(self.holes_only, QDialogButtonBox.ButtonRole.ActionRole)
        buttons.addButton(self.for_all, QDialogButtonBox.ButtonRole.ActionRole)
        column = QVBoxLayout(self)
        column.addWidget(area, 1)
        column.addWidget(buttons)

    def sizeHint(self) -> QSize:
        """Room for all fields."""
        return QSize(430, 672)

    def refresh(self) -> None:
        """Show the present design's tolerances."""
        project = self._session.document.project
        fresh, self._variant = project.variant.name != self._variant, project.variant.name
        self.intro.setText(_INTRO.format(variant=self._variant))
        self.form.set_display(project.display)
        self.form.show_values(_values(project.design), fresh)
        self.own.refresh()
        given = project.design.tolerances
        alone = holes_only(given) == given
        self.holes_only.setEnabled(not alone)
        self.holes_only.setToolTip(_ONLY_HOLES_ARE if alone else _HOLES_ONLY)
        alike = variants.tolerate_alike(project) == project
        self.for_all.setVisible(len(project.variants) > 1)
        self.for_all.setEnabled(not alike)
        self.for_all.setToolTip(_ALIKE if alike else _FOR_ALL)

    def _leave_holes(self) -> None:
        document = self._session.document
        given = holes_only(document.design.tolerances)
        document.apply(replace(document.design, tolerances=given), "Tolerances of holes only")

    def _use_for_all(self) -> None:
        document = self._session.document
        document.apply_project(variants.tolerate_alike(document.project), "Same tolerances for all")

    def _edit(self, key: str, value: Value) -> None:
        document = self._session.document
        changed = replace(document.design.tolerances, **{key: value})  # type: ignore[arg-type]
        design = replace(document.design, tolerances=changed)
        faults = [str(fault) for fault in tolerance_problems(design)]
        if faults and self.form.refuse(key, faults[0]):
            return
        document.apply(design, "Change tolerances")


def _values(design: Design) -> dict[str, Value]:
    """The rows that matter to a design."""
    given = design.tolerances
    kinds = {type(spring) for spring in design.springs}
    unused = set()
    if given.hole_class != "none":
        unused.add("hole")
    if TorsionSpring not in kinds:
        unused.add("free_angle")
    if ExtensionSpring not in kinds:
        unused.add("initial_tension")
    if not kinds - {TorsionSpring}:
        unused.add("free_length")
    if not design.springs:
        unused.add("rate")
    if not (design.weights or design.loads):
        unused.add("load")
    keys = [row.key for row in ROWS if not isinstance(row, Heading)]
    return {key: cast(Value, getattr(given, key)) for key in keys if key not in unused}


def show_tolerances(session: Session, parent: QWidget) -> ToleranceDialog:
    """Open the dialog, or bring up the one that is open."""
    found = parent.findChild(ToleranceDialog)
    dialog = found if isinstance(found, ToleranceDialog) else ToleranceDialog(session, parent)
    dialog.show()
    dialog.raise_()
    dialog.activateWindow()
    return dialog
