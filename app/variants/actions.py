"""The commands on variants as data, and their menu."""

from __future__ import annotations

from app.action_types import SEPARATOR, Command, Menu

VARIANT_COMMANDS: tuple[Command, ...] = (
    Command(
        "variant_keep",
        "&Keep as a variant",
        "Keep this state as a variant",
        "Set the present state aside as a further variant and go on in this one.",
        "Ctrl+K",
    ),
    Command(
        "variant_branch",
        "&Go on in a new variant",
        "Go on in a new variant",
        "Leave this variant as it is and go on in a new one that begins like it.",
        "Ctrl+Shift+K",
    ),
    Command(
        "variant_next",
        "Ne&xt variant",
        "Next variant",
        "Put the next variant of the list on the sheet.",
        "Ctrl+PgDown",
    ),
    Command(
        "variant_before",
        "&Previous variant",
        "Previous variant",
        "Put the variant before this one on the sheet.",
        "Ctrl+PgUp",
    ),
    Command(
        "variant_rename",
        "&Rename…",
        "Rename this variant",
        "Type another name for the variant on the sheet.",
        "F2",
    ),
    Command(
        "variant_note",
        "Write a &note…",
        "Write a note on this variant",
        "Say what is special about the variant on the sheet.",
        "Ctrl+Shift+N",
    ),
    Command(
        "variant_up",
        "Move &up",
        "Move this variant up",
        "Move the variant on the sheet one place up in the list.",
        "Ctrl+Shift+PgUp",
    ),
    Command(
        "variant_down",
        "Move &down",
        "Move this variant down",
        "Move the variant on the sheet one place down in the list.",
        "Ctrl+Shift+PgDown",
    ),
    Command(
        "variant_delete",
        "D&elete variant",
        "Delete this variant",
        "Take the variant on the sheet out of the project.",
    ),
    Command(
        "variant_file",
        "Add from &file…",
        "Add variants from a file",
        "Put the variants of another project beside those of this one.",
    ),
    Command(
        "variant_compare",
        "&Side by side",
        "Variants side by side",
        "Throw two to four variants together and compare their curves and readings.",
        "F6",
    ),
)

VARIANT_MENU = Menu(
    "variants",
    "Va&riants",
    (
        "variant_keep",
        "variant_branch",
        SEPARATOR,
        "variant_compare",
        SEPARATOR,
        "variant_next",
        "variant_before",
        SEPARATOR,
        "variant_rename",
        "variant_note",
        "variant_up",
        "variant_down",
        "variant_delete",
        SEPARATOR,
        Menu("variant_layouts", "Add from &layout"),
        "variant_file",
    ),
)
