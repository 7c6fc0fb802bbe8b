"""The slider under the sketch that moves the lever between its rests."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractSlider, QSizePolicy, QWidget

from app import mark_styles
from app.session import Session
from app.theme import current, theme_source
from solver import units

STEP = 0.1
"""Degrees of travel per step of the slider's integer value."""
_MARGIN = 14
_GAP = 4.0
_REST_A, _REST_B = "Rest A", "Rest B"


class TravelSlider(QAbstractSlider):
    """Rest A on the left, rest B on the right, dead centre and hang zones marked between.

    Arrow keys move the lever by a degree, page keys by five, Home and End to the rests.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._places: tuple[int, ...] = ()
        self.setOrientation(Qt.Orientation.Horizontal)
        self.setSingleStep(round(1.0 / STEP))
        self.setPageStep(round(5.0 / STEP))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Lever travel")
        self.setToolTip("Move the lever from rest A (left) to rest B (right)")
        self.valueChanged.connect(self._moved)
        session.updated.connect(self._show)
        session.pose_changed.connect(self._show)
        session.pose_changed.connect(self._tell)
        session.calm.follow(self._tell)
        theme_source.changed.connect(self.update)
        self._show()
        self._tell()

    def sizeHint(self) -> QSize:
        """Wide enough to aim; two lines high."""
        return QSize(320, self.fontMetrics().height() * 2 + 20)

    def minimumSizeHint(self) -> QSize:
        """Room for the two rests' names."""
        return QSize(220, self.sizeHint().height())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Bring the lever to where the track is pressed."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.setSliderDown(True)
            self._move_to(event.position().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Follow the mouse while it is down."""
        if self.isSliderDown():
            self._move_to(event.position().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.setSliderDown(False)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw track, hang zones, dead centre, handle and the words to them."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme = current()
        analysis = self._session.analysis
        track = self._track()
        painter.setPen(QPen(theme.panel_edge, 1))
        painter.setBrush(theme.field)
        painter.drawRoundedRect(track, 3, 3)
        if analysis is None:
            return
        for zone in analysis.hang_zones:
            left, right = self._x(zone.start), self._x(zone.end)
            box = QRectF(left, track.top(), max(right - left, 1.0), track.height())
            painter.fillRect(box, theme.hang)
        self._mark(painter, 0.0, _REST_A, theme.rest_a, mark_styles.REST_A)
        self._mark(painter, analysis.throw, _REST_B, theme.rest_b, mark_styles.REST_B)
        if analysis.dead_centre is not None:
            self._mark(
                painter,
                analysis.dead_centre,
                "Dead centre",
                theme.dead_centre,
                mark_styles.DEAD_CENTRE,
            )
        self._handle(painter)

    def _handle(self, painter: QPainter) -> None:
        theme = current()
        x, track = self._x(self._session.travel()), self._track()
        focus = self.hasFocus()
        painter.setPen(QPen(theme.selection if focus else theme.lever_edge, 2 if focus else 1.2))
        painter.setBrush(theme.lever_plate)
        painter.drawRoundedRect(QRectF(x - 5, track.center().y() - 10, 10, 20), 4, 4)

    def _mark(
        self, painter: QPainter, travel: float, name: str, colour: QColor, style: Qt.PenStyle
    ) -> None:
        """A tick through the track at `travel` degrees, with its name below."""
        x, track = self._x(travel), self._track()
        painter.setPen(QPen(colour, 2, style))
        painter.drawLine(QPointF(x, track.top() - 5), QPointF(x, track.bottom() + 5))
        text = self.fontMetrics().horizontalAdvance
        width = text(name)
        # What is between the rests keeps clear of their names at the two ends.
        at_end = name in (_REST_A, _REST_B)
        first = _GAP if at_end else text(_REST_A) + 3 * _GAP
        last = self.width() - width - (_GAP if at_end else text(_REST_B) + 3 * _GAP)
        if first > last:
            return
        left = min(max(x - width / 2, first), last)
        painter.setPen(colour)
        painter.drawText(QPointF(left, track.bottom() + 6 + self.fontMetrics().ascent()), name)

    def _track(self) -> QRectF:
        return QRectF(_MARGIN, 12, max(self.width() - 2 * _MARGIN, 1), 8)

    def _x(self, travel: float) -> float:
        """Where a lever position (degrees from rest A) is on the track, held on it."""
        analysis = self._session.analysis
        throw = analysis.throw if analysis is not None else 1.0
        track = self._track()
        return track.left() + min(max(travel / throw, 0.0), 1.0) * track.width()

    def _move_to(self, x: float) -> None:
        track = self._track()
        share = (x - track.left()) / track.width()
        self.setValue(round(share * self.maximum()))

    def _moved(self, value: int) -> None:
        analysis = self._session.analysis
        if analysis is not None:
            # The last step is a rounded throw: full travel must reach the stop itself.
            last = value == self.maximum()
            self._session.set_travel(analysis.throw if last else value * STEP)

    def _show(self) -> None:
        """Follow the session without answering back."""
        analysis = self._session.analysis
        self.setEnabled(analysis is not None)
        self.blockSignals(True)
        if analysis is not None:
            self.setRange(0, max(round(analysis.throw / STEP), 1))
        self.setValue(round(self._session.travel() / STEP))
        self.blockSignals(False)
        places = self._marked()
        if places != self._places:
            self._places = places
            self.update()

    def _tell(self) -> None:
        """Say the lever's place to who cannot see it."""
        session = self._session
        self.setAccessibleDescription(units.show(session.travel(), "angle", session.display))

    def _marked(self) -> tuple[int, ...]:
        """To which pixel everything on the track is: drawn anew only where that changes."""
        analysis = self._session.analysis
        if analysis is None:
            return ()
        centre = () if analysis.dead_centre is None else (analysis.dead_centre,)
        zones = [edge for zone in analysis.hang_zones for edge in (zone.start, zone.end)]
        along = (self._session.travel(), *centre, *zones)
        return (len(centre), self.width(), *(round(self._x(travel)) for travel in along))
