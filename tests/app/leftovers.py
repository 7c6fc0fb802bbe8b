"""Finds what a test left behind in Qt, and puts away what it must not leave."""

import gc
from collections.abc import Iterable
from typing import TypeVar

import shiboken6
from PySide6.QtCore import QObject, QThread, QTimer
from PySide6.QtWidgets import QApplication, QWidget

_W = TypeVar("_W", bound=QWidget)


class Keeper:
    """Takes widgets over from a test, to close and delete them at its end."""

    def __init__(self) -> None:
        self._kept: list[QWidget] = []

    def __call__(self, widget: _W) -> _W:
        """Take the widget; gives it back."""
        self._kept.append(widget)
        return widget

    def close(self) -> None:
        """Close and delete all, the last one first."""
        while self._kept:
            widget = self._kept.pop()
            if shiboken6.isValid(widget):
                widget.close()
                widget.deleteLater()


def identities(widgets: Iterable[QWidget]) -> set[int]:
    """What tells these widgets from others, even when Python wraps them anew."""
    return {shiboken6.getCppPointer(widget)[0] for widget in widgets}


def leftovers(app: QApplication, before: set[int]) -> list[str]:
    """Names of new top-level widgets, running threads and active timers.

    Timers and threads are looked for among the objects that Python has made since the last
    ``gc.freeze()`` and among the children of the application and of all windows.
    """
    windows = [widget for widget in app.topLevelWidgets() if _is_new(widget, before)]
    found = [f"window {_name(widget)}" for widget in windows]
    main = QThread.currentThread()
    for thing in _reachable(app):
        if isinstance(thing, QTimer) and thing.isActive():
            found.append(f"active timer {_name(thing)} of {_name(thing.parent())}")
        if isinstance(thing, QThread) and thing.isRunning() and thing is not main:
            found.append(f"running thread {_name(thing)}")
    return found


def _is_new(widget: QWidget, before: set[int]) -> bool:
    # The tool tip on show belongs to Qt, which keeps it for the next one.
    is_tip = widget.metaObject().className() == "QTipLabel"
    return shiboken6.getCppPointer(widget)[0] not in before and not is_tip


def _reachable(app: QApplication) -> list[QObject]:
    made = [thing for thing in gc.get_objects() if isinstance(thing, QTimer | QThread)]
    things: dict[int, QObject] = {id(thing): thing for thing in made}
    for root in (app, *app.topLevelWidgets()):
        for child in (*root.findChildren(QTimer), *root.findChildren(QThread)):
            things[id(child)] = child
    return [thing for thing in things.values() if shiboken6.isValid(thing)]


def _name(thing: QObject | None) -> str:
    if thing is None:
        return "nobody"
    return f"{type(thing).__name__}({thing.objectName()!r})"
