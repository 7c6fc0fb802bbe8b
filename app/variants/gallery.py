"""The pictures and the diagrams of a comparison as widgets; a hand in either throws all levers."""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.theme import current, theme_source
from app.variants import diagrams
from app.variants.comparison import (
    Comparison,
    Entry,
    Plot,
    Together,
    axis_name,
    place_on_axis,
    plots,
    share_at,
    travel_of,
)
from app.variants.pictures import Pictures

_SHARE_STEP = 0.02
_FOOT = 24
"""Pixels for the bar of the scale, besides what the linkages take."""
_NOTHING = "None of these variants can be solved yet."


class Board(QWidget):
    """Shows a comparison with all levers at one `share` of the first one's travel."""

    moved = Signal(float)
    """The hand wants the levers at this share, 0 to 1."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.comparison: Comparison | None = None
        self.share = 0.0
        self.together: Together = "share"
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        theme_source.changed.connect(self.renew)

    def set_comparison(self, comparison: Comparison) -> None:
        """Show another comparison, or the same after an edit."""
        self.comparison = comparison
        self.renew()

    def set_pose(self, share: float, together: Together) -> None:
        """Put the levers there."""
        changed = together != self.together
        self.share, self.together = share, together
        if changed:
            self.renew()
        else:
            self.update()

    def renew(self) -> None:
        """Make anew what was prepared for painting."""
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrow keys throw the levers a little, Home and End to the rests."""
        places = {
            Qt.Key.Key_Left: self.share - _SHARE_STEP,
            Qt.Key.Key_Right: self.share + _SHARE_STEP,
            Qt.Key.Key_Home: 0.0,
            Qt.Key.Key_End: 1.0,
        }
        key = Qt.Key(event.key())
        if key in places:
            self.moved.emit(min(max(places[key], 0.0), 1.0))
        else:
            super().keyPressEvent(event)


class Gallery(Board):
    """The linkages in a row. Dragging in a picture turns its lever, and with it the others."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pictures: Pictures | None = None
        self._ground: QPixmap | None = None
        self.setAccessibleName("Pictures of the variants")
        self.setToolTip("Drag in a picture to throw all levers together")
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def sizeHint(self) -> QSize:
        """Room for two linkages."""
        return QSize(760, 360)

    def minimumSizeHint(self) -> QSize:
        """Still to be made out."""
        return QSize(330, 200)

    def renew(self) -> None:
        """Find poses and ghosts anew."""
        self._pictures = None if self.comparison is None else Pictures(self.comparison)
        self._ground = None
        if self.comparison is not None:
            words = (f"{e.number} {e.name}: {e.outcome.words}." for e in self.comparison.entries)
            self.setAccessibleDescription(" ".join(words))
        super().renew()

    def fit_height(self, least: int, most: int) -> None:
        """Take the height, within these, that shows the pictures as large as the width lets."""
        if self._pictures is not None:
            wanted = self._pictures.wanted_height(self.width() - 1.0, most)
            high = max(math.ceil(wanted) + _FOOT, least, self.minimumSizeHint().height())
            self.setMaximumHeight(high)

    def cells(self) -> list[QRectF]:
        """A rectangle for each picture."""
        box = QRectF(0.0, 0.0, self.width() - 1.0, self.height() - 1.0)
        return [] if self._pictures is None else self._pictures.cells(box)

    def travels(self) -> list[float]:
        """Where each lever is, degrees from its rest A."""
        comparison = self.comparison
        if comparison is None:
            return []
        return [
            travel_of(entry, comparison, self.share, self.together) for entry in comparison.entries
        ]

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the pictures, from memory what does not move."""
        pictures = self._pictures
        if pictures is None:
            return
        cells = self.cells()
        if self._ground is None or self._ground.deviceIndependentSize() != self.size():
            self._ground = painted(
                self, lambda on: pictures.paint_ground(on, cells, current(), self.font())
            )
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._ground)
        pictures.paint_linkages(painter, cells, self.travels(), current(), self.font())
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the lever of the picture that was pressed."""
        self._take(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Turn it with the mouse."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._take(event.position())

    def _take(self, at: QPointF) -> None:
        cells, comparison = self.cells(), self.comparison
        if comparison is None or self._pictures is None:
            return
        entries = zip(comparison.entries, cells, strict=True)
        inside = [entry for entry, cell in entries if cell.contains(at)]
        if inside and inside[0].analysis is not None:
            travel = self._travel_towards(inside[0], at)
            self.moved.emit(share_at(inside[0], comparison, travel, self.together))

    def _travel_towards(self, entry: Entry, at: QPointF) -> float:
        """The travel (degrees from rest A) at which an entry's lever points to a pixel."""
        analysis = entry.analysis
        assert analysis is not None
        assert self._pictures is not None
        view = self._pictures.view(entry.number, self.cells())
        place = view.inverted()[0].map(at)
        pivot = analysis.design.point(analysis.design.lever_pivot())
        direction = math.degrees(math.atan2(place.y() - pivot.y, place.x() - pivot.x))
        away = analysis.sense * (direction - float(analysis.direction[0]))
        middle = analysis.throw / 2.0
        travel = middle + (away - middle + 180.0) % 360.0 - 180.0
        return min(max(travel, 0.0), analysis.throw)


class Diagrams(Board):
    """The curves over each other. Pressing or dragging in one moves all levers there."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._picture: QPixmap | None = None
        self._plots: tuple[Plot, ...] = ()
        self._frames: tuple[diagrams.Frame, ...] = ()
        self._held: diagrams.Frame | None = None
        self.setAccessibleName("Curves of the variants")
        self.setToolTip("Press or drag in a diagram to move all levers there")
        self.setCursor(Qt.CursorShape.SizeHorCursor)

    def sizeHint(self) -> QSize:
        """Three diagrams beside each other."""
        return QSize(760, 240)

    def minimumSizeHint(self) -> QSize:
        """Still to be read."""
        return QSize(330, 150)

    def renew(self) -> None:
        """Take and paint the curves anew."""
        comparison = self.comparison
        solved = comparison is not None and comparison.solved()
        self._plots = plots(comparison, self.together) if comparison and solved else ()
        self._picture = None
        super().renew()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the curves, from memory while only the levers move, and the cursor over them."""
        comparison = self.comparison
        if comparison is None:
            return
        painter = QPainter(self)
        if not self._plots:
            painter.setPen(current().faint_ink)
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, _NOTHING)
        else:
            if self._picture is None or self._picture.deviceIndependentSize() != self.size():
                self._picture = painted(self, self._paint_curves)
            painter.drawPixmap(0, 0, self._picture)
            place = place_on_axis(comparison, self.share, self.together)
            for plot, frame in zip(self._plots, self._frames, strict=True):
                diagrams.paint_cursor(
                    painter, plot, frame, place, current(), self.font(), comparison.display
                )
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Move the levers to where the diagram was pressed."""
        at = event.position()
        if self._frames:
            self._held = min(self._frames, key=lambda frame: abs(frame.box.center().x() - at.x()))
            self._take(at)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Follow the mouse, in the diagram that was pressed."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._take(event.position())

    def frames(self) -> tuple[diagrams.Frame, ...]:
        """Where the diagrams are, as painted last."""
        return self._frames

    def _take(self, at: QPointF) -> None:
        comparison = self.comparison
        if comparison is not None and self._held is not None:
            last = place_on_axis(comparison, 1.0, self.together)
            self.moved.emit(min(max(self._held.value_at(at.x()) / last, 0.0), 1.0))

    def _paint_curves(self, painter: QPainter) -> None:
        width = self.width() / len(self._plots)
        cells = [
            QRectF(index * width, 2.0, width, self.height() - 2.0)
            for index in range(len(self._plots))
        ]
        self._frames = diagrams.frames(self._plots, cells, self.font())
        for plot, frame in zip(self._plots, self._frames, strict=True):
            axis = axis_name(self.together)
            diagrams.paint_plot(painter, plot, frame, current(), self.font(), axis)


def painted(widget: QWidget, paint: Callable[[QPainter], None]) -> QPixmap:
    """A picture of a widget's size, to be painted from memory."""
    ratio = widget.devicePixelRatioF()
    picture = QPixmap(widget.size() * ratio)
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setFont(widget.font())
    paint(painter)
    painter.end()
    return picture
