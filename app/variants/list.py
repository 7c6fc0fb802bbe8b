"""The variants as rows: a small picture, the name, whether it works, the note."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QKeyCombination,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QRectF,
    QSize,
    Qt,
    QTimer,
)
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QShowEvent,
    QStandardItem,
    QStandardItemModel,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QFrame,
    QLineEdit,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.limit_rows import State, paint_sign
from app.session import Session
from app.theme import Theme, theme_source
from app.variants.desk import Desk
from app.variants.names import whole_words
from app.variants.outcomes import Outcome, Outcomes
from app.variants.thumbnails import Thumbnails
from solver.model import Design
from solver.project import Variant

AnyIndex = QModelIndex | QPersistentModelIndex

PICTURE = QSize(92, 66)
AFTER_DRAG = 150
"""Milliseconds of rest after which a dragged design's row follows."""
_EDGE = 7
_SIGN = 14
_ROW = Qt.ItemDataRole.UserRole
_ON_SHEET = "on the sheet"
_NOT_YET = "Not looked at yet"


@dataclass(frozen=True, slots=True)
class Row:
    """One variant as it is shown. `state` is unknown also until it has been looked at."""

    variant: Variant
    on_sheet: bool
    state: State
    words: str
    sentence: str

    def spoken(self) -> str:
        """The row in words."""
        here = f", {_ON_SHEET}" if self.on_sheet else ""
        return f"{self.variant.name}{here}: {self.words}. {self.variant.note}".strip()


class VariantList(QListView):
    """Lists the variants; the selected one is the one on the sheet. Names are edited in place.

    A row's picture and verdict are found one by one after the list is on screen, and follow a
    drag only when the hand rests.
    """

    def __init__(self, session: Session, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._desk = desk
        self._outcomes = Outcomes()
        self._rows: list[Row] = []
        self._model = QStandardItemModel(self)
        self._writing = False
        self._pressed: tuple[int, QPoint] | None = None
        self._place: int | None = None
        self.setModel(self._model)
        self.setItemDelegate(_RowPainter(self, desk))
        self._set_up()
        self._soon = QTimer(self, singleShot=True)
        self._soon.timeout.connect(self.refresh)
        self._next = QTimer(self, singleShot=True, interval=0)
        self._next.timeout.connect(self._look_at_one)
        session.document.changed.connect(self._changed)
        theme_source.changed.connect(self.viewport().update)
        self.selectionModel().currentChanged.connect(self._chosen)

    def _set_up(self) -> None:
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(triggers.DoubleClicked | triggers.EditKeyPressed)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setUniformItemSizes(True)
        self.setAccessibleName("Variants")
        self.setToolTip(
            "Click a variant to put it on the sheet; double-click it or press F2 to rename it; "
            "drag it to another place in the list."
        )

    @property
    def rows(self) -> tuple[Row, ...]:
        """What is shown."""
        return tuple(self._rows)

    def rename(self) -> None:
        """Open the name of the variant on the sheet for editing."""
        self.refresh()
        self.edit(self._model.index(self._session.document.project.current, 0))

    def refresh(self) -> None:
        """Show the project's variants as they are now."""
        self._soon.stop()
        if not self.isVisible():
            return
        project = self._session.document.project
        self._outcomes.make_room(2 * len(project.variants))
        self._take_session()
        fresh = [self._row(variant) for variant in project.variants]
        self._writing = True
        if len(fresh) != len(self._rows):
            self._model.clear()
            for row in fresh:
                self._model.appendRow(_item(row))
        else:
            for index, (row, shown) in enumerate(zip(fresh, self._rows, strict=True)):
                if row != shown:
                    _write(self._model.item(index), row)
        self._rows = fresh
        self.setCurrentIndex(self._model.index(project.current, 0))
        self._writing = False
        if any(self._known(row.variant.design) is None for row in fresh):
            self._next.start()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while hidden."""
        super().showEvent(event)
        self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the variant on the sheet in view, also in a panel that became lower."""
        super().resizeEvent(event)
        self.scrollTo(self.currentIndex())

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.scheduleDelayedItemsLayout()

    def event(self, event: QEvent) -> bool:
        """Keep the keys of the list here, where the window has a use of its own for them."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and (event.key() == Qt.Key.Key_F2 or self._work_of(event) is not None)
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete takes the variant out; Alt with an arrow moves it. F2 is the base's."""
        work = self._work_of(event)
        if work is None:
            super().keyPressEvent(event)
        else:
            work()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Wait with the choice until the button is let go: it may become a drag."""
        at = event.position().toPoint()
        index = self.indexAt(at)
        if event.button() == Qt.MouseButton.LeftButton and index.isValid():
            self._pressed = index.row(), at
        else:
            super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag a row: a line shows the place to which it would go."""
        if self._pressed is None:
            super().mouseMoveEvent(event)
            return
        start = self._pressed[1]
        at = event.position().toPoint()
        far = (at - start).manhattanLength() >= QApplication.startDragDistance()
        if self._place is not None or (far and len(self._rows) > 1):
            place = self._gap_at(at.y())
            if place != self._place:
                self._place = place
                self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
                self.viewport().update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Put the row that was pressed on the sheet, or one that was dragged to its new place."""
        if self._pressed is None:
            super().mouseReleaseEvent(event)
            return
        (row, _), place = self._pressed, self._place
        self._pressed = self._place = None
        if place is None:
            self.setCurrentIndex(self._model.index(row, 0))
            return
        self.viewport().unsetCursor()
        self.viewport().update()
        to = place - (place > row)
        if to != row:
            self._desk.place(row, to)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Edit the name."""
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and event.button() == Qt.MouseButton.LeftButton:
            self.edit(index)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the rows, and where a dragged one would go."""
        super().paintEvent(event)
        if self._place is not None:
            last = self.visualRect(self._model.index(len(self._rows) - 1, 0))
            here = self.visualRect(self._model.index(self._place, 0))
            y = here.top() if self._place < len(self._rows) else last.bottom()
            painter = QPainter(self.viewport())
            painter.setPen(QPen(theme_source.theme.selection, 3))
            painter.drawLine(0, y, self.viewport().width(), y)
            painter.end()

    def _gap_at(self, y: int) -> int:
        """The gap between rows, from 0, that is nearest to a height."""
        boxes = [self.visualRect(self._model.index(at, 0)) for at in range(len(self._rows))]
        return sum(y > box.center().y() for box in boxes)

    def _work_of(self, event: QKeyEvent) -> Callable[[], None] | None:
        works: dict[int, Callable[[], None]] = {
            QKeyCombination(Qt.Key.Key_Delete).toCombined(): self._desk.delete,
            (Qt.Modifier.ALT | Qt.Key.Key_Up).toCombined(): partial(self._desk.move, -1),
            (Qt.Modifier.ALT | Qt.Key.Key_Down).toCombined(): partial(self._desk.move, 1),
        }
        return works.get(event.keyCombination().toCombined())

    def _changed(self) -> None:
        if self.isVisible():
            self._soon.start(AFTER_DRAG if self._session.document.in_gesture else 0)

    def _chosen(self, index: QModelIndex) -> None:
        """The hand chose another row."""
        if not self._writing and index.isValid():
            self._desk.switch(index.row())

    def _row(self, variant: Variant) -> Row:
        on_sheet = variant is self._session.document.project.variant
        outcome = self._known(variant.design)
        if outcome is None:
            return Row(variant, on_sheet, "unknown", _NOT_YET, "")
        return Row(variant, on_sheet, outcome.state, outcome.words, outcome.sentence)

    def _known(self, design: Design) -> Outcome | None:
        return self._outcomes.known(design, self._session.display)

    def _take_session(self) -> None:
        """The variant on the sheet has been solved already."""
        session, design = self._session, self._session.document.design
        analysis, problem = session.analysis, session.problem
        if problem is not None:
            self._outcomes.learn(Outcome(design, None, problem), session.display)
        elif analysis is not None:
            self._outcomes.learn(Outcome(design, analysis), session.display)

    def _look_at_one(self) -> None:
        """Solve the first variant that is not solved yet: one a turn, so nothing waits for it."""
        for variant in self._session.document.project.variants:
            if self._known(variant.design) is None:
                self._outcomes.of(variant.design, self._session.display)
                break
        self.refresh()


def _item(row: Row) -> QStandardItem:
    item = QStandardItem()
    _write(item, row)
    return item


def _write(item: QStandardItem, row: Row) -> None:
    item.setData(row, _ROW)
    item.setText(row.variant.name)
    item.setAccessibleText(row.spoken())
    item.setToolTip("\n".join(filter(None, (row.variant.name, row.sentence, row.variant.note))))


class _RowPainter(QStyledItemDelegate):
    """Draws a row and edits its name in place."""

    def __init__(self, view: VariantList, desk: Desk) -> None:
        super().__init__(view)
        self._view = view
        self._desk = desk
        self._pictures = Thumbnails(PICTURE)

    def sizeHint(self, option: QStyleOptionViewItem, index: AnyIndex) -> QSize:
        """As high as the picture or four lines of text."""
        lines = 4 * self._view.fontMetrics().height()
        return QSize(100, max(PICTURE.height(), lines) + 2 * _EDGE)

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: AnyIndex
    ) -> QWidget:
        """A line for the name."""
        line = QLineEdit(parent)
        line.setAccessibleName("Name of the variant")
        return line

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: AnyIndex) -> None:
        """Rename the variant."""
        assert isinstance(editor, QLineEdit)
        self._desk.rename(index.row(), editor.text())

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: AnyIndex
    ) -> None:
        """The line stands where the name stands."""
        box = self._texts(option.rect)
        editor.setGeometry(box.left() - 3, box.top() - 3, box.width() + 3, 0)
        editor.resize(editor.width(), editor.sizeHint().height())

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Draw picture, name, verdict and note."""
        row: Row = index.data(_ROW)
        theme, box = theme_source.theme, option.rect
        painter.save()
        if row.on_sheet:
            tone = QColor(theme.selection)
            tone.setAlpha(28)
            painter.fillRect(box, tone)
            painter.fillRect(QRectF(box.left(), box.top(), 3, box.height()), theme.selection)
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(theme.selection, 1, Qt.PenStyle.DotLine))
            painter.drawRect(box.adjusted(0, 0, -1, -1))
        self._paint_picture(painter, row, box, theme)
        self._paint_texts(painter, row, self._texts(box), theme)
        painter.restore()

    def _paint_picture(self, painter: QPainter, row: Row, box: QRect, theme: Theme) -> None:
        ratio = self._view.devicePixelRatioF()
        picture = self._pictures.of(row.variant.design, theme, ratio)
        frame = QRect(box.left() + _EDGE, box.top() + _EDGE, PICTURE.width(), PICTURE.height())
        painter.drawPixmap(frame, picture)
        painter.setPen(QPen(theme.selection if row.on_sheet else theme.panel_edge, 1))
        painter.drawRect(frame.adjusted(0, 0, -1, -1))

    def _paint_texts(self, painter: QPainter, row: Row, box: QRect, theme: Theme) -> None:
        metrics = self._view.fontMetrics()
        line, top = metrics.height(), box.top()
        bold = QFont(self._view.font())
        bold.setWeight(QFont.Weight.DemiBold)
        painter.setFont(bold)
        painter.setPen(theme.ink)
        name = QFontMetrics(bold).elidedText(
            row.variant.name, Qt.TextElideMode.ElideMiddle, box.width()
        )
        painter.drawText(QRect(box.left(), top, box.width(), line), 0, name)
        painter.setFont(self._view.font())
        words = row.words
        if row.words != _NOT_YET:
            sign = QRectF(box.left(), top + line + (line - _SIGN) / 2 + 1, _SIGN, _SIGN)
            paint_sign(painter, sign, row.state, theme)
        painter.setPen({"good": theme.good, "bad": theme.bad}.get(row.state, theme.faint_ink))
        after = QRect(box.left() + _SIGN + 5, top + line + 1, box.width() - _SIGN - 5, line)
        painter.drawText(after, 0, metrics.elidedText(words, _RIGHT, after.width()))
        third = top + 2 * line + 2
        if row.on_sheet:
            painter.setPen(theme.selection)
            painter.drawText(QRect(box.left(), third, box.width(), line), 0, f"▸ {_ON_SHEET}")
            third += line
        painter.setPen(theme.faint_ink)
        rest = QRect(box.left(), third, box.width(), box.bottom() - third)
        lines = 2 if rest.height() >= 2 * line and not row.on_sheet else 1
        fitted = whole_words(
            row.variant.note, QFontMetricsF(self._view.font()), rest.width(), lines
        )
        painter.drawText(rest, 0, fitted)

    def _texts(self, box: QRect) -> QRect:
        left = 2 * _EDGE + PICTURE.width() + 2
        return box.adjusted(left, _EDGE - 1, -_EDGE, -_EDGE + 1)


_RIGHT = Qt.TextElideMode.ElideRight
