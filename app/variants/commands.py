"""The menu with the variants: what its commands do, and when each can be used."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QRectF

from app.variants.desk import desk_of
from app.variants.menus import add_file, fill_layouts

if TYPE_CHECKING:
    from app.variants.panel import VariantsPanel
    from app.variants.side_by_side import SideBySide
    from app.window import MainWindow

_SMALL = 0.25
"""Share of the sketch below which a linkage is too small to be worked on."""


class VariantCommands(QObject):
    """Connects the variants of a window's session to its menu, its sketch and its notices."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._desk = desk_of(window.session)
        self._beside: SideBySide | None = None
        self._able: dict[str, bool] = {}
        self._desk.failed.connect(window.notices.say)
        self._desk.switched.connect(self._bring_into_view)
        self._desk.compare_requested.connect(self.compare)
        window.session.document.changed.connect(self._enable)
        menu = window.menus["variant_layouts"]
        menu.setToolTipsVisible(True)
        fill_layouts(menu, self._desk)
        self._enable()

    def work(self) -> dict[str, Callable[[], object]]:
        """What each command of the menu does, by its key."""
        desk = self._desk
        return {
            "variant_keep": desk.keep,
            "variant_branch": desk.branch,
            "variant_next": partial(desk.step, 1),
            "variant_before": partial(desk.step, -1),
            "variant_rename": lambda: self._panel().rename(),
            "variant_note": lambda: self._panel().write_note(),
            "variant_up": partial(desk.move, -1),
            "variant_down": partial(desk.move, 1),
            "variant_delete": desk.delete,
            "variant_file": self._add_file,
            "variant_compare": self.compare,
        }

    def compare(self) -> None:
        """Show the variants side by side in a window of their own."""
        from app.variants.side_by_side import SideBySide

        if self._beside is None:
            self._beside = SideBySide(self._window.session, self._window)
        self._beside.open()

    def _panel(self) -> VariantsPanel:
        """The panel, brought to the front."""
        from app.variants.panel import VariantsPanel

        self._window.fill()
        dock = self._window.panels.docks["variants"]
        dock.show()
        dock.raise_()
        panel = dock.widget()
        assert isinstance(panel, VariantsPanel)
        return panel

    def _add_file(self) -> None:
        add_file(self._window, self._desk, self._window.settings.folder)

    def _bring_into_view(self) -> None:
        """Fit the sketch where the variant that came on the sheet lies outside of it."""
        canvas = self._window.canvas
        box = canvas.picture.box
        if box is None:
            return
        left, low, right, high = box
        seen = canvas.visible_area()
        shown = QRectF(left, low, right - left, high - low)
        small = max(shown.width() / seen.width(), shown.height() / seen.height()) < _SMALL
        if small or not seen.contains(shown):
            canvas.fit()

    def _enable(self) -> None:
        project = self._desk.project
        at, last = project.current, len(project.variants) - 1
        able = {
            "variant_next": last > 0,
            "variant_before": last > 0,
            "variant_compare": last > 0,
            "variant_delete": last > 0,
            "variant_up": at > 0,
            "variant_down": at < last,
        }
        if able != self._able:
            self._able = able
            for key, usable in able.items():
                self._window.actions_by_key[key].setEnabled(usable)
