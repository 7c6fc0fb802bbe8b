"""The panels around the sketch as data, and the docks that hold them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QByteArray, QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QAbstractButton, QDockWidget, QMainWindow, QTabBar, QWidget

from app.icons import icon
from app.screen_room import is_small
from app.session import Session
from app.theme import theme_source

_Area = Qt.DockWidgetArea


@dataclass(frozen=True, slots=True)
class Place:
    """Where a panel stands at first: the side, and its share of that side's height (percent).

    `beside` is the key of the panel that it shares its place with, as a tab behind it. `least` is
    the height in pixels below which its content is of little use: no other panel takes it lower,
    and a smaller window only a little.
    """

    area: Qt.DockWidgetArea
    share: int = 0
    beside: str = ""
    least: int = 0


@dataclass(frozen=True, slots=True)
class Panel:
    """One panel: its key and title, its first place on a usual screen and on a small one.

    `wants` is the height in pixels that others lend it, where they can spare it, while it is in
    front. `make` builds the widget; modules are imported in there, so that the window is on screen
    before the plots are loaded.
    """

    key: str
    title: str
    usual: Place
    small: Place
    make: Callable[[Session, QWidget], QWidget]
    wants: int = 0


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


_LEFT_SIDE, _RIGHT_SIDE = _Area.LeftDockWidgetArea, _Area.RightDockWidgetArea
_BEHIND_PARTS = Place(_LEFT_SIDE, beside="parts")
_BEHIND_READINGS = Place(_RIGHT_SIDE, beside="readings")
_BEHIND_VERDICT = Place(_RIGHT_SIDE, beside="verdict")
_BEHIND_CURVES = Place(_RIGHT_SIDE, beside="curves")

PANELS: tuple[Panel, ...] = (
    Panel("parts", "Parts", Place(_LEFT_SIDE, 42), Place(_LEFT_SIDE, 100), _parts),
    Panel("variants", "Variants", _BEHIND_PARTS, _BEHIND_PARTS, _variants),
    Panel("inspector", "Numbers", Place(_LEFT_SIDE, 58), _BEHIND_PARTS, _inspector),
    Panel(
        "curves",
        "Curves",
        Place(_RIGHT_SIDE, 51, least=280),
        Place(_RIGHT_SIDE, 45, least=230),
        _curves,
    ),
    Panel("gauge", "Springs", Place(_RIGHT_SIDE, 17), _BEHIND_CURVES, _gauge),
    Panel(
        "verdict",
        "Verdict",
        Place(_Area.BottomDockWidgetArea, 100),
        Place(_RIGHT_SIDE, 55),
        _verdict,
    ),
    Panel("readings", "Readings", Place(_RIGHT_SIDE, 32), _BEHIND_CURVES, _readings),
    Panel("copies", "Copies", _BEHIND_READINGS, _BEHIND_VERDICT, _copies, wants=540),
    Panel("effects", "What matters", _BEHIND_READINGS, _BEHIND_VERDICT, _effects, wants=440),
    Panel("gaps", "Gaps", _BEHIND_READINGS, _BEHIND_CURVES, _gaps),
)

_LEFT, _LEFT_SMALL = 296, 226
"""Pixels that the left side takes at first: names and numbers need no more in a wide window."""
_RIGHT, _LEAST_RIGHT, _RIGHT_SMALL = 0.24, 320, 286
_BOTTOM = 0.21
"""Shares of the window: width of the right side, height of the bottom."""
_LENT = 1 / 6
"""Share of its height that a panel lends at most: what is looked at shall hardly change."""
_IN_ANY_WINDOW = 0.9
"""Share of its least height that a panel keeps in any window, and under the hand."""
_BUTTONS = {
    "qt_dockwidget_closebutton": "close_panel",
    "qt_dockwidget_floatbutton": "float_panel",
}
"""Qt's names for the buttons of a dock's title, and their drawings: its own are faint on slate.

It puts its own back where a dock floats or does no more, and where an arrangement is restored.
"""


@dataclass(frozen=True, slots=True)
class _Loan:
    """The room that a panel in front was lent: by whom, of what height before, how much."""

    panel: Panel
    lenders: tuple[tuple[QDockWidget, int, int], ...]


class Panels(QObject):
    """The docks of one window, for its present size. They are empty until `fill`."""

    arranged = Signal()
    """The panels went to their first places; `small` tells to which."""

    def __init__(self, window: QMainWindow, session: Session) -> None:
        super().__init__(window)
        self._window = window
        self._session = session
        self.docks: dict[str, QDockWidget] = {}
        self._loan: _Loan | None = None
        # Qt gives panels their sizes only after it has told which one came to the front.
        self._sharing = QTimer(self, singleShot=True, interval=0)
        self._sharing.timeout.connect(self._share_anew)
        self.small = is_small(window)
        window.setCorner(Qt.Corner.BottomLeftCorner, _Area.LeftDockWidgetArea)
        window.setCorner(Qt.Corner.BottomRightCorner, _Area.RightDockWidgetArea)
        for panel in PANELS:
            dock = QDockWidget(panel.title, window)
            dock.setObjectName(f"panel_{panel.key}")
            dock.setAccessibleName(panel.title)
            dock.toggleViewAction().setToolTip(f"Show or hide the panel “{panel.title}”")
            self.docks[panel.key] = dock
            dock.topLevelChanged.connect(self._ink_buttons)
            if panel.wants:
                dock.visibilityChanged.connect(self._sharing.start)
        self._place()
        self._ink_buttons()
        theme_source.changed.connect(self._ink_buttons)

    def fill(self) -> None:
        """Make the widgets of the panels that have none yet."""
        for panel in PANELS:
            dock = self.docks[panel.key]
            if dock.widget() is None:
                dock.setWidget(panel.make(self._session, dock))
        self._sharing.start()

    def reset(self) -> None:
        """Every panel visible and where it is at first in a window of this size."""
        self._loan = None
        self.small = is_small(self._window)
        self.arranged.emit()
        for dock in self.docks.values():
            self._window.removeDockWidget(dock)
            dock.setFloating(False)
        self._place()
        self.share_out()

    def restore(self, state: QByteArray) -> bool:
        """Arrange panels and toolbars as they were kept; whether that could be done."""
        restored = self._window.restoreState(state)
        self._ink_buttons()
        return restored

    def share_out(self) -> None:
        """Give every panel its first share of the window's present size."""
        width, height = self._window.width(), self._window.height()
        right = _RIGHT_SMALL if self.small else max(round(width * _RIGHT), _LEAST_RIGHT)
        sides = {_LEFT_SIDE: _LEFT_SMALL if self.small else _LEFT, _RIGHT_SIDE: right}
        for area, side in sides.items():
            inside = self._in_front(area)
            docks = [self.docks[key] for key, _ in inside]
            shares = [max(round(height * at.share / 100), at.least) for _, at in inside]
            self._window.resizeDocks(docks, shares, Qt.Orientation.Vertical)
            self._window.resizeDocks(docks[:1], [side], Qt.Orientation.Horizontal)
        bottom = [self.docks[key] for key, _ in self._in_front(_Area.BottomDockWidgetArea)]
        self._window.resizeDocks(
            bottom, [round(height * _BOTTOM)] * len(bottom), Qt.Orientation.Vertical
        )

    def bring_up(self, key: str) -> QDockWidget:
        """Show a panel, in front of those that it shares its place with."""
        dock = self.docks[key]
        dock.show()
        dock.raise_()
        return dock

    def give_back(self) -> None:
        """Take from the panel in front the room that it was lent, as before it came there.

        A panel that has been made higher since gets no more than it lacks.
        """
        loan, self._loan = self._loan, None
        if loan is None:
            return
        dock = self.docks[loan.panel.key]
        stacked = self._stacked_with(dock)
        lenders = [lender for lender in loan.lenders if lender[0] in stacked]
        due = [min(max(before - other.height(), 0), lent) for other, before, lent in lenders]
        docks = [other for other, _, _ in lenders]
        heights = [other.height() + back for other, back in zip(docks, due, strict=True)]
        self._resize([*docks, dock], [*heights, self._front(dock).height() - sum(due)])

    def _share_anew(self) -> None:
        """Lend room to the panel in front that wants some; what another was lent goes back."""
        front = [panel for panel in PANELS if panel.wants and self._is_in_front(panel)]
        if self._loan is not None and self._loan.panel in front:
            return
        self.give_back()
        for panel in front[:1]:
            self._lend(panel)

    def _is_in_front(self, panel: Panel) -> bool:
        dock = self.docks[panel.key]
        return not (dock.isFloating() or dock.visibleRegion().isEmpty()) and bool(dock.widget())

    def _front(self, dock: QDockWidget) -> QDockWidget:
        """The dock that is seen of those that share a place."""
        group = (dock, *self._window.tabifiedDockWidgets(dock))
        return next((each for each in group if not each.visibleRegion().isEmpty()), dock)

    def _lend(self, panel: Panel) -> None:
        """Give a panel that came to the front the height that it wants; it never loses any.

        The highest of those above and below it gives what it can spare, then the next.
        """
        dock = self.docks[panel.key]
        lacking = panel.wants - dock.height()
        if lacking <= 0:
            return
        others = sorted(self._stacked_with(dock), key=QDockWidget.height, reverse=True)
        lenders = []
        for other in others:
            height = other.height()
            spare = min(height - self._least(other), round(_LENT * height))
            lent = min(max(spare, 0), lacking)
            lenders.append((other, height, lent))
            lacking -= lent
        self._loan = _Loan(panel, tuple(lenders))
        heights = [height - lent for _, height, lent in lenders]
        self._resize([*others, dock], [*heights, panel.wants - lacking])

    def _least(self, dock: QDockWidget) -> int:
        """The height below which a dock lends nothing."""
        at = next(self._at(panel) for panel in PANELS if self.docks[panel.key] is dock)
        return max(at.least, dock.minimumSizeHint().height())

    def _resize(self, docks: list[QDockWidget], heights: list[int]) -> None:
        """Give docks their heights; to Qt those of a group are with its tabs."""
        whole = [height + self._tabs(dock) for dock, height in zip(docks, heights, strict=True)]
        self._window.resizeDocks(docks, whole, Qt.Orientation.Vertical)
        if (layout := self._window.layout()) is not None:
            layout.activate()

    def _tabs(self, dock: QDockWidget) -> int:
        """The height of the tabs under a dock, 0 where it stands alone."""
        if not self._window.tabifiedDockWidgets(dock):
            return 0
        return max(
            (
                bar.height()
                for bar in self._tab_bars()
                for at in range(bar.count())
                if bar.tabText(at) == dock.windowTitle()
            ),
            default=0,
        )

    def _tab_bars(self) -> list[QTabBar]:
        """The tabs of all groups, those of groups that are no more among them."""
        return self._window.findChildren(QTabBar, options=Qt.FindChildOption.FindDirectChildrenOnly)

    def _stacked_with(self, dock: QDockWidget) -> list[QDockWidget]:
        """The docks in view above and below one, on its side."""
        behind = self._window.tabifiedDockWidgets(dock)
        area = self._window.dockWidgetArea(dock)
        return [
            other
            for other in self.docks.values()
            if other is not dock
            and other not in behind
            and not other.isFloating()
            and self._window.dockWidgetArea(other) == area
            and not other.visibleRegion().isEmpty()
        ]

    def _at(self, panel: Panel) -> Place:
        return panel.small if self.small else panel.usual

    def _in_front(self, area: Qt.DockWidgetArea) -> list[tuple[str, Place]]:
        """The panels of one side that stand behind no other, with their places."""
        places = [(panel.key, self._at(panel)) for panel in PANELS]
        return [(key, at) for key, at in places if at.area == area and not at.beside]

    def _ink_buttons(self) -> None:
        for name, drawing in _BUTTONS.items():
            ink = icon(drawing, theme_source.theme)
            for dock in self.docks.values():
                button = dock.findChild(QAbstractButton, name)
                if isinstance(button, QAbstractButton):
                    button.setIcon(ink)

    def _place(self) -> None:
        places = [(self.docks[panel.key], self._at(panel)) for panel in PANELS]
        for dock, at in places:
            dock.setMinimumHeight(round(_IN_ANY_WINDOW * at.least))
            self._window.addDockWidget(at.area, dock)
            if at.beside:
                self._window.tabifyDockWidget(self.docks[at.beside], dock)
            dock.show()
        for _, at in places:
            if at.beside:
                self.docks[at.beside].raise_()
        # Qt leaves the tabs of a group on screen that is no more; it shows again those in use.
        for tabs in self._tab_bars():
            tabs.hide()
