"""The commands as data: every one can be found, reached and read out."""

from collections import Counter
from collections.abc import Iterator

import pytest
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QApplication, QMenu, QMenuBar

from app import actions
from app.actions import COMMANDS, MENUS, SEPARATOR, TOOLBAR, Command, Menu
from app.icons import DRAWINGS, icon
from app.theme import DARK, LIGHT
from tests.app.leftovers import Keeper


def in_menus(menus: tuple[Menu | str, ...]) -> Iterator[str]:
    for item in menus:
        if isinstance(item, Menu):
            yield from in_menus(item.items)
        elif item != SEPARATOR:
            yield item


@pytest.fixture
def built(qapp: QApplication) -> dict[str, QAction]:
    return actions.build(qapp)


def test_keys_are_unique_and_every_place_names_a_command() -> None:
    keys = [command.key for command in COMMANDS]
    assert len(set(keys)) == len(keys)
    placed = list(in_menus(MENUS))
    assert set(placed) | {key for key in TOOLBAR if key != SEPARATOR} <= set(keys)
    assert max(Counter(placed).values()) == 1


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.key)
def test_every_command_can_be_reached_and_read(command: Command, built: dict[str, QAction]) -> None:
    action = built[command.key]
    assert command.key in set(in_menus(MENUS)) or not action.shortcut().isEmpty()
    assert action.text().replace("&", "").strip("…")
    assert action.toolTip().startswith(command.tip)
    assert command.status.endswith(".")
    assert action.statusTip() == command.status


def test_no_two_commands_share_their_keys(built: dict[str, QAction]) -> None:
    used = Counter(keys.toString() for action in built.values() for keys in action.shortcuts())
    assert [keys for keys, times in used.items() if times > 1] == []


def test_standard_keys_do_the_standard_thing(built: dict[str, QAction]) -> None:
    for key, standard in (
        ("open", QKeySequence.StandardKey.Open),
        ("save", QKeySequence.StandardKey.Save),
        ("undo", QKeySequence.StandardKey.Undo),
        ("delete", QKeySequence.StandardKey.Delete),
    ):
        assert built[key].shortcuts() == QKeySequence.keyBindings(standard)


def test_redo_has_the_keys_of_every_desktop(built: dict[str, QAction]) -> None:
    keys = [each.toString() for each in built["redo"].shortcuts()]
    assert {"Ctrl+Y", "Ctrl+Shift+Z"} <= set(keys)
    assert keys[0] == QKeySequence(QKeySequence.StandardKey.Redo).toString()


def test_no_letter_is_underlined_twice_in_a_menu(keep: Keeper) -> None:
    bar = keep(QMenuBar())
    made = actions.fill(bar, MENUS, actions.build(bar))
    for menu in (*made.values(), bar):
        letters = Counter(
            action.text()[action.text().index("&") + 1].lower()
            for action in menu.actions()
            if "&" in action.text()
        )
        assert [letter for letter, times in letters.items() if times > 1] == []
    assert isinstance(made["snap"], QMenu)


def test_toolbar_drawings_exist_and_follow_the_theme(qapp: QApplication) -> None:
    icons = {command.key: command.icon for command in COMMANDS}
    for key in TOOLBAR:
        if key != SEPARATOR:
            assert icons[key] in DRAWINGS
    for name in DRAWINGS:
        light, dark = (icon(name, theme).pixmap(24, 24).toImage() for theme in (LIGHT, DARK))
        assert light != dark
