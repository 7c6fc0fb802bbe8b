"""The parts of the design as a tree of rows: groups, and in each its parts."""

from typing import Any

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont

from app.part_edits import rename
from app.roles import link_word, load_word, point_roles
from app.session import Ref, RefKind, Session
from solver import units
from solver.errors import ThrowoverError
from solver.model import FRAME, Torque, TorsionSpring
from solver.parts import names
from solver.spring_data import SPRING_WORDS

_GROUPS: tuple[tuple[RefKind, str], ...] = (
    ("point", "Points"),
    ("link", "Links"),
    ("slider", "Sliders"),
    ("spring", "Springs"),
    ("weight", "Weights"),
    ("load", "Loads"),
    ("rest", "Rests"),
)
PART, WHAT, PLACE = range(3)
"""The columns: name, what it is, place or size."""

AnyIndex = QModelIndex | QPersistentModelIndex
_Role = Qt.ItemDataRole


class PartsModel(QAbstractItemModel):
    """Rows follow the design's names; texts are made when a view asks for them."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        # A view may ask for texts between a change and the refresh that follows it, so they
        # are made of the design that the rows were made of.
        self._design = session.document.design
        self._groups: list[tuple[str, list[Ref]]] = []
        self._basis: tuple[object, ...] = ()
        self._roles: dict[str, tuple[str, ...]] = {}
        self._places: dict[str, tuple[float, float]] = {}

    def stale(self) -> bool:
        """Whether the rows are no longer those of the design, so that `rebuild` is due."""
        return self._listed() != self._groups

    def rebuild(self) -> None:
        """Make the rows anew; views lose their place."""
        self.beginResetModel()
        self._groups = self._listed()
        self._take()
        self.endResetModel()

    def update(self) -> None:
        """Tell the views which texts may have changed; the rows are the same."""
        basis, before = self._basis, self._places
        self._take()
        if basis != self._basis:
            for row, (_, refs) in enumerate(self._groups):
                self._tell(row, 0, len(refs) - 1)
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, PLACE, PLACE)
        elif self._places != before:
            moved = [row for row, name in enumerate(before) if self._places[name] != before[name]]
            self._tell(0, moved[0], moved[-1])

    def _tell(self, group: int, first: int, last: int) -> None:
        parent = self.index(group, 0)
        self.dataChanged.emit(self.index(first, WHAT, parent), self.index(last, PLACE, parent))

    def ref(self, index: AnyIndex) -> Ref | None:
        """What a row stands for; None for a group."""
        if not index.isValid() or not index.internalId():
            return None
        refs = self._groups[index.internalId() - 1][1]
        return refs[index.row()] if index.row() < len(refs) else None

    def index_of(self, ref: Ref) -> QModelIndex:
        """The row of a part; an invalid index where it is not listed."""
        for row, (_, refs) in enumerate(self._groups):
            if ref in refs:
                return self.index(refs.index(ref), 0, self.index(row, 0))
        return QModelIndex()

    # ---- what Qt asks ----

    def index(self, row: int, column: int, parent: AnyIndex = QModelIndex()) -> QModelIndex:  # noqa: B008
        if not self.hasIndex(row, column, parent):
            return QModelIndex()
        return self.createIndex(row, column, parent.row() + 1 if parent.isValid() else 0)

    def parent(self, index: AnyIndex = QModelIndex()) -> Any:  # noqa: ANN401, B008
        group = index.internalId() if index.isValid() else 0
        return self.createIndex(group - 1, 0, 0) if group else QModelIndex()

    def rowCount(self, parent: AnyIndex = QModelIndex()) -> int:  # noqa: B008
        if not parent.isValid():
            return len(self._groups)
        if parent.internalId() or parent.column():
            return 0
        return len(self._groups[parent.row()][1])

    def columnCount(self, parent: AnyIndex = QModelIndex()) -> int:  # noqa: B008
        return 3

    def flags(self, index: AnyIndex) -> Qt.ItemFlag:
        ref = self.ref(index)
        if ref is None:
            return Qt.ItemFlag.ItemIsEnabled
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if index.column() == PART and ref.kind != "rest" and ref != Ref("link", FRAME):
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = _Role.DisplayRole
    ) -> object:
        if role != _Role.DisplayRole or orientation != Qt.Orientation.Horizontal:
            return None
        unit = units.unit_of("length", self._session.display)
        return ("Part", "What it is", f"x, y in {unit}")[section]

    def data(self, index: AnyIndex, role: int = _Role.DisplayRole) -> object:
        ref = self.ref(index)
        if ref is None:
            return self._group_data(index, role)
        match role:
            case _Role.DisplayRole | _Role.EditRole:
                return (_called(ref), self._what(ref), self._place(ref))[index.column()]
            case _Role.ToolTipRole | _Role.AccessibleTextRole:
                return f"{_called(ref)}: {self._what(ref)}, {self._place(ref)}"
            case _Role.TextAlignmentRole if index.column() == PLACE:
                return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return None

    def setData(self, index: AnyIndex, value: object, role: int = _Role.EditRole) -> bool:
        ref = self.ref(index)
        if ref is None or role != _Role.EditRole:
            return False
        try:
            rename(self._session, ref, str(value))
        except ThrowoverError as problem:
            self._session.message.emit(str(problem))
            return False
        return True

    # ---- texts ----

    def _group_data(self, index: AnyIndex, role: int) -> object:
        if not index.isValid() or index.column():
            return None
        if role == _Role.FontRole:
            font = QFont()
            font.setBold(True)
            return font
        title = self._groups[index.row()][0]
        return title if role in (_Role.DisplayRole, _Role.AccessibleTextRole) else None

    def _listed(self) -> list[tuple[str, list[Ref]]]:
        design = self._session.document.design
        groups: list[tuple[str, list[Ref]]] = []
        for kind, title in _GROUPS:
            there = ("A", "B") if kind == "rest" else names(design, kind)
            if there:
                groups.append((title, [Ref(kind, name) for name in there]))
        return groups

    def _take(self) -> None:
        """Keep what the texts are made of; roles only where more than places has changed."""
        design = self._design = self._session.document.design
        self._places = self._session.places()
        basis = (
            *(design.links, design.sliders, design.springs, design.weights, design.loads),
            design.screws,
            *(design.lever, design.grip, design.stops, design.outputs, self._session.display),
            tuple(self._places),
        )
        if basis != self._basis:
            self._basis = basis
            self._roles = point_roles(design)

    def _what(self, ref: Ref) -> str:
        design = self._design
        match ref.kind:
            case "point":
                words = ", ".join(self._roles.get(ref.name, ()))
            case "link":
                words = link_word(design, ref.name)
            case "slider":
                words = "slider"
            case "spring":
                spring = next(each for each in design.springs if each.name == ref.name)
                words = SPRING_WORDS[type(spring)].removesuffix(" spring")
            case "weight":
                words = "weight"
            case "load":
                words = load_word(next(each for each in design.loads if each.name == ref.name))
            case "rest":
                words = "rest"
        return f"{words}, output" if ref.name in design.outputs else words

    def _place(self, ref: Ref) -> str:
        design, display = self._design, self._session.display
        match ref.kind:
            case "point":
                return ", ".join(
                    units.number(value, "length", display) for value in self._places[ref.name]
                )
            case "link":
                count = len(design.link(ref.name).points)
                return "1 point" if count == 1 else f"{count} points"
            case "slider":
                return next(each.point for each in design.sliders if each.name == ref.name)
            case "spring":
                spring = next(each for each in design.springs if each.name == ref.name)
                kind: units.Quantity = (
                    "angular_rate" if isinstance(spring, TorsionSpring) else "rate"
                )
                return units.show(spring.rate, kind, display)
            case "weight":
                weight = next(each for each in design.weights if each.name == ref.name)
                return units.show(weight.mass, "mass", display)
            case "load":
                load = next(each for each in design.loads if each.name == ref.name)
                if isinstance(load, Torque):
                    return units.show(load.torque, "torque", display)
                return units.show(abs(complex(load.x, load.y)), "force", display)
            case "rest":
                stops = design.stops
                rest = stops.rest_a if ref.name == "A" else stops.rest_b
                return units.show(rest, "direction", display)


def _called(ref: Ref) -> str:
    return f"Rest {ref.name}" if ref.kind == "rest" else ref.name
