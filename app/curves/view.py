"""Energy and effort over the travel, with a cursor that is the lever."""

from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QSize, Qt, QTimer
from PySide6.QtGui import QFont, QFontMetricsF, QKeyEvent, QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app import mark_styles
from app.calm import PAUSE, QUICK_FROM
from app.curves.axis import Axis
from app.curves.heading import Heading
from app.curves.pane import Curve, Mark, Marks, Pane
from app.curves.ribbons import NOTE, effort_ribbons, energy_ribbons
from app.curves.scale import Scale, following, round_step, span_of
from app.curves.wishes import effort_labels, energy_labels
from app.findings import findings_of
from app.session import Session
from app.theme import theme_source
from app.whereabouts import place
from solver import units
from solver.analysis import Analysis

_EDGE = 0.02
"""Room left and right of the rests, as a part of the throw."""

_NOTHING = "There is nothing to plot until the design can be solved."


class Curves(QWidget):
    """Two plots, one above the other, over the lever's travel from rest A in degrees.

    Above the potential energy, below the effort at the grip each way with friction. Pressing or
    dragging in a plot moves the lever there; so do the arrow keys, Home and End.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._findings = findings_of(session)
        self._stale = True
        self._efforts: tuple[Curve, Curve] = (np.zeros(0), np.zeros(0))
        self._energy: Curve = np.zeros(0)
        self._banding = QTimer(self, singleShot=True, interval=PAUSE)
        self._banding.timeout.connect(self._band)
        self._build()
        self._set_theme()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Curves of energy and effort over the lever's travel")
        self.setToolTip(
            "Press or drag in a plot to move the lever; arrow keys, Home and End do it too.\n"
            "Effort above 0: the hand pushes. Below 0: the lever pulls the hand along."
        )
        session.updated.connect(self._update)
        session.document.rested.connect(self._rest)
        # Placing names takes longer than drawing curves: no step of a drag has both to wait for.
        session.calm.follow(self._read_out)
        session.calm.follow(self._label_energy)
        session.calm.follow(self._label_effort)
        self._findings.changed.connect(self._found)
        self._findings.switched.connect(self._band)
        session.pose_changed.connect(self._follow_pose)
        session.pose_changed.connect(self._read_out)
        theme_source.changed.connect(self._set_theme)

    def _build(self) -> None:
        theme, font = theme_source.theme, self._plot_font()
        self._view: Any = pg.GraphicsView(self, background=None)
        self._view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._view.setCacheMode(pg.GraphicsView.CacheModeFlag.CacheNone)
        self.energy = Pane(theme, font, self._session.set_travel)
        self._travel_axis = Axis(theme, font, below=True)
        self.effort = Pane(theme, font, self._session.set_travel, self._travel_axis)
        self._axis_width = round(QFontMetricsF(font).horizontalAdvance("−00 000")) + 8
        self._headings = [
            Heading(theme, font, name, self._axis_width) for name in ("Energy", "Effort", "Travel")
        ]
        self._headings[1].note = "above 0 the hand pushes, below 0 the lever pulls"
        self._lay_out()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._view)

    def _lay_out(self) -> None:
        layout: Any = pg.GraphicsLayout()
        layout.setContentsMargins(4, 2, 8, 2)
        layout.setSpacing(0)
        above, between, below = self._headings
        layout.addItem(above.holder, 0, 0, colspan=2)
        layout.addItem(self.energy.axis.holder, 1, 0)
        layout.addItem(self.energy.box, 1, 1)
        layout.addItem(between.holder, 2, 0, colspan=2)
        layout.addItem(self.effort.axis.holder, 3, 0)
        layout.addItem(self.effort.box, 3, 1)
        layout.addItem(self._travel_axis.holder, 4, 1)
        layout.addItem(below.holder, 5, 0, colspan=2)
        for pane in (self.energy, self.effort):
            pane.axis.set_width(self._axis_width)
        self._view.setCentralItem(layout)

    def sizeHint(self) -> QSize:
        """Room for both plots."""
        return QSize(520, 420)

    def minimumSizeHint(self) -> QSize:
        """Small enough for a narrow dock."""
        return QSize(240, 190)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while hidden."""
        super().showEvent(event)
        if self._stale:
            self._update()
            self._band()
            self._read_out()
            self._label()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the application's font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_theme()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the lever: a degree, ten with Shift, a tenth with Control; Home and End."""
        analysis = self._session.analysis
        strides = {Qt.Key.Key_Left: -1.0, Qt.Key.Key_Right: 1.0}
        if analysis is None or event.key() not in (*strides, Qt.Key.Key_Home, Qt.Key.Key_End):
            super().keyPressEvent(event)
        elif event.key() in strides:
            stride = strides[Qt.Key(event.key())]
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                stride *= 10
            elif event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                stride /= 10
            self._session.set_travel(self._session.travel() + stride)
        else:
            self._session.set_travel(0.0 if event.key() == Qt.Key.Key_Home else analysis.throw)

    def _update(self) -> None:
        """Show the session's analysis."""
        self._stale = not self.isVisible()
        if self._stale:
            return
        analysis = self._session.analysis
        if analysis is None:
            self._show_nothing()
            return
        if self.devicePixelRatioF() != self.energy.ratio:
            self._set_pens()
        self._take_curves(analysis)
        if self._banding.isActive():
            self._band()
        self._set_scales(analysis)
        self._set_marks(analysis)
        self._follow_pose()

    def _rest(self) -> None:
        """The hand has let go: show the curves finely, at the scales that fit them."""
        self._update()
        self._label()

    def _label(self) -> None:
        """Name what the curves show."""
        self._label_energy()
        self._label_effort()

    def _label_energy(self) -> None:
        analysis = self._session.analysis
        if analysis is None or self._stale:
            return
        self._name_units()
        display = self._session.display
        self.energy.wishes = lambda pane: energy_labels(pane, analysis, display)
        self.energy.place_labels()

    def _label_effort(self) -> None:
        analysis = self._session.analysis
        if analysis is None or self._stale:
            return
        display, efforts = self._session.display, self._efforts
        self.effort.wishes = lambda pane: effort_labels(pane, analysis, display, efforts)
        self.effort.place_labels()

    def _show_nothing(self) -> None:
        self.energy.clear(_NOTHING)
        self.effort.clear("")
        for heading in self._headings:
            heading.say("", "")
        self.setAccessibleDescription(_NOTHING)

    def _take_curves(self, analysis: Analysis) -> None:
        display = self._session.display
        force = units.factor("force", display)
        self._energy = analysis.energy * units.factor("energy", display)
        self._efforts = (analysis.effort_to_b * force, analysis.effort_to_a * force)
        self.energy.labels.message = self.effort.labels.message = ""
        quick = self._session.document.in_gesture and self.energy.ratio >= QUICK_FROM
        for pane, curves in ((self.energy, [self._energy]), (self.effort, self._efforts)):
            pane.set_quick(quick)
            pane.set_curves(analysis.travel, curves)

    def _set_scales(self, analysis: Analysis) -> None:
        edge = _EDGE * analysis.throw
        step = round_step(analysis.throw, 8)
        along = Scale(-edge, analysis.throw + edge, step)
        banded = [
            [edge for ribbon in pane.ribbons for edge in (ribbon.low, ribbon.high)]
            for pane in (self.energy, self.effort)
        ]
        moving = self._session.document.in_gesture
        spans = (
            span_of(self._energy, *banded[0], with_zero=True),
            span_of(*self._efforts, *banded[1], with_zero=True),
        )
        for pane, span in zip((self.energy, self.effort), spans, strict=True):
            pane.set_scales(along, following(*span, pane.y if moving else None))

    def _band(self) -> None:
        """Fill the bands of copies behind the curves, or none."""
        self._banding.stop()
        before = bool(self.energy.ribbons), self.energy.y, self.effort.y
        spread = self._findings.spread if self._findings.is_on("bands") else None
        analysis, display, theme = self._session.analysis, self._session.display, theme_source.theme
        if self._stale or spread is None or analysis is None:
            self.energy.set_ribbons(())
            self.effort.set_ribbons(())
        else:
            self.energy.set_ribbons(energy_ribbons(spread.bands, display, theme))
            self.effort.set_ribbons(effort_ribbons(spread.bands, display, theme))
            self._set_scales(analysis)
        if before[0] != bool(self.energy.ribbons):
            self._update()
            self._label()
        elif before[1:] != (self.energy.y, self.effort.y) and not self._session.document.in_gesture:
            self._label()  # the names stood where the curves were at the scales before

    def _found(self, study: str) -> None:
        if study != "spread":
            pass
        elif self._session.document.in_gesture:
            self._banding.start()  # the next step of the drag paints all of it anyway
        else:
            self._band()

    def _set_marks(self, analysis: Analysis) -> None:
        theme = theme_source.theme
        lines = [
            Mark(0.0, theme.rest_a, mark_styles.REST_A),
            Mark(analysis.throw, theme.rest_b, mark_styles.REST_B),
        ]
        if analysis.dead_centre is not None:
            lines.append(Mark(analysis.dead_centre, theme.dead_centre, mark_styles.DEAD_CENTRE))
        bands = tuple((zone.start, zone.end) for zone in analysis.hang_zones)
        commits = ((analysis.commit_from_a, 1), (analysis.commit_from_b, -1))
        arrows = tuple((travel, way) for travel, way in commits if travel is not None)
        self.energy.set_marks(Marks(tuple(lines), bands))
        self.effort.set_marks(Marks(tuple(lines), bands, arrows))

    def _name_units(self) -> None:
        display = self._session.display
        above, between, below = self._headings
        names = (
            units.unit_of("energy", display),
            f"{units.unit_of('force', display)} at the grip",
            f"{units.unit_of('angle', display)} from rest A",
        )
        for heading, unit in zip((above, between, below), names, strict=True):
            if heading.unit != unit:
                heading.unit = unit
                heading.update()
        stale = self._session.problem is not None
        note = NOTE if self.energy.ribbons else ""
        note = "of the last design that could be solved" if stale else note
        if above.note != note:
            above.note = note
            above.update()

    def _follow_pose(self) -> None:
        """Put the cursor where the lever is."""
        analysis = self._session.analysis
        if analysis is None or self._stale:
            return
        travel, (energy, *efforts) = self._at_cursor(analysis)
        self.energy.move_cursor(travel, [energy])
        self.effort.move_cursor(travel, efforts)

    def _at_cursor(self, analysis: Analysis) -> tuple[float, list[float]]:
        """The lever's travel, and energy and efforts there as they are shown."""
        travel = min(max(self._session.travel(), 0.0), analysis.throw)
        curves = (self._energy, *self._efforts)
        return travel, [float(np.interp(travel, analysis.travel, curve)) for curve in curves]

    def _read_out(self) -> None:
        """Tell in words where the lever is and what the curves have there."""
        analysis = self._session.analysis
        if analysis is None or self._stale:
            return
        travel, (energy, to_b, to_a) = self._at_cursor(analysis)
        display = self._session.display
        force, work = units.factor("force", display), units.factor("energy", display)
        grip = float(np.interp(travel, analysis.travel, analysis.grip_travel))
        where = place(travel, analysis)
        angle = units.show(travel, "angle", display)
        name = "" if where.endswith("°") else f"{where}, "
        pushes = [units.number(effort / force, "force", display) for effort in (to_b, to_a)]
        unit, path = units.unit_of("force", display), units.show(grip, "length", display)
        texts = (
            units.show(energy / work, "energy", display),
            f"A → B {pushes[0]} {unit}    B → A {pushes[1]} {unit}",
            f"{name}{angle} = {path} at the grip",
        )
        shorts = (texts[0], f"A→B {pushes[0]}  B→A {pushes[1]}", f"{angle} = {path}")
        for heading, text, short in zip(self._headings, texts, shorts, strict=True):
            heading.say(text, short)
        self.setAccessibleDescription(
            f"Lever at {texts[2]}. Energy {texts[0]}. Effort at the grip {texts[1]}."
        )

    def _set_theme(self) -> None:
        theme, font = theme_source.theme, self._plot_font()
        self._view.setBackground(theme.paper)
        self._set_pens()
        for heading in self._headings:
            heading.theme = theme
            heading.set_font(font)
            heading.update()
        for pane in (self.energy, self.effort):
            pane.set_font(font)
            pane.set_theme(theme)
        self._update()
        self._band()
        self._label()

    def _set_pens(self) -> None:
        """Lines as wide on any screen as on one whose pixels are whole."""
        theme, ratio = theme_source.theme, self.devicePixelRatioF()
        self.energy.ratio = self.effort.ratio = ratio
        self.energy.set_pens([mark_styles.pen_of(theme.ink, Qt.PenStyle.SolidLine, ratio)])
        self.effort.set_pens(
            [
                mark_styles.pen_of(theme.rest_a, Qt.PenStyle.SolidLine, ratio),
                mark_styles.pen_of(theme.rest_b, Qt.PenStyle.DashLine, ratio),
            ]
        )

    def _plot_font(self) -> QFont:
        font = QFont(self.font())
        if font.pointSizeF() > 0:
            font.setPointSizeF(0.94 * font.pointSizeF())
        return font
