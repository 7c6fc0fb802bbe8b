"""The panels around the sketch as data, and the docks that hold them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QAbstractButton, QDockWidget, QMainWindow, QWidget

from app.icons import icon
from app.session import Session
from app.theme import theme_source

_Area = Qt.DockWidgetArea


@dataclass(frozen=True, slots=True)
class Panel:
    """One panel: its key and title, where it stands at first, its share of that side (percent).

    `least` is the height in pixels below which its content would need scrolling. `beside` is the
    key of the panel that it shares its place with, as a tab behind it. `make` builds the widget;
    modules are imported in there, so that the window is on screen before the plots are loaded.
    """

    key: str
    title: str
    area: Qt.DockWidgetArea
    share: int
    make: Callable[[Session, QWidget], QWidget]
    least: int = 0
    beside: str = ""


def _parts(session: Session, parent: QWidget) -> QWidget:
    from app.parts import PartsList

    return PartsList(session, parent)


def _inspector(session: Session, parent: QWidget) -> QWidget:
    from app.inspector import Inspector

    return Inspector(session, parent)


def _variants(session: Session, parent: QWidget) -> QWidget:
    from app.variants.panel import VariantsPanel

    return VariantsPanel(session, parent)


def _verdict(session: Session, parent: QWidget) -> QWidget:
    from app.verdict import VerdictPanel

    return VerdictPanel(session, parent)


def _curves(session: Session, parent: QWidget) -> QWidget:
    from app.curves import Curves

    return Curves(session, parent)


def _gauge(session: Session, parent: QWidget) -> QWidget:
    from app.gauge import SpringGauge

    return SpringGauge(session, parent)


def _readings(session: Session, parent: QWidget) -> QWidget:
    from app.readings import ReadingsTable

    return ReadingsTable(session, parent)


def _copies(session: Session, parent: QWidget) -> QWidget:
    from app.studies.copies import CopiesPanel

    return CopiesPanel(session, parent)


def _effects(session: Session, parent: QWidget) -> QWidget:
    from app.studies.effects import EffectsPanel

    return EffectsPanel(session, parent)


def _gaps(session: Session, parent: QWidget) -> QWidget:
    from app.workshop.gaps import GapsPanel

    return GapsPanel(session, parent)


PANELS: tuple[Panel, ...] = (
    Panel("parts", "Parts", _Area.LeftDockWidgetArea, 42, _parts),
    Panel("variants", "Variants", _Area.LeftDockWidgetArea, 42, _variants, beside="parts"),
    Panel("inspector", "Numbers", _Area.LeftDockWidgetArea, 58, _inspector),
    Panel("verdict", "Verdict", _Area.BottomDockWidgetArea, 100, _verdict),
    Panel("curves", "Curves", _Area.RightDockWidgetArea, 51, _curves),
    Panel("gauge", "Springs", _Area.RightDockWidgetArea, 17, _gauge, 176),
    Panel("readings", "Readings", _Area.RightDockWidgetArea, 32, _readings),
    Panel("copies", "Copies", _Area.RightDockWidgetArea, 32, _copies, beside="readings"),
    Panel("effects", "What matters", _Area.RightDockWidgetArea, 32, _effects, beside="readings"),
    Panel("gaps", "Gaps", _Area.RightDockWidgetArea, 32, _gaps, beside="readings"),
)

_LEFT = 296
"""Pixels that the left side takes at first: names and numbers need no more in a wide window."""
_RIGHT, _LEAST_RIGHT = 0.24, 320
_BOTTOM = 0.21
"""Shares of the window: width of the right side, height of the bottom."""
_BUTTONS = {
    "qt_dockwidget_closebutton": "close_panel",
    "qt_dockwidget_floatbutton": "float_panel",
}
"""Qt's names for the buttons of a dock's title, and their drawings: its own are faint on slate."""


class Panels(QObject):
    """The docks of one window. They are empty until `fill`."""

    def __init__(self, window: QMainWindow, session: Session) -> None:
        super().__init__(window)
        self._window = window
        self._session = session
        self.docks: dict[str, QDockWidget] = {}
        window.setCorner(Qt.Corner.BottomLeftCorner, _Area.LeftDockWidgetArea)
        window.setCorner(Qt.Corner.BottomRightCorner, _Area.RightDockWidgetArea)
        for panel in PANELS:
            dock = QDockWidget(panel.title, window)
            dock.setObjectName(f"panel_{panel.key}")
            dock.setAccessibleName(panel.title)
            dock.toggleViewAction().setToolTip(f"Show or hide the panel “{panel.title}”")
            self.docks[panel.key] = dock
        self._place()
        self._ink_buttons()
        theme_source.changed.connect(self._ink_buttons)

    def fill(self) -> None:
        """Make the widgets of the panels that have none yet."""
        for panel in PANELS:
            dock = self.docks[panel.key]
            if dock.widget() is None:
                dock.setWidget(panel.make(self._session, dock))

    def reset(self) -> None:
        """Every panel visible and where it was at first."""
        for dock in self.docks.values():
            self._window.removeDockWidget(dock)
            dock.setFloating(False)
        self._place()
        self.share_out()

    def share_out(self) -> None:
        """Give every panel its first share of the window's present size."""
        width, height = self._window.width(), self._window.height()
        sides = {
            _Area.LeftDockWidgetArea: _LEFT,
            _Area.RightDockWidgetArea: max(round(width * _RIGHT), _LEAST_RIGHT),
        }
        for area, side in sides.items():
            inside = [panel for panel in PANELS if panel.area == area and not panel.beside]
            docks = [self.docks[panel.key] for panel in inside]
            shares = [max(round(height * panel.share / 100), panel.least) for panel in inside]
            self._window.resizeDocks(docks, shares, Qt.Orientation.Vertical)
            self._window.resizeDocks(docks[:1], [side], Qt.Orientation.Horizontal)
        bottom = [
            self.docks[panel.key]
            for panel in PANELS
            if panel.area == _Area.BottomDockWidgetArea and not panel.beside
        ]
        self._window.resizeDocks(
            bottom, [round(height * _BOTTOM)] * len(bottom), Qt.Orientation.Vertical
        )

    def _ink_buttons(self) -> None:
        for name, drawing in _BUTTONS.items():
            ink = icon(drawing, theme_source.theme)
            for dock in self.docks.values():
                button = dock.findChild(QAbstractButton, name)
                if isinstance(button, QAbstractButton):
                    button.setIcon(ink)

    def _place(self) -> None:
        for panel in PANELS:
            dock = self.docks[panel.key]
            self._window.addDockWidget(panel.area, dock)
            if panel.beside:
                self._window.tabifyDockWidget(self.docks[panel.beside], dock)
            dock.show()
        for panel in PANELS:
            if panel.beside:
                self.docks[panel.beside].raise_()
