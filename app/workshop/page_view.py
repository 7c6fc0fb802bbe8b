"""One page on screen as it will be on paper; texts of dimensions can be taken and moved."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QPolygonF,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QScrollArea, QWidget

from app.drawing.boxes import Box, text_box
from app.drawing.dimension_parts import parts_of
from app.drawing.model import Drawing, Text
from app.drawing.painting import paint
from app.theme import theme_source

_AIR = 14
"""Pixels around the paper."""
_LEAST, _MOST = 0.4, 24.0
"""Pixels for each mm of paper, least and most."""
_NUDGES = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}


class PageView(QScrollArea):
    """Shows a page, fitted or at a zoom that the user chose."""

    moved = Signal(str, float, float)
    """Key of a dimension, and by how many mm its text is to move, right and up."""
    picked = Signal(str)
    """Key of the dimension that was clicked; empty for none."""
    zoomed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fitted = True
        self._paper = _Paper(self)
        self.setWidget(self._paper)
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Page")
        self.setAccessibleDescription(
            "The page as it will be on paper. Arrow keys move the text of the dimension that is "
            "selected in the list."
        )
        theme_source.changed.connect(self._paper.update)

    @property
    def page(self) -> Drawing | None:
        """The page shown."""
        return self._paper.page

    @property
    def zoom(self) -> float:
        """How large it is shown against paper, going by the screen's own dots per inch."""
        return self._paper.scale * 25.4 / self.logicalDpiX()

    def show_page(self, page: Drawing | None) -> None:
        """Show another page, at the same zoom."""
        self._paper.show_page(page)
        if self._fitted:
            self.fit()

    def select(self, key: str) -> None:
        """Mark a dimension; "" for none."""
        self._paper.select(key)

    def fit(self) -> None:
        """Show the whole page."""
        self._fitted = True
        page, room = self.page, self.viewport().size()
        if page is not None:
            width, height = page.size
            self._set_scale(
                min((room.width() - 2 * _AIR) / width, (room.height() - 2 * _AIR) / height)
            )

    def zoom_to(self, zoom: float) -> None:
        """Show the page at a size against paper: 1 is true size."""
        self._fitted = False
        self._set_scale(zoom * self.logicalDpiX() / 25.4)

    def zoom_by(self, factor: float) -> None:
        """Show the page larger or smaller."""
        self._fitted = False
        self._set_scale(self._paper.scale * factor)

    def _set_scale(self, scale: float) -> None:
        self._paper.set_scale(min(max(scale, _LEAST), _MOST))
        self.zoomed.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the whole page in view where it was."""
        super().resizeEvent(event)
        if self._fitted:
            self.fit()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom with the control key."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_by(1.0015 ** event.angleDelta().y())
            event.accept()
        else:
            super().wheelEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the marked dimension's text by a millimetre."""
        nudge = _NUDGES.get(Qt.Key(event.key()))
        if nudge is not None and self._paper.selected:
            self.moved.emit(self._paper.selected, *nudge)
            event.accept()
        else:
            super().keyPressEvent(event)


class _Paper(QWidget):
    """The sheet itself, painted once for each page and size and kept as a picture."""

    def __init__(self, view: PageView) -> None:
        super().__init__(view)
        self._view = view
        self.page: Drawing | None = None
        self.scale = 2.0
        self.selected = ""
        self._kept: QPixmap | None = None
        self._texts: list[tuple[str, Box]] = []
        self._held: tuple[str, QPointF] | None = None
        self._carried = QPointF()
        self.setMouseTracking(True)

    def show_page(self, page: Drawing | None) -> None:
        """Show another page."""
        if page is self.page:
            return
        self.page, self._kept, self._held = page, None, None
        self._texts = []
        for dimension in page.dimensions() if page is not None else ():
            for part in parts_of(dimension):
                if isinstance(part, Text):
                    self._texts.append((dimension.key, text_box(part)))
        self._fit_widget()

    def set_scale(self, scale: float) -> None:
        """Show the page with so many pixels for each mm."""
        if scale != self.scale:
            self.scale, self._kept = scale, None
            self._fit_widget()

    def select(self, key: str) -> None:
        """Mark a dimension."""
        if key != self.selected:
            self.selected = key
            self.update()

    def _fit_widget(self) -> None:
        width, height = self.page.size if self.page is not None else (100.0, 100.0)
        self.resize(
            QSize(
                round(width * self.scale) + 2 * _AIR,
                round(height * self.scale) + 2 * _AIR,
            )
        )
        self.update()

    # ---- painting --------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the paper, the marked dimension and the one that is being carried."""
        if self.page is None:
            return
        painter = QPainter(self)
        if self._kept is None or self._kept.devicePixelRatio() != self.devicePixelRatio():
            self._kept = self._painted(self.page)
        painter.drawPixmap(_AIR, _AIR, self._kept)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(theme_source.theme.panel_edge, 1.0))
        size = self._kept.deviceIndependentSize()
        painter.drawRect(QRectF(QPointF(_AIR, _AIR), size))
        held = self._held[0] if self._held else ""
        for key, box in self._texts:
            if key in (held, self.selected):
                carried = self._carried if key == held else QPointF()
                painter.setPen(QPen(_MARK, 1.6))
                painter.drawPolygon(self._corners(box).translated(carried))
        painter.end()

    def _painted(self, page: Drawing) -> QPixmap:
        ratio = self.devicePixelRatio()
        width, height = (round(side * self.scale * ratio) for side in page.size)
        picture = QPixmap(max(width, 1), max(height, 1))
        picture.fill(Qt.GlobalColor.white)
        painter = QPainter(picture)
        painter.scale(self.scale * ratio, self.scale * ratio)
        paint(painter, page)
        painter.end()
        picture.setDevicePixelRatio(ratio)
        return picture

    def _corners(self, box: Box) -> QPolygonF:
        assert self.page is not None
        height = self.page.size[1]
        return QPolygonF(
            [
                QPointF(_AIR + x * self.scale, _AIR + (height - y) * self.scale)
                for x, y in box.grown(0.6).corners()
            ]
        )

    # ---- the mouse ---------------------------------------------------------------------------

    def _hit(self, at: QPointF) -> str:
        for key, box in self._texts:
            if self._corners(box).containsPoint(at, Qt.FillRule.OddEvenFill):
                return key
        return ""

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take a dimension's text."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._view.setFocus()
        key = self._hit(event.position())
        self._held = (key, event.position()) if key else None
        self._carried = QPointF()
        self.select(key)
        self._view.picked.emit(key)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Carry the text; show what can be taken."""
        if self._held is not None:
            self._carried = event.position() - self._held[1]
            self.update()
            return
        over = bool(self._hit(event.position()))
        shape = Qt.CursorShape.OpenHandCursor if over else Qt.CursorShape.ArrowCursor
        self.setCursor(shape)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Put the text down."""
        if self._held is None:
            return
        key, self._held = self._held[0], None
        gone, self._carried = self._carried, QPointF()
        self.update()
        if gone.manhattanLength() >= 3.0:
            self._view.moved.emit(key, gone.x() / self.scale, -gone.y() / self.scale)


_MARK = QColor("#0e7490")
"""On white paper in either theme."""
