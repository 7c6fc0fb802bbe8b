"""The sketch canvas: shows the session's linkage and turns mouse and keys into gestures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QHideEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QResizeEvent,
)
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.background.zones import ZoneShape
from app.calm import QUICK_FROM
from app.findings import findings_of
from app.part_edits import remove
from app.session import Ref, Session
from app.sketch.arrows import arrows_told
from app.sketch.boxes import Rect
from app.sketch.drawing import Touch, draw_sheet
from app.sketch.gestures import pressed
from app.sketch.grid import scale_bar_box
from app.sketch.ground import Ground
from app.sketch.hand import Act, ActKind, Feedback, Gesture, Key
from app.sketch.hits import Finder
from app.sketch.keys import Nudge, next_point
from app.sketch.navigation import SheetView
from app.sketch.overlays import Legend, ProblemStrip
from app.sketch.picture import Picture, Pictures, place_told
from app.sketch.room import Room
from app.sketch.shapes import bounds
from app.sketch.sheet import Lens, Sheet
from app.sketch.tools import TOOLS, tool
from app.sketch.words import Words, obstacles
from app.sketch.zone import told_of, zone_bars
from app.theme import current, theme_source

if TYPE_CHECKING:
    from solver.sensitivity import Sensitivities

_POSED = 250
"""Milliseconds after which a lever that was moved is taken to rest."""
BURST = 700
"""Milliseconds without an arrow key that end a burst of them."""
_AROUND = 150.0
"""Pixels around the linkage that labels and symbols may need."""
_NOTE = 150.0
"""Pixels more that the words beside the cursor may need to the right."""
_BESIDE_ZONE = 24.0
"""Pixels around a zone that its cards will need."""
_NEAR_ZONE = 0.1
"""What it costs to lie there, along the whole of its edge."""
_REST = 1.0
"""What it costs to cover the knob of a lever at rest, more than any other part."""

_ARROWS = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}


class SketchCanvas(SheetView):
    """The linkage on paper. Everything in it is drawn by one item, in one painting."""

    inspect_requested = Signal()
    """The user double-clicked a part: its numbers are wanted."""
    tool_changed = Signal(str)
    """The adding tool in use; "" for none."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._findings = findings_of(session)
        self._pictures = Pictures(session)
        self._feedback = Feedback()
        self._hovered: Ref | None = None
        self._gesture: Gesture | None = None
        self._tool: tuple[str, Gesture] | None = None
        self._nudge = Nudge(session)
        self._words = Words()
        self._units = session.display.units
        self._ground = Ground()
        self._drawing = _Drawing(self)
        self.scene().addItem(self._drawing)
        self._strip = ProblemStrip(self)
        self._legend = Legend(self)
        self._turn = QTimer(self, singleShot=True, interval=0)
        self._turn.timeout.connect(self.refresh)
        self._burst = QTimer(self, singleShot=True, interval=BURST)
        self._burst.timeout.connect(self._end_burst)
        self._posing = QTimer(self, singleShot=True, interval=_POSED)
        self._posing.timeout.connect(self.refresh)
        self._listen()
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Sketch")
        self.setAccessibleDescription(
            "The linkage drawn to scale. Tab goes from point to point, the arrow keys move the "
            "selected one by 1 mm, with Shift by 10 mm, with Alt by 0.1 mm."
        )
        self._recolour()

    def _listen(self) -> None:
        session = self._session
        session.document.replaced.connect(self._replaced)
        session.document.rested.connect(self._turn.start)
        session.updated.connect(self.refresh)
        for signal in (session.pose_changed, session.selection_changed):
            signal.connect(self._turn.start)
        session.pose_changed.connect(self._posing.start)
        self._findings.changed.connect(self._found)
        self._findings.switched.connect(self._turn.start)
        theme_source.changed.connect(self._recolour)

    # ---- the board that gestures work on

    @property
    def session(self) -> Session:
        """The session shown."""
        return self._session

    @property
    def picture(self) -> Picture:
        """What the session shows now."""
        return self._pictures.now()

    @property
    def finder(self) -> Finder:
        """Looks for what lies on the sheet."""
        return Finder(self.picture, self.pixels_per_mm)

    def show_feedback(self, feedback: Feedback) -> None:
        """Show what a gesture has to say."""
        if feedback != self._feedback:
            self._feedback = feedback
            self._turn.start()

    # ---- for the window

    @property
    def tool(self) -> str:
        """The adding tool in use; "" for none."""
        return self._tool[0] if self._tool else ""

    def begin_tool(self, key: str) -> None:
        """Begin to add a part by clicks on the sheet; KeyError for a key that is no tool's.

        The keys: "point", "link", "slider", "compression", "extension", "torsion", "weight",
        "force", "torque", and "join" for making one pivot of two points.
        """
        if key not in TOOLS:
            raise KeyError(key)
        self.cancel()
        gesture = tool(key, self)
        self._tool = (key, gesture)
        next(gesture)
        self.viewport().setCursor(Qt.CursorShape.CrossCursor)
        self.setFocus()
        self.tool_changed.emit(key)

    def cancel(self) -> bool:
        """Leave gesture, tool and burst without a trace; False where there was none."""
        running = self._gesture is not None or self._tool is not None or self._nudge.running
        self._nudge.cancel()
        self._send(Act("cancel"))
        return running

    def remove_selected(self) -> None:
        """Remove what is selected."""
        self._end_burst()
        remove(self._session, self._session.selection)

    def refresh(self) -> None:
        """Show the session's present state now."""
        self._turn.stop()
        picture = self.picture
        self._strip.tell(self._session.problem)
        self._legend.tell(self._told())
        if self._legend.isVisible() and not self._steady:
            self._legend.settle(*self._legend_room(picture))
        if picture.display.units != self._units:
            self._units = picture.display.units
            self._recolour()
        self._drawing.cover(self._extent(picture))
        self._drawing.update()

    # ---- showing

    def _found(self, study: str) -> None:
        if study in ("zone", "effects"):
            self._turn.start()

    def _arrows_shown(self) -> Sensitivities | None:
        return self._findings.effects if self._findings.is_on("arrows") else None

    def _zone_shown(self) -> ZoneShape | None:
        return self._findings.zone if self._findings.is_on("zone") else None

    @property
    def _steady(self) -> bool:
        """Whether a hand moves things, here or in another view: words stay where they are."""
        moved = self._session.document.in_gesture or self._posing.isActive()
        return moved or self._gesture is not None or self._nudge.running

    def _view_area(self) -> Rect:
        return (0.0, 0.0, float(self.viewport().width()), float(self.viewport().height()))

    def _legend_room(self, picture: Picture) -> tuple[Room, float]:
        """What the legend should not cover, and how high the scale bar stands."""
        lens = Lens(self.viewportTransform(), self.font().family())
        room = obstacles(lens, picture, self._view_area())
        zone = self._zone_shown()
        if zone is not None:
            bars = zone_bars(lens, zone)
            room.add(bars, 1.0)
            # Near the zone its words want to be: rather there than on a part or a rest's knob.
            near = _NEAR_ZONE / max(len(bars), 1)
            room.add([(a, b, half + _BESIDE_ZONE) for a, b, half in bars], near)
        knobs = [lens.pixels(ghost.grip) for ghost in picture.ghosts]
        room.add([(at, at, 0.0) for at in knobs], _REST)
        height = float(self.viewport().height())
        return room, scale_bar_box(lens.scale, height, picture.display.units)[3]

    def _told(self) -> str:
        """What is drawn by studies."""
        arrows = self._arrows_shown()
        told = [self._zone_told(), "" if arrows is None else arrows_told(arrows)]
        return "\n".join(line for line in told if line)

    def _zone_told(self) -> str:
        """What the zone drawn means, or why there is none."""
        found = self._findings
        if not found.is_on("zone"):
            return ""
        if found.zone is not None:
            return told_of(found.zone, self.picture.places.get(found.zone.point))
        if found.zone_point is None:
            return "Go zone: select one point to see where it may lie."
        return found.problem("zone") or "Go zone: looking…"

    def content_box(self) -> Sequence[float] | None:
        picture = self.picture
        box = picture.box
        if box is None or picture.design.springs:
            return box
        room = 0.4 * picture.size  # for what a design without a spring still lacks
        return (box[0] - room, box[1] - room, box[2] + room, box[3] + room)

    def _extent(self, picture: Picture) -> QRectF:
        """The part of the sheet (mm) that the drawing may touch."""
        box, feedback = picture.box, self._feedback
        if box is None or feedback.rubber is not None:
            return self.visible_area()
        shown = [(box[0], box[1]), (box[2], box[3]), *feedback.picks]
        zone = self._zone_shown()
        if zone is not None:
            shown += [zone.window[:2], zone.window[2:]]
        if feedback.cursor is not None:
            shown.append(feedback.cursor)
        for card in self._words.cards:
            left, top, width, height = card.box
            corners = QPointF(left, top), QPointF(left + width, top + height)
            shown += [self.to_world(corner) for corner in corners]
        left, low, right, high = bounds(shown) or box
        around = _AROUND / self.pixels_per_mm
        return QRectF(left, low, right - left, high - low).adjusted(
            -around, -around, around + _NOTE / self.pixels_per_mm, around
        )

    def _replaced(self) -> None:
        """Another project: nothing of a gesture under way may reach it."""
        for running in (self._gesture, self._tool and self._tool[1]):
            if running is not None:
                running.close()
        self._gesture = None
        self._feedback, self._hovered = Feedback(), None
        self._leave_tool()
        self._burst.stop()
        self._nudge = Nudge(self._session)
        QTimer.singleShot(0, self, self.fit)

    def view_moved(self) -> None:
        self._turn.start()

    def _recolour(self) -> None:
        self._strip.recolour(current())
        self._legend.recolour(current())
        self.view_moved()

    def drawBackground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        size, units = self.viewport().size(), self._session.display.units
        self._ground.paint(
            painter, size, current(), units, self._zone_shown(), self.font().family()
        )

    def paint_drawing(self, painter: QPainter) -> None:
        """Paint everything but the paper."""
        busy = self._gesture is not None or self._nudge.running
        quick = busy and painter.device().devicePixelRatioF() >= QUICK_FROM
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, not quick)
        sheet = Sheet(painter, painter.worldTransform(), current(), self.font().family())
        held = (self._legend.box(),) if self._legend.isVisible() else ()
        touch = Touch(self._hovered, self._feedback, self._steady, self._zone_shown(),
                      self._arrows_shown(), held)  # fmt: skip
        draw_sheet(sheet, self.picture, self._view_area(), self._words, touch)
        if self._words.cards and not self._drawing.boundingRect().contains(self._cards_area()):
            self._turn.start()  # cards are placed while painting: some may have been cut off

    def _cards_area(self) -> QRectF:
        """The part of the sheet (mm) that cards lie on, as far as it is in view."""
        area = QRectF()
        for card in self._words.cards:
            area |= QRectF(*card.box)
        area &= QRectF(self.viewport().rect().adjusted(1, 1, -1, -1))
        return self.viewportTransform().inverted()[0].mapRect(area)

    # ---- acts

    def _act(self, kind: ActKind, event: QMouseEvent) -> Act:
        pixel = event.position()
        return Act(kind, self.to_world(pixel), (pixel.x(), pixel.y()), _keys(event.modifiers()))

    def _send(self, act: Act) -> bool:
        """Give an act to the gesture or the tool under way; False where there is none."""
        running = self._gesture or (self._tool[1] if self._tool else None)
        if running is None:
            return False
        try:
            running.send(act)
        except StopIteration:
            if running is self._gesture:
                self._gesture = None
                self._turn.start()
            else:
                self._leave_tool()
        return True

    def _leave_tool(self) -> None:
        if self._tool is not None:
            self._tool = None
            self.viewport().unsetCursor()
            self.tool_changed.emit("")

    def _hover(self, act: Act) -> None:
        """Show what a press here would take."""
        hit = self.finder.hit(act.place)
        ref = hit.ref if hit is not None else None
        if ref == self._hovered:
            return
        self._hovered = ref
        shapes = {"point": Qt.CursorShape.SizeAllCursor, "rest": Qt.CursorShape.OpenHandCursor}
        lever = Ref("link", self.picture.design.lever)
        if ref is None or self._tool is not None:
            self.viewport().setCursor(
                Qt.CursorShape.CrossCursor if self._tool else Qt.CursorShape.ArrowCursor
            )
        else:
            default = Qt.CursorShape.OpenHandCursor if ref == lever else None
            self.viewport().setCursor(
                shapes.get(ref.kind, default or Qt.CursorShape.PointingHandCursor)
            )
        self._turn.start()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._end_burst()
        if self.start_pan(event) or event.button() != Qt.MouseButton.LeftButton:
            event.accept()
            return
        act = self._act("press", event)
        if not self._send(act):
            self._gesture = pressed(self, act)
            next(self._gesture)
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if not self.move_pan(event):
            act = self._act("move", event)
            self._send(act)
            if self._gesture is None:
                self._hover(act)
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if not self.end_pan() and event.button() == Qt.MouseButton.LeftButton:
            self._send(self._act("release", event))
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton or self.panning:
            return
        act = self._act("double", event)
        if not self._send(act):
            hit = self.finder.hit(act.place)
            if hit is not None:
                self._session.select(hit.ref)
                self.inspect_requested.emit()
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self._hovered = None
        self._turn.start()

    # ---- keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if key in _ARROWS:
            self._arrow(key, event.modifiers())
            return
        if key not in (Qt.Key.Key_Shift, Qt.Key.Key_Alt, Qt.Key.Key_Escape):
            self._end_burst()
        done = self.hold_space(event, down=True)
        if key == Qt.Key.Key_Escape:
            done = self._escape()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            done = self._send(Act("finish")) or self._inspect()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.remove_selected()
            done = True
        event.setAccepted(done)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        event.setAccepted(self.hold_space(event, down=False))

    def _arrow(self, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> None:
        if self._gesture is not None or self._tool is not None:
            return
        step = 1.0
        if modifiers & Qt.KeyboardModifier.ShiftModifier:
            step = 10.0
        elif modifiers & Qt.KeyboardModifier.AltModifier:
            step = 0.1
        dx, dy = _ARROWS[key]
        self._nudge.step(dx * step, dy * step)
        self._burst.start()

    def _escape(self) -> bool:
        """Leave what is under way, else let go of the selection; False where there is nothing."""
        if self.cancel():
            return True
        chosen = bool(self._session.selection)
        self._session.select()
        return chosen

    def _inspect(self) -> bool:
        chosen = bool(self._session.selection)
        if chosen:
            self.inspect_requested.emit()
        return chosen

    def _end_burst(self) -> None:
        self._burst.stop()
        self._nudge.end()

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Tab goes from point to point, and on to the next widget after the last."""
        self._end_burst()
        if not next_point(self._session, forward):
            return super().focusNextPrevChild(forward)
        name = self._session.selection[0].name
        self._session.message.emit(place_told(name, self.picture))
        return True

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self._end_burst()
        super().focusOutEvent(event)

    def hideEvent(self, event: QHideEvent) -> None:
        self.cancel()
        super().hideEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._strip.place()
        self._legend.place()


class _Drawing(QGraphicsItem):
    """All that lies on the paper, as one item."""

    def __init__(self, canvas: SketchCanvas) -> None:
        super().__init__()
        self._canvas = canvas
        self._area = QRectF(-1.0, -1.0, 2.0, 2.0)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def cover(self, area: QRectF) -> None:
        """Say what part of the sheet (mm) the drawing takes."""
        if area != self._area:
            self.prepareGeometryChange()
            self._area = area

    def boundingRect(self) -> QRectF:
        return self._area

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        painter.save()
        self._canvas.paint_drawing(painter)
        painter.restore()


def _keys(modifiers: Qt.KeyboardModifier) -> frozenset[Key]:
    """The modifier keys that gestures know."""
    names: tuple[tuple[Qt.KeyboardModifier, Key], ...] = (
        (Qt.KeyboardModifier.ShiftModifier, "shift"),
        (Qt.KeyboardModifier.ControlModifier, "ctrl"),
        (Qt.KeyboardModifier.AltModifier, "alt"),
    )
    return frozenset(name for flag, name in names if modifiers & flag)
