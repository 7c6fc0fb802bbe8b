"""The menu with the papers for the workshop: what its commands do."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

if TYPE_CHECKING:
    from app.window import MainWindow
    from app.workshop.papers import Key
    from app.workshop.preview import Preview


class WorkshopCommands(QObject):
    """Opens the preview of a window's session."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._preview: Preview | None = None

    def work(self) -> dict[str, Callable[[], object]]:
        """What each command of the menu does, by its key."""
        papers: tuple[Key, ...] = ("sheet", "template", "outlines", "parts", "report")
        return {
            **{f"workshop_{key}": partial(self._open, key) for key in papers},
            "workshop_gaps": self._show_gaps,
            "workshop_print": self._print,
        }

    def _open(self, key: Key) -> None:
        self.preview().open(key)

    def _print(self) -> None:
        self.preview().print(self.preview().paper.key)

    def _show_gaps(self) -> None:
        self._window.fill()
        dock = self._window.panels.docks["gaps"]
        dock.show()
        dock.raise_()

    def preview(self) -> Preview:
        """The preview window, made when first wanted."""
        from app.workshop.preview import Preview

        if self._preview is None:
            self._preview = Preview(self._window.session, self._window.settings, self._window)
        return self._preview
