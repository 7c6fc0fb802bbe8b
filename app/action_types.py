"""What a command and a menu are, as data."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QKeySequence

from app.redo_keys import redo_keys

SEPARATOR = "-"


@dataclass(frozen=True, slots=True)
class Command:
    """One command. `tip` says it in a few words, `status` in a sentence.

    `icon` names a drawing of `app.icons` and `short` is the word under it in the toolbar;
    `check` makes it an on/off command.
    """

    key: str
    text: str
    tip: str
    status: str
    keys: QKeySequence.StandardKey | str = ""
    icon: str = ""
    short: str = ""
    check: bool = False

    def shortcuts(self) -> list[QKeySequence]:
        """Every key that gives the command, the one that is shown in menus first."""
        if isinstance(self.keys, str):
            return [QKeySequence(self.keys)] if self.keys else []
        if self.keys == QKeySequence.StandardKey.Redo:
            return redo_keys()
        return QKeySequence.keyBindings(self.keys)


@dataclass(frozen=True, slots=True)
class Menu:
    """A menu of commands (by key), of menus, and of separators.

    The window itself fills the place of a menu without items, found under `key`.
    With `choice` exactly one of its commands is checked.
    """

    key: str
    title: str
    items: tuple[str | Menu, ...] = ()
    choice: bool = False
