"""The files worked on lately, for the menu."""

from __future__ import annotations

from pathlib import Path

from app.settings import Settings

MOST = 10


class RecentFiles:
    """The list of recent files, kept in the settings; the latest first."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings

    def paths(self) -> tuple[Path, ...]:
        """Those that are still there."""
        return tuple(path for path in self._settings.recent if path.is_file())

    def add(self, path: Path) -> None:
        """Put a file on top; the oldest beyond ten are dropped."""
        path = path.absolute()
        others = [other for other in self._settings.recent if other != path]
        self._settings.recent = (path, *others)[:MOST]

    def clear(self) -> None:
        """Forget them all."""
        self._settings.recent = ()
