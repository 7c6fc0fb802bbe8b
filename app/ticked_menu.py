"""A menu whose entries can be ticked: the theme gives the boxes in it an outline."""

from PySide6.QtWidgets import QMenu


class TickedMenu(QMenu):
    """An ordinary menu under a name of its own, by which `app.theme` knows it.

    `QMenu` itself cannot be given another palette: the lists of combo boxes take theirs from it.
    """
