"""The menu with the studies: what its commands do, and when each can be used."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.findings import Switch, findings_of

if TYPE_CHECKING:
    from app.window import MainWindow

_SWITCHES: dict[str, Switch] = {
    "study_bands": "bands",
    "study_arrows": "arrows",
    "study_zone": "zone",
}
_PANELS = {"study_copies": "copies", "study_effects": "effects"}


class StudyCommands(QObject):
    """Connects the studies of a window's session to its menu, panels and notices."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._findings = findings_of(window.session)
        self._findings.switched.connect(self._check)
        self._findings.trouble.connect(window.notices.say)
        self._check()

    def work(self) -> dict[str, Callable[[], object]]:
        """What each command of the menu does, by its key."""
        return {
            **{key: partial(self._show_panel, panel) for key, panel in _PANELS.items()},
            **{key: partial(self._toggle, key) for key in _SWITCHES},
            "study_tolerances": self._tolerances,
            "study_tune": self._tune,
            "study_sweep": self._sweep,
        }

    def _show_panel(self, key: str) -> None:
        self._window.fill()
        dock = self._window.panels.docks[key]
        dock.show()
        dock.raise_()

    def _toggle(self, key: str) -> None:
        self._findings.switch(_SWITCHES[key], self._window.actions_by_key[key].isChecked())

    def _check(self) -> None:
        for key, switch in _SWITCHES.items():
            self._window.actions_by_key[key].setChecked(self._findings.is_on(switch))

    def _tolerances(self) -> None:
        from app.studies.tolerances import show_tolerances

        show_tolerances(self._window.session, self._window)

    def _tune(self) -> None:
        from app.studies.tuner import show_tuner

        show_tuner(self._window.session, self._window)

    def _sweep(self) -> None:
        from app.studies.sweep import show_sweep

        show_sweep(self._window.session, self._window)
