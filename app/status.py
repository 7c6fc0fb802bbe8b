"""The status bar: what a tool waits for, messages, where the lever and the mouse are."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, QRect, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QStatusBar, QWidget

from app.session import Session
from app.sketch.canvas import SketchCanvas
from app.whereabouts import place_phrase
from solver import units

_LEVER, _MOUSE = "Lever −000.0° from rest A, drawn pose", "−0000.0, −0000.0 mm"
_AIR = 16
_MESSAGE_TIME = 8000


class Standing(QObject):
    """Keeps a status bar up to date with the session, the tool in hand and the mouse.

    A message goes after a while, or when what it tells is undone; what a tool waits for stays
    until the tool is done, also when a message or the tip of a menu has covered it.
    """

    def __init__(self, session: Session, canvas: SketchCanvas, bar: QStatusBar) -> None:
        super().__init__(bar)
        self._session = session
        self._canvas = canvas
        self._bar = bar
        self._spot: QPointF | None = None
        self._told = ("", 0)
        self._prompt = Prompt(bar)
        bar.addWidget(self._prompt, 1)
        self._lever = self._label("Lever position", _LEVER)
        self._mouse = self._label("Mouse position", _MOUSE)
        canvas.viewport().installEventFilter(self)
        canvas.tool_changed.connect(self._tool_changed)
        session.message.connect(self._say)
        session.document.undo_stack.indexChanged.connect(self._forget_undone)
        session.document.replaced.connect(self._forget)
        session.calm.follow(self._show)
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

    def _label(self, name: str, widest: str) -> QLabel:
        """A label of fixed size, which can change its text without a new layout of the window."""
        label = QLabel(self._bar)
        label.setAccessibleName(name)
        label.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        label.setContentsMargins(0, 0, 8, 0)
        width = label.fontMetrics().horizontalAdvance(widest) + _AIR
        label.setFixedSize(width, label.sizeHint().height())
        self._bar.addPermanentWidget(label)
        return label

    def _say(self, text: str) -> None:
        if self._canvas.tool:
            self._bar.clearMessage()
            self._prompt.say(text)
        else:
            self._show_message(text)

    def _show_message(self, text: str) -> None:
        self._told = (text, self._session.document.undo_stack.index())
        self._bar.showMessage(text, _MESSAGE_TIME)

    def _forget_undone(self, index: int) -> None:
        """Whatever a message told was done by the command before it, or earlier."""
        if index < self._told[1]:
            self._forget()

    def _forget(self) -> None:
        text, self._told = self._told[0], ("", 0)
        if text and self._bar.currentMessage() == text:
            self._bar.clearMessage()

    def _tool_changed(self, tool: str) -> None:
        """The last that a tool says is what it has done, or why it could not."""
        if not tool:
            self._show_message(self._prompt.text)
            self._prompt.say("")

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


class Prompt(QWidget):
    """A sentence on one line; what does not fit is cut off at its end and told by a tool tip."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.text = ""
        self.setAccessibleName("What the tool waits for")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def say(self, text: str) -> None:
        """Show another sentence."""
        self.text = text
        self.setAccessibleDescription(text)
        self.setToolTip(text)
        self.update()

    def sizeHint(self) -> QSize:
        """One line."""
        return QSize(200, self.fontMetrics().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw as much as there is room for."""
        painter = QPainter(self)
        box = QRect(6, 0, self.width() - 6, self.height())
        shown = self.fontMetrics().elidedText(self.text, Qt.TextElideMode.ElideRight, box.width())
        flags = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine
        painter.drawText(box, int(flags), shown)
        painter.end()
