"""Whether a panel is on screen, also behind a tab."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDockWidget, QLabel, QMainWindow

from app.seen import Seen
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait


def test_a_panel_behind_a_tab_is_not_seen(keep: Keeper, wait: Wait) -> None:
    window = keep(QMainWindow())
    docks = [QDockWidget(name, window) for name in "ab"]
    for dock in docks:
        window.addDockWidget(Qt.DockWidgetArea.RightDockWidgetArea, dock)
    window.tabifyDockWidget(docks[0], docks[1])
    docks[0].raise_()
    window.show()
    wait.until(lambda: not docks[0].visibleRegion().isEmpty())
    panels = [QLabel(dock) for dock in docks]
    seen = [Seen(panel) for panel in panels]
    for dock, panel in zip(docks, panels, strict=True):
        dock.setWidget(panel)
    wait.until(lambda: bool(seen[0]))
    assert not seen[1]
    told: list[bool] = []
    seen[1].changed.connect(told.append)
    docks[1].raise_()
    wait.until(lambda: bool(seen[1]))
    assert not seen[0]
    docks[1].hide()
    assert told == [True, False]


def test_a_panel_without_a_dock_is_seen_while_shown(keep: Keeper) -> None:
    panel = keep(QLabel())
    seen = Seen(panel)
    assert not seen
    panel.show()
    assert seen
    panel.hide()
    assert not seen
