"""What a command and a menu are, as data."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QKeySequence

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
