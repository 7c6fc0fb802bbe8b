"""The panel with gaps, collisions and pinch points over the throw."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush
from PySide6.QtWidgets import QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.seen import Seen
from app.session import Ref, Session, exists
from app.theme import theme_source
from app.workshop.gap_words import remarks_of, summary
from solver.clearance import clearance
from solver.errors import ThrowoverError
from solver.project import Project
from solver.remark import Remark

_SERIOUS, _CAUTION = "✕", "!"
_KINDS = ("link", "point", "slider", "spring")


class GapsPanel(QWidget):
    """Lists what is to be said of plates, holes and gaps; a double click moves the lever there."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._known: Project | None = None
        self._remarks: tuple[Remark, ...] = ()
        self.summary = QLabel(self)
        self.summary.setWordWrap(True)
        self.summary.setTextFormat(Qt.TextFormat.PlainText)
        self.list = QListWidget(self)
        self.list.setWordWrap(True)
        self.list.setSpacing(3)
        self.list.setAccessibleName("Gaps and collisions")
        self.list.setToolTip("✕ keeps it from being built or moving, ! is a caution.")
        self.hint = QLabel("Double-click one that names a place to move the lever there.", self)
        self.hint.setWordWrap(True)
        self.hint.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 8, 8, 8)
        column.addWidget(self.summary)
        column.addWidget(self.list, 1)
        column.addWidget(self.hint)
        self.list.itemActivated.connect(self._go)
        self.list.itemDoubleClicked.connect(self._go)
        self._seen = Seen(self)
        self._seen.changed.connect(self.refresh)
        session.calm.follow(self.refresh)
        session.document.rested.connect(self.refresh)
        theme_source.changed.connect(self._fill)

    def refresh(self) -> None:
        """Look at the present design, unless it is being dragged."""
        session = self._session
        project = session.document.project
        if not self._seen or session.document.in_gesture or project is self._known:
            return
        self._known = project
        if session.problem is not None:
            self._show((), session.problem)
            return
        try:
            found = clearance(project.design, display=project.display)
            remarks = remarks_of(project, found, project.display)
            left_out = (note for note in found.notes if note.startswith("Not looked at"))
            self._show(remarks, "\n".join((*summary(found, remarks, project.display), *left_out)))
        except ThrowoverError as problem:
            self._show((), str(problem))

    def _show(self, remarks: tuple[Remark, ...], told: str) -> None:
        self._remarks = remarks
        self.summary.setText(told)
        self.hint.setVisible(any(remark.where is not None for remark in remarks))
        self._fill()

    def _fill(self) -> None:
        self.list.clear()
        for remark in self._remarks:
            sign = _SERIOUS if remark.serious else _CAUTION
            item = QListWidgetItem(f"{sign}  {remark.sentence}")
            if remark.serious:
                item.setForeground(QBrush(theme_source.theme.bad))
            self.list.addItem(item)

    def _go(self, item: QListWidgetItem) -> None:
        """Select what a remark is about, and move the lever where it is so."""
        remark = self._remarks[self.list.row(item)]
        design = self._session.document.design
        refs = [Ref(kind, name) for name in remark.parts for kind in _KINDS]  # type: ignore[arg-type]
        self._session.select(*(ref for ref in refs if exists(design, ref)))
        if remark.where is not None:
            self._session.set_travel(remark.where)
