"""The standing part of the status bar: where the lever is, and where the mouse is on the sheet."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QLabel, QStatusBar

from app.session import Session
from app.sketch.canvas import SketchCanvas
from app.whereabouts import place_phrase
from solver import units


class Standing(QObject):
    """Keeps two labels of a status bar up to date with the session and the mouse."""

    def __init__(self, session: Session, canvas: SketchCanvas, bar: QStatusBar) -> None:
        super().__init__(bar)
        self._session = session
        self._canvas = canvas
        self._lever = QLabel(bar)
        self._lever.setAccessibleName("Lever position")
        self._mouse = QLabel(bar)
        self._mouse.setAccessibleName("Mouse position")
        self._mouse.setMinimumWidth(bar.fontMetrics().horizontalAdvance("−0000.0, −0000.0 mm"))
        for label in (self._lever, self._mouse):
            label.setContentsMargins(8, 0, 8, 0)
            bar.addPermanentWidget(label)
        canvas.viewport().installEventFilter(self)
        session.updated.connect(self._show_lever)
        session.pose_changed.connect(self._show_lever)
        self._show_lever()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the mouse over the sketch; takes nothing away from it."""
        if event.type() == QEvent.Type.MouseMove and isinstance(event, QMouseEvent):
            x, y = self._canvas.to_world(event.position())
            display = self._session.display
            self._mouse.setText(
                f"{units.number(x, 'length', display)}, {units.show(y, 'length', display)}"
            )
        elif event.type() == QEvent.Type.Leave:
            self._mouse.clear()
        return False

    def _show_lever(self) -> None:
        analysis = self._session.analysis
        if analysis is None:
            self._lever.clear()
            return
        where = place_phrase(self._session.travel(), analysis)
        drawn = "" if self._session.direction is not None else ", drawn pose"
        self._lever.setText(f"Lever {where}{drawn}")
