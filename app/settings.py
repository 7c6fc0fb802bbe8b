"""What the program remembers of its user between runs, and where it keeps it.

Everything lies in the folders that the desktop gives to programs, or all of it in the folder
named by the environment variable THROWOVER_HOME (a stick, a test).
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Literal, cast, get_args

from PySide6.QtCore import QByteArray, QSettings, QStandardPaths

from app.theme import Choice
from solver.project import AngleFrom, Display, Units

HOME = "THROWOVER_HOME"
Room = Literal["usual", "small"]
"""A window keeps an arrangement for each, as a laptop goes to and from a large screen."""
_LAYOUTS: dict[Room, str] = {"usual": "window", "small": "window_small"}
LAYOUT_VERSION = 2
"""Raised when the docks change so much that an old arrangement no longer fits."""


def data_folder() -> Path:
    """Where recovery files lie; not necessarily there yet."""
    return _folder(QStandardPaths.StandardLocation.GenericDataLocation)


def settings_file() -> Path:
    """The file of the settings; not necessarily there yet."""
    return _folder(QStandardPaths.StandardLocation.GenericConfigLocation) / "settings.ini"


def _folder(standard: QStandardPaths.StandardLocation) -> Path:
    own = os.environ.get(HOME)
    return Path(own) if own else Path(QStandardPaths.writableLocation(standard)) / "throwover"


class Settings:
    """Typed access to the settings file; what is missing or damaged reads as its default."""

    def __init__(self, file: Path | None = None) -> None:
        path = file or settings_file()
        self._store = QSettings(str(path), QSettings.Format.IniFormat)

    @property
    def theme(self) -> Choice:
        """Light, dark or as the desktop has it."""
        return cast("Choice", self._one_of("look/theme", get_args(Choice), "system"))

    @theme.setter
    def theme(self, choice: Choice) -> None:
        self._store.setValue("look/theme", choice)

    @property
    def snap(self) -> float:
        """The grid that dragged points keep to, mm; 0 is off."""
        try:
            snap = float(str(self._store.value("sketch/snap", "1")))
        except ValueError:
            return 1.0
        return snap if 0.0 <= snap <= 1000.0 else 1.0

    @snap.setter
    def snap(self, snap: float) -> None:
        self._store.setValue("sketch/snap", snap)

    @property
    def display(self) -> Display:
        """Units and angles for projects begun from a layout."""
        units = cast("Units", self._one_of("units/system", get_args(Units), "metric"))
        angle = cast("AngleFrom", self._one_of("units/angle_from", get_args(AngleFrom), "upright"))
        return Display(units, angle)

    @display.setter
    def display(self, display: Display) -> None:
        self._store.setValue("units/system", display.units)
        self._store.setValue("units/angle_from", display.angle_from)

    @property
    def recent(self) -> tuple[Path, ...]:
        """Files opened or saved, the latest first."""
        count = self._store.beginReadArray("recent")
        paths = []
        for index in range(min(count, 100)):
            self._store.setArrayIndex(index)
            paths.append(str(self._store.value("path", "")))
        self._store.endArray()
        return tuple(Path(path) for path in paths if path)

    @recent.setter
    def recent(self, paths: Sequence[Path]) -> None:
        self._store.remove("recent")
        self._store.beginWriteArray("recent", len(paths))
        for index, path in enumerate(paths):
            self._store.setArrayIndex(index)
            self._store.setValue("path", str(path))
        self._store.endArray()

    @property
    def folder(self) -> Path:
        """Where the file dialogs start."""
        kept = Path(str(self._store.value("files/folder", "")) or Path.home())
        return kept if kept.is_dir() else Path.home()

    @folder.setter
    def folder(self, folder: Path) -> None:
        self._store.setValue("files/folder", str(folder))

    def layout(self, room: Room) -> tuple[QByteArray, QByteArray] | None:
        """The window's geometry and the arrangement of its docks, as Qt packs them."""
        where = _LAYOUTS[room]
        geometry, state = (self._store.value(f"{where}/{key}") for key in ("geometry", "state"))
        version = str(self._store.value(f"{where}/version", ""))
        if version != str(LAYOUT_VERSION):
            return None
        if isinstance(geometry, QByteArray) and isinstance(state, QByteArray):
            return geometry, state
        return None

    def keep_layout(self, room: Room, geometry: QByteArray, state: QByteArray) -> None:
        """Remember both for the next run in such a room."""
        where = _LAYOUTS[room]
        self._store.setValue(f"{where}/geometry", geometry)
        self._store.setValue(f"{where}/state", state)
        self._store.setValue(f"{where}/version", LAYOUT_VERSION)

    def sync(self) -> None:
        """Write now what was set."""
        self._store.sync()

    def _one_of(self, key: str, allowed: tuple[str, ...], default: str) -> str:
        value = str(self._store.value(key, default))
        return value if value in allowed else default
