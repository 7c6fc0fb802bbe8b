"""The panel with the variants: the list, the note, and what can be done."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMenu,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.inspect.note_box import NoteBox
from app.session import Session
from app.variants.desk import Desk, desk_of
from app.variants.list import VariantList
from app.variants.menus import ARROW, add_file, fill_layouts

_NOTE = "Note on this variant: what is special about it"


class VariantsPanel(QWidget):
    """Keeps, shows and orders the variants; the one selected is the one on the sheet."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.desk: Desk = desk_of(session)
        self.list = VariantList(session, self.desk, self)
        self.note = NoteBox("Note on the variant", _NOTE, 3, self)
        self.note.setPlaceholderText(_NOTE)
        self.note.edited.connect(self._annotate)
        self._noted = ""
        self._make_actions()
        self._lay_out()
        self.setFocusProxy(self.list)
        self.setAccessibleName("Variants")
        session.document.changed.connect(self._show_note)
        session.document.changed.connect(self._enable)
        self._show_note()
        self._enable()

    def sizeHint(self) -> QSize:
        """Room for three variants."""
        return QSize(300, 340)

    def rename(self) -> None:
        """Open the name of the variant on the sheet for editing."""
        self.list.setFocus()
        self.list.rename()

    def write_note(self) -> None:
        """Go to the note with the keyboard."""
        self.note.setFocus()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done with the variant on the sheet."""
        self._more.popup(event.globalPos())

    def menu(self) -> QMenu:
        """What can be done with the variant on the sheet."""
        return self._more

    def _make_actions(self) -> None:
        desk = self.desk
        self.keep_action = self._action("&Keep as a variant", desk.keep, _KEEP)
        self.compare_action = self._action(
            "&Side by side", desk.compare_requested.emit, "Compare up to four variants"
        )
        more = self._more = QMenu(self)
        more.setToolTipsVisible(True)
        more.addAction(self.keep_action)
        more.addAction(self._action("&Go on in a new variant", desk.branch, _BRANCH))
        more.addSeparator()
        more.addAction(self._action("&Rename", self.rename, "Type another name"))
        more.addAction(self._action("Write a &note", self.write_note, "Say what is special"))
        self.up_action = self._action("Move &up", partial(desk.move, -1), _ORDER)
        self.down_action = self._action("Move &down", partial(desk.move, 1), _ORDER)
        self.delete_action = self._action(
            "D&elete", desk.delete, "Take this variant out; Undo brings it back"
        )
        more.addActions([self.up_action, self.down_action])
        more.addSeparator()
        layouts = more.addMenu("Add from &layout")
        layouts.setToolTipsVisible(True)
        fill_layouts(layouts, desk)
        more.addAction(self._action("Add from &file…", partial(add_file, self, desk), _FILE))
        more.addSeparator()
        more.addAction(self.delete_action)

    def _action(self, text: str, work: Callable[[], object], tip: str) -> QAction:
        action = QAction(text, self)
        action.setIconText(text.replace("&", ""))
        action.setToolTip(tip)
        action.triggered.connect(lambda: work())
        return action

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(4)
        for action in (self.keep_action, self.compare_action):
            button = QToolButton(self)
            button.setDefaultAction(action)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            row.addWidget(button, 1)
        more = QToolButton(self)
        more.setText("More")
        more.setMinimumWidth(more.sizeHint().width() + ARROW)
        more.setToolTip("What else can be done with the variant on the sheet")
        more.setMenu(self._more)
        more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        more.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        row.addWidget(more)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 4)
        column.setSpacing(4)
        column.addWidget(self.list, 1)
        column.addWidget(self.note)
        column.addLayout(row)
        row.setContentsMargins(6, 0, 6, 0)

    def _annotate(self, note: str) -> None:
        """Put the note on the variant for which it was typed, even if another came since."""
        project = self.desk.project
        names = [variant.name for variant in project.variants]
        if self._noted in names:
            self.desk.annotate(names.index(self._noted), note)

    def _show_note(self) -> None:
        variant = self.desk.project.variant
        if variant.name != self._noted:
            self.note.finish()
            self._noted = variant.name
            self.note.load(variant.note)
        else:
            self.note.set_value(variant.note)

    def _enable(self) -> None:
        project = self.desk.project
        several = len(project.variants) > 1
        self.compare_action.setEnabled(several)
        self.delete_action.setEnabled(several)
        self.up_action.setEnabled(project.current > 0)
        self.down_action.setEnabled(project.current < len(project.variants) - 1)


_KEEP = "Set the present state aside as a further variant and go on in this one"
_BRANCH = "Leave this variant as it is and go on in a new one that begins like it"
_ORDER = "Change the order of the list"
_FILE = "Add the variants of another project"
