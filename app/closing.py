"""The button that closes a window, everywhere with the same word and drawing."""

from PySide6.QtWidgets import QPushButton, QStyle, QWidget


def close_button(parent: QWidget, text: str = "&Close") -> QPushButton:
    """A button that closes the window that `parent` is, with the drawing of a dialog's own."""
    button = QPushButton(text, parent)
    button.setIcon(parent.style().standardIcon(QStyle.StandardPixmap.SP_DialogCloseButton))
    button.setAutoDefault(False)
    button.clicked.connect(parent.close)
    return button
