"""What is being typed: to be taken before the document is saved, left or replaced."""

from typing import Protocol, runtime_checkable

from PySide6.QtWidgets import QApplication


@runtime_checkable
class Entry(Protocol):
    """A widget in which something may be typed that nobody has taken yet."""

    def finish(self) -> None:
        """Take it now, as on Return."""


def finish_entry() -> None:
    """Take what is typed in the widget that has the focus, if it is a field of ours.

    Buttons of a toolbar and shortcuts leave the focus where it is, so nothing else would.
    """
    focused: object = QApplication.focusWidget()
    if isinstance(focused, Entry):
        focused.finish()
