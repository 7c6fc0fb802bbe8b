"""The standing part of the status bar: where the lever is, and where the mouse is on the sheet."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QLabel, QStatusBar

from app.session import Session
from app.sketch.canvas import SketchCanvas
from app.whereabouts import place_phrase
from solver import units

_LEVER, _MOUSE = "Lever at dead centre, drawn pose", "−0000.0, −0000.0 mm"
_AIR = 16


class Standing(QObject):
    """Keeps two labels of a status bar up to date with the session and the mouse."""

    def __init__(self, session: Session, canvas: SketchCanvas, bar: QStatusBar) -> None:
        super().__init__(bar)
        self._session = session
        self._canvas = canvas
        self._spot: QPointF | None = None
        self._lever = QLabel(bar)
        self._lever.setAccessibleName("Lever position")
        self._mouse = QLabel(bar)
        self._mouse.setAccessibleName("Mouse position")
        for label, widest in ((self._lever, _LEVER), (self._mouse, _MOUSE)):
            # A label of fixed size can change its text without a new layout of the window.
            label.setFixedSize(
                label.fontMetrics().horizontalAdvance(widest) + _AIR, label.sizeHint().height()
            )
            label.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            label.setContentsMargins(0, 0, 8, 0)
            bar.addPermanentWidget(label)
        canvas.viewport().installEventFilter(self)
        session.calm.due.connect(self._show)
        session.pose_changed.connect(self._show_lever)
        self._show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the mouse over the sketch; takes nothing away from it."""
        if event.type() == QEvent.Type.MouseMove and isinstance(event, QMouseEvent):
            self._spot = event.position()
            if not self._session.document.in_gesture:
                self._show_mouse()
        elif event.type() == QEvent.Type.Leave:
            self._spot = None
            self._show_mouse()
        return False

    def _show(self) -> None:
        self._show_lever()
        self._show_mouse()

    def _show_mouse(self) -> None:
        if self._spot is None:
            self._mouse.clear()
            return
        x, y = self._canvas.to_world(self._spot)
        display = self._session.display
        self._mouse.setText(
            f"{units.number(x, 'length', display)}, {units.show(y, 'length', display)}"
        )

    def _show_lever(self) -> None:
        analysis = self._session.analysis
        if analysis is None:
            self._lever.clear()
            return
        where = place_phrase(self._session.travel(), analysis)
        drawn = "" if self._session.direction is not None else ", drawn pose"
        self._lever.setText(f"Lever {where}{drawn}")
