"""The list of points and parts: what the sketch shows, for keyboard and screen reader too."""

from collections.abc import Callable

from PySide6.QtCore import (
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QSize,
    Qt,
    QTimer,
)
from PySide6.QtGui import QAction, QContextMenuEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QMenu,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeView,
    QWidget,
)

from app.part_edits import (
    Change,
    gripped,
    grips,
    joinable,
    joined,
    lever_made,
    linked,
    marked,
    remove,
    screwed,
)
from app.parts_model import PART, PLACE, WHAT, PartsModel
from app.seen import Seen
from app.session import Ref, Session
from solver.errors import ThrowoverError
from solver.model import FRAME, Design
from solver.screws import occupied, screw_at

_DELETE_KEYS = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)
_Flag = QItemSelectionModel.SelectionFlag
_WHAT_SHARE = 0.42
_LEAST_WHAT = 66
_AIR = 6
"""Height of a row above that of its text, px."""


class PartsList(QTreeView):
    """Mirrors the selection both ways; F2 renames, Delete removes, the menu key does the rest."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._mirroring = False
        self._dirty = True
        self._model = PartsModel(session, self)
        self.setModel(self._model)
        self._build()
        self._seen = Seen(self)
        self._seen.changed.connect(self._come_and_go)
        # All that happened in one turn of the event loop makes one refresh.
        self._turn = QTimer(self, singleShot=True, interval=0)
        self._turn.timeout.connect(self.refresh)
        session.calm.follow(self.refresh)
        for signal in (session.pose_changed, session.selection_changed):
            signal.connect(self._later)
        self.selectionModel().selectionChanged.connect(self._chosen)

    def refresh(self) -> None:
        """Show the present parts, places and selection."""
        if not self._seen:
            self._dirty = True
            return
        self._dirty = False
        if self._model.stale():
            self._rebuild()
        else:
            self._model.update()
        self._mirror()

    def index_of(self, ref: Ref) -> QModelIndex:
        """The row of a part; an invalid index where it is not listed."""
        return self._model.index_of(ref)

    def _come_and_go(self, seen: bool) -> None:
        """Catch up with what changed while nobody saw it."""
        if seen and self._dirty:
            self.refresh()

    def event(self, event: QEvent) -> bool:
        """Keep Delete and F2 for the list; they may be commands of the window."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and event.key() in (*_DELETE_KEYS, Qt.Key.Key_F2)
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Remove what is selected on Delete."""
        if event.key() in _DELETE_KEYS:
            remove(self._session, self._session.selection)
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done with the selection, where the mouse or the current row is."""
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            row = self.visualRect(self.currentIndex())
            place = self.viewport().mapToGlobal(row.bottomLeft() + QPoint(20, 0))
        else:
            place = event.globalPos()
        menu = self.menu()
        if not menu.isEmpty():
            menu.popup(place)

    def menu(self) -> QMenu:
        """What can be done with the selection, in plain words."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        refs = self._session.selection
        if len(refs) == 1:
            self._offer_for_one(menu, refs[0])
        if len(refs) == 2 and all(ref.kind == "point" for ref in refs):
            self._offer_for_two(menu, refs[0].name, refs[1].name)
        if any(ref.kind != "rest" and ref != Ref("link", FRAME) for ref in refs):
            menu.addSeparator()
            action = menu.addAction("Remove\tDel")
            action.triggered.connect(lambda: remove(self._session, self._session.selection))
        return menu

    def _build(self) -> None:
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName("Points and parts")
        self.setAccessibleDescription(
            "Everything in the sketch. F2 renames, Delete removes, the menu key offers more."
        )
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        self.setExpandsOnDoubleClick(False)
        self.setUniformRowHeights(True)
        self.setAllColumnsShowFocus(True)
        self.setIndentation(10)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        header = self.header()
        header.setStretchLastSection(False)
        header.setMinimumSectionSize(40)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setItemDelegate(_Rows(self))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the places what they need and share the rest out; names go before roles."""
        super().resizeEvent(event)
        place = self.fontMetrics().horizontalAdvance("−000.0, −00.0") + 12
        rest = max(self.viewport().width() - place, 80)
        what = round(rest * _WHAT_SHARE)
        self.setColumnHidden(WHAT, what < _LEAST_WHAT)
        what = 0 if what < _LEAST_WHAT else what
        for column, width in ((PART, rest - what), (WHAT, what), (PLACE, place)):
            self.header().resizeSection(column, width)

    def _later(self) -> None:
        if not self._turn.isActive():
            self._turn.start()

    def _rebuild(self) -> None:
        """Show other rows; what is folded and where the keyboard is stay as near as can be."""
        folded = {str(each.data()) for each in self._group_rows() if not self.isExpanded(each)}
        current = self.currentIndex()
        group, row = str(current.parent().data()), current.row()
        self._mirroring = True
        self._model.rebuild()
        for each in self._group_rows():
            self.setFirstColumnSpanned(each.row(), QModelIndex(), True)
            self.setExpanded(each, str(each.data()) not in folded)
            if str(each.data()) == group:
                near = self._model.index(min(row, self._model.rowCount(each) - 1), 0, each)
                self.selectionModel().setCurrentIndex(near, _Flag.NoUpdate)
        self._mirroring = False

    def _group_rows(self) -> list[QModelIndex]:
        return [self._model.index(row, 0) for row in range(self._model.rowCount())]

    def _mirror(self) -> None:
        """Select the rows of what the session has selected."""
        wanted = self._session.selection
        if self._selected() == set(wanted):
            return
        rows = QItemSelection()
        index = QModelIndex()
        for ref in wanted:
            index = self._model.index_of(ref)
            rows.select(index, index)
        self._mirroring = True
        if index.isValid():
            self.selectionModel().setCurrentIndex(index, _Flag.NoUpdate)
        self.selectionModel().select(rows, _Flag.ClearAndSelect | _Flag.Rows)
        self._mirroring = False

    def _selected(self) -> set[Ref]:
        refs = (self._model.ref(index) for index in self.selectionModel().selectedRows())
        return {ref for ref in refs if ref is not None}

    def _chosen(self) -> None:
        """The user chose rows: those chosen before stay first, so that an order can be seen."""
        if self._mirroring:
            return
        chosen = self._selected()
        kept = [ref for ref in self._session.selection if ref in chosen]
        current = self._model.ref(self.currentIndex())
        added = sorted(chosen.difference(kept), key=lambda ref: (ref == current, ref.name))
        self._session.select(*kept, *added)

    # ---- the menu ----

    def _offer_for_one(self, menu: QMenu, ref: Ref) -> None:
        design = self._session.document.design
        index = self._model.index_of(ref)
        if self._model.flags(index) & Qt.ItemFlag.ItemIsEditable:
            menu.addAction("Rename\tF2").triggered.connect(lambda: self.edit(index))
        if ref.kind == "link" and ref.name not in (FRAME, design.lever):
            self._offer(menu, "Make it the lever", lambda now: lever_made(now, ref.name))
        if ref.kind == "point" and ref.name in grips(design, design.lever):
            action = self._offer(menu, "Make it the grip", lambda now: gripped(now, ref.name))
            action.setVisible(ref.name != design.grip)
        if (
            ref.kind == "point"
            and ref.name != design.grip  # a knob's screw is always there
            and occupied(design, ref.name) is None
        ):
            there = screw_at(design, ref.name) is not None
            action = self._offer(
                menu, "Screw through here", lambda now: screwed(now, ref.name, not there)
            )
            action.setCheckable(True)
            action.setChecked(there)
        if ref.kind in ("point", "link") and ref.name != FRAME:
            what = "travel" if ref.kind == "point" else "turning"
            read = ref.name in design.outputs
            action = self._offer(
                menu, f"Read its {what} (output)", lambda now: marked(now, ref.name, not read)
            )
            action.setCheckable(True)
            action.setChecked(read)

    def _offer_for_two(self, menu: QMenu, first: str, second: str) -> None:
        # Both give links a shape, so they start from the places seen.
        if second in joinable(self._session.document.design, first):
            self._offer(
                menu,
                "Join the two into one pivot",
                lambda now: joined(now, first, second),
                posed=True,
            )
        self._offer(
            menu,
            "Put a link through the two",
            lambda now: linked(now, (first, second)),
            posed=True,
        )

    def _offer(
        self, menu: QMenu, words: str, change: Callable[[Design], Change], posed: bool = False
    ) -> QAction:
        action = menu.addAction(words)
        action.triggered.connect(lambda: self._do(change, posed))
        return action

    def _do(self, change: Callable[[Design], Change], posed: bool) -> None:
        session = self._session
        try:
            start = session.editable() if posed else session.document.design
            session.document.apply(*change(start))
        except ThrowoverError as problem:
            session.message.emit(str(problem))
        else:
            if posed:
                session.set_direction(None)


class _Rows(QStyledItemDelegate):
    """Rows with some air."""

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        size = super().sizeHint(option, index)
        return QSize(size.width(), option.fontMetrics.height() + _AIR)
