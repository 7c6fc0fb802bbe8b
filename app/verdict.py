"""The verdict in one sentence, the notes to it, and the limits."""

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, QTimer
from PySide6.QtGui import (
    QAction,
    QFont,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QPalette,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QBoxLayout,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.calm import NUMBERS, PACE
from app.findings import findings_of
from app.limit_dialog import ask_limit
from app.limit_rows import LimitList, State, paint_sign
from app.session import Session
from app.theme import theme_source
from solver import edit

_HEAD: dict[State, str] = {
    "good": "Works",
    "bad": "Does not work yet",
    "unknown": "Cannot be solved",
}
_WIDE = 620
"""Pixels from which verdict and limits stand side by side."""

_LAST = "The picture is of the last design that worked."
_NO_LIMITS = "No limits are set. A limit says what a reading must reach or stay below."


class VerdictPanel(QWidget):
    """Says whether the lever is always in one of two positions, and whether the limits hold.

    Limits are added, edited and removed here, each by one undo command.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stale = True
        self._sign = _Sign(self)
        self._head = self._label("Verdict")
        self.sentence = self._label("Verdict sentence")
        self.notes = self._label("Notes to the verdict")
        self._none = self._label("")
        self._none.setText(_NO_LIMITS)
        self.limits = LimitList(session, self)
        self._copying = QTimer(self, singleShot=True, interval=PACE)
        self._copying.timeout.connect(self._show_copies)
        self._make_actions()
        self._lay_out()
        self._set_fonts()
        self.setAccessibleName("Verdict and limits")
        session.calm.follow(self._update, NUMBERS)
        findings_of(session).changed.connect(self._follow_copies)
        session.document.changed.connect(self._enable)
        session.document.rested.connect(self._rest)
        theme_source.changed.connect(self._set_colours)
        self._set_colours()

    def _label(self, name: str) -> QLabel:
        label = QLabel(self)
        label.setAccessibleName(name)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setWordWrap(True)
        label.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        return label

    def _make_actions(self) -> None:
        self.add_action = QAction("&Add a limit…", self)
        self.add_action.triggered.connect(lambda: ask_limit(self._session, self))
        self.edit_action = QAction("&Edit…", self)
        self.edit_action.triggered.connect(self._edit)
        self.remove_action = QAction("Re&move", self)
        self.remove_action.setShortcut(QKeySequence(QKeySequence.StandardKey.Delete))
        self.remove_action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        self.remove_action.triggered.connect(self._remove)
        for action, tip in (
            (self.add_action, "Set what a reading must reach or stay below"),
            (self.edit_action, "Change the limit that is selected"),
            (self.remove_action, "Remove the limit that is selected"),
        ):
            action.setIconText(action.text().replace("&", ""))
            action.setToolTip(tip)
            self.limits.addAction(action)
        self.limits.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self.limits.doubleClicked.connect(self._edit)
        self.limits.selectionModel().selectionChanged.connect(self._enable)

    def _lay_out(self) -> None:
        said = QWidget(self)
        top = QHBoxLayout(said)
        top.setContentsMargins(0, 0, 0, 0)
        top.setSpacing(10)
        top.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignTop)
        words = QVBoxLayout()
        words.setSpacing(2)
        for label in (self._head, self.sentence, self.notes):
            words.addWidget(label)
        top.addLayout(words, 1)
        buttons = QHBoxLayout()
        buttons.setSpacing(4)
        self._title = QLabel("Limits", self)
        buttons.addWidget(self._title, 1)
        for action in (self.add_action, self.edit_action, self.remove_action):
            button = QToolButton(self)
            button.setDefaultAction(action)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
            button.setAutoRaise(True)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            buttons.addWidget(button)
        words.addStretch(1)
        column = QVBoxLayout()
        column.setSpacing(4)
        column.addLayout(buttons)
        column.addWidget(self._none)
        column.addWidget(self.limits, 1)
        column.addStretch(0)
        self._halves = QBoxLayout(QBoxLayout.Direction.TopToBottom, self)
        self._halves.setContentsMargins(8, 6, 8, 6)
        self._halves.setSpacing(8)
        self._halves.addWidget(_scrolled(said, self), 1)
        self._halves.addLayout(column, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Limits beside the verdict in a wide panel, below it in a narrow one."""
        super().resizeEvent(event)
        wide = event.size().width() >= _WIDE
        way = QBoxLayout.Direction
        self._halves.setDirection(way.LeftToRight if wide else way.TopToBottom)

    def sizeHint(self) -> QSize:
        """Room for the sentence and a few limits."""
        return QSize(420, 260)

    def minimumSizeHint(self) -> QSize:
        """A line or two of either half, for a low screen."""
        return QSize(240, 110)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while hidden."""
        super().showEvent(event)
        if self._stale:
            self._update()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_fonts()

    def _follow_copies(self, study: str) -> None:
        if study != "spread" or self._stale:
            pass
        elif self._session.document.in_gesture:
            if not self._copying.isActive():
                self._copying.start()  # shares are numbers: nobody reads more of them
        else:
            self.limits.refresh()

    def _show_copies(self) -> None:
        """Show the shares that came in a drag, unless the limits have their turn soon anyway."""
        if not self._session.calm.waiting:
            self.limits.refresh()

    def _rest(self) -> None:
        """Nobody drags any more: rows may change their places."""
        if not self._stale:
            self.limits.refresh()

    def _update(self) -> None:
        self._stale = not self.isVisible()
        if self._stale:
            return
        analysis, problem = self._session.analysis, self._session.problem
        if problem is not None:
            state: State = "unknown"
            sentence, notes = problem, _LAST if analysis is not None else ""
        elif analysis is not None:
            state = "good" if analysis.good else "bad"
            sentence, notes = analysis.verdict, "\n".join(analysis.notes)
        self._say(state, sentence, notes)
        self.limits.refresh()
        self._enable()

    def _say(self, state: State, sentence: str, notes: str) -> None:
        if state != self._sign.state:
            self._sign.show_state(state)
            self._set_colours()
        for label, text in (
            (self._head, _HEAD[state]),
            (self.sentence, sentence),
            (self.notes, notes),
        ):
            if label.text() != text:
                label.setText(text)
        self.notes.setVisible(bool(notes))

    def _enable(self) -> None:
        """Buttons that have something to act on; the hint where there is no limit."""
        there = bool(self._session.document.design.limits)
        self._none.setVisible(not there)
        self.limits.setVisible(there)
        for action in (self.edit_action, self.remove_action):
            action.setEnabled(bool(self.limits.key))

    def _edit(self) -> None:
        if self.limits.key:
            ask_limit(self._session, self, self.limits.key)

    def _remove(self) -> None:
        if self.limits.key:
            document = self._session.document
            document.apply(edit.remove(document.design, "limit", self.limits.key), "Remove limit")

    def _set_fonts(self) -> None:
        bold = QFont(self.font())
        bold.setWeight(QFont.Weight.DemiBold)
        for label in (self._head, self._title):
            label.setFont(bold)
        large = QFont(self.font())
        large.setPointSizeF(1.15 * max(large.pointSizeF(), 1.0))
        self.sentence.setFont(large)

    def _set_colours(self) -> None:
        theme = theme_source.theme
        colours = {"good": theme.good, "bad": theme.bad, "unknown": theme.ink}
        for label, colour in (
            (self._head, colours[self._sign.state]),
            (self.notes, theme.faint_ink),
            (self._none, theme.faint_ink),
        ):
            palette = QPalette(label.palette())
            palette.setColor(QPalette.ColorRole.WindowText, colour)
            label.setPalette(palette)
        self.limits.viewport().update()
        self._sign.update()


def _scrolled(content: QWidget, parent: QWidget) -> QScrollArea:
    area = QScrollArea(parent)
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setWidget(content)
    return area


class _Sign(QWidget):
    """The verdict as a shape; the words beside it say the same."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.state: State = "unknown"
        self.setFixedSize(30, 30)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_state(self, state: State) -> None:
        """Show another state."""
        self.state = state
        self.setAccessibleName(_HEAD[state])
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the shape."""
        painter = QPainter(self)
        paint_sign(painter, QRectF(1, 1, 28, 28), self.state, theme_source.theme)
        painter.end()
