"""The button that closes a window, everywhere with the same word and drawing."""

from PySide6.QtWidgets import QPushButton, QWidget

from app.icons import icon
from app.theme import theme_source


def close_button(parent: QWidget, text: str = "&Close") -> QPushButton:
    """A button that closes the window that `parent` is."""
    button = _CloseButton(text, parent)
    button.setAutoDefault(False)
    button.clicked.connect(parent.close)
    return button


class _CloseButton(QPushButton):
    """Has the cross of panels, in the theme's ink: the style's own is black in every theme."""

    def __init__(self, text: str, parent: QWidget) -> None:
        super().__init__(text, parent)
        self._ink()
        theme_source.changed.connect(self._ink)

    def _ink(self) -> None:
        self.setIcon(icon("close_panel", theme_source.theme))
