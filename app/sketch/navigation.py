"""A sheet of paper seen through a window: y up, millimetres, moved and scaled by hand."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QInputDevice,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QResizeEvent,
    QTransform,
    QWheelEvent,
)
from PySide6.QtWidgets import QFrame, QGraphicsScene, QGraphicsView, QWidget

from solver.bars import Place

NEAREST, FARTHEST = 200.0, 0.02
"""Greatest and least scale, pixels per mm."""
STEP = 1.25
MARGIN = 0.09
"""Share of a view's shorter side that stays free around the linkage when it is fitted."""
REACH = 50_000.0
"""The sheet goes so many mm to each side."""


def fitted(box: Sequence[float], width: float, height: float) -> tuple[float, Place]:
    """Scale (pixels per mm) and middle (mm) that show a box (mm) within a view (pixels)."""
    left, low, right, high = box
    margin = max(MARGIN * min(width, height), 24.0)
    room_x, room_y = max(width - 2.0 * margin, 40.0), max(height - 2.0 * margin, 40.0)
    scale = min(room_x / max(right - left, 1.0), room_y / max(high - low, 1.0), 12.0)
    return max(scale, FARTHEST), ((left + right) / 2.0, (low + high) / 2.0)


class SheetView(QGraphicsView):
    """Pans by the middle button, by Space and by two fingers; zooms at the cursor.

    Until the hand has moved the sheet, it is fitted again whenever the window's size changes.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        scene = QGraphicsScene(self)
        scene.setSceneRect(-REACH, -REACH, 2.0 * REACH, 2.0 * REACH)
        scene.setItemIndexMethod(QGraphicsScene.ItemIndexMethod.NoIndex)
        self.setScene(scene)
        self.setFrameStyle(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.AnchorViewCenter)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.MinimalViewportUpdate)
        self._by_hand = False
        self._pan_from: QPoint | None = None
        self._space = False
        self.setTransform(QTransform.fromScale(3.0, -3.0))

    # ---- for those who use the view

    @property
    def pixels_per_mm(self) -> float:
        """The scale in force."""
        return self.transform().m11()

    def to_world(self, pixel: QPointF) -> Place:
        """The place (mm) under a position in the viewport."""
        place = self.viewportTransform().inverted()[0].map(pixel)
        return (place.x(), place.y())

    def to_pixel(self, place: Place) -> QPointF:
        """Where in the viewport a place (mm) is."""
        return self.viewportTransform().map(QPointF(*place))

    def content_box(self) -> Sequence[float] | None:
        """What `fit` shows, mm: least x, least y, greatest x, greatest y."""
        return None

    def view_moved(self) -> None:
        """The part of the sheet in view, or its scale, is another one."""

    def fit(self) -> None:
        """Show the whole linkage, and keep on doing so as the window changes."""
        self._by_hand = False
        box = self.content_box() or (-60.0, -40.0, 60.0, 80.0)
        size = self.viewport().size()
        scale, middle = fitted(box, size.width(), size.height())
        self.setTransform(QTransform.fromScale(scale, -scale))
        self.centerOn(QPointF(*middle))
        self.view_moved()

    def zoom_in(self) -> None:
        """Show the sheet larger."""
        self.zoom_at(QPointF(self.viewport().rect().center()), STEP)

    def zoom_out(self) -> None:
        """Show the sheet smaller."""
        self.zoom_at(QPointF(self.viewport().rect().center()), 1.0 / STEP)

    def zoom_at(self, pixel: QPointF, factor: float) -> None:
        """Scale by `factor`; the place under `pixel` stays where it is."""
        scale = min(max(self.pixels_per_mm * factor, FARTHEST), NEAREST)
        place = self.to_world(pixel)
        self._by_hand = True
        self.setTransform(QTransform.fromScale(scale, -scale))
        off = self.to_pixel(place) - pixel
        self._scroll(off.x(), off.y())
        self.view_moved()

    def pan(self, dx: float, dy: float) -> None:
        """Move the sheet by so many pixels."""
        self._by_hand = True
        self._scroll(-dx, -dy)
        self.view_moved()

    def _scroll(self, dx: float, dy: float) -> None:
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        across.setValue(across.value() + round(dx))
        down.setValue(down.value() + round(dy))

    def visible_area(self) -> QRectF:
        """The part of the sheet in view, mm."""
        view = self.viewportTransform().inverted()[0]
        return view.mapRect(QRectF(self.viewport().rect()))

    # ---- panning

    @property
    def panning(self) -> bool:
        """Whether the hand is moving the sheet, or holds Space to do so."""
        return self._space or self._pan_from is not None

    def start_pan(self, event: QMouseEvent) -> bool:
        """Begin to pan where this press asks for it."""
        middle = event.button() == Qt.MouseButton.MiddleButton
        if not middle and not (self._space and event.button() == Qt.MouseButton.LeftButton):
            return False
        self._pan_from = event.position().toPoint()
        self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        return True

    def move_pan(self, event: QMouseEvent) -> bool:
        """Follow the mouse while panning."""
        if self._pan_from is None:
            return False
        now = event.position().toPoint()
        self.pan(now.x() - self._pan_from.x(), now.y() - self._pan_from.y())
        self._pan_from = now
        return True

    def end_pan(self) -> bool:
        """Let go of the sheet; False where it was not held."""
        if self._pan_from is None:
            return False
        self._pan_from = None
        self._show_hand()
        return True

    def hold_space(self, event: QKeyEvent, down: bool) -> bool:
        """Take note of the Space bar; True for an event of it."""
        if event.key() != Qt.Key.Key_Space:
            return False
        if not event.isAutoRepeat():
            self._space = down
            self._show_hand()
        return True

    def _show_hand(self) -> None:
        if self._space:
            self.viewport().setCursor(Qt.CursorShape.OpenHandCursor)
        else:
            self.viewport().unsetCursor()

    # ---- events

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom by a wheel, pan by two fingers on a touch pad."""
        fingers = not event.pixelDelta().isNull() or (
            event.device().type() == QInputDevice.DeviceType.TouchPad
        )
        if fingers and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            moved = event.pixelDelta() if not event.pixelDelta().isNull() else event.angleDelta()
            self.pan(moved.x(), moved.y())
        else:
            self.zoom_at(event.position(), STEP ** (event.angleDelta().y() / 120.0))
        event.accept()

    def viewportEvent(self, event: QEvent) -> bool:
        """Zoom by a pinch."""
        if (
            isinstance(event, QNativeGestureEvent)
            and event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture
        ):
            self.zoom_at(event.position(), 1.0 + event.value())
            return True
        return super().viewportEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep what is shown in the middle; fit again unless the hand chose the view."""
        super().resizeEvent(event)
        if not self._by_hand:
            self.fit()
        else:
            self.view_moved()
