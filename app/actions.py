"""Every command of the window as data: its words, its keys, its place in menus and toolbar.

`build` makes `QAction`s of the data and `fill` makes menus; what a command does is said where the
window connects it, by the command's key.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

from app.action_types import SEPARATOR, Command, Menu
from app.ticked_menu import TickedMenu
from app.variants.actions import VARIANT_COMMANDS, VARIANT_MENU

__all__ = ["COMMANDS", "MENUS", "SEPARATOR", "SNAPS", "TOOLBAR", "Command", "Menu", "build", "fill"]

_K = QKeySequence.StandardKey
UNSNAPPED = "snap_off"
SNAPS = {
    UNSNAPPED: 0.0,
    "snap_half": 0.5,
    "snap_one": 1.0,
    "snap_five": 5.0,
    "snap_sixteenth": 25.4 / 16.0,
    "snap_quarter": 25.4 / 4.0,
}
"""The grids that points can keep to, mm."""

COMMANDS: tuple[Command, ...] = (
    # File
    Command(
        "new", "&New", "New sheet with a bare lever", "Begin with a lever on its pivot.", _K.New
    ),
    Command("open", "&Open…", "Open a project", "Open a project file.", _K.Open, "open", "Open"),
    Command(
        "save",
        "&Save",
        "Save the project",
        "Write the project to its file.",
        _K.Save,
        "save",
        "Save",
    ),
    Command(
        "save_as",
        "Save &as…",
        "Save under another name",
        "Write the project to a file of another name and go on with that one.",
        "Ctrl+Shift+S",
    ),
    Command("quit", "&Quit", "Leave Throwover", "Close the window and end the program.", "Ctrl+Q"),
    # Edit
    Command("undo", "&Undo", "Undo", "Take back the last change.", _K.Undo, "undo", "Undo"),
    Command(
        "redo",
        "&Redo",
        "Redo",
        "Make the change again that was taken back.",
        _K.Redo,
        "redo",
        "Redo",
    ),
    Command(
        "delete",
        "Re&move",
        "Remove what is selected",
        "Take the selected points and parts out of the sketch.",
        _K.Delete,
    ),
    Command(
        "join",
        "&Join two points",
        "Join two points",
        "Click two points that shall become one: a pivot, where they are on different links.",
        "J",
    ),
    Command(
        "select_all",
        "Select &all",
        "Select everything",
        "Select every point and part of the sketch.",
        _K.SelectAll,
    ),
    Command(
        "select_none",
        "Select &nothing",
        "Select nothing",
        "Let go of everything that is selected.",
        "Ctrl+Shift+A",
    ),
    # Add
    Command(
        "add_point",
        "&Point",
        "Add a point",
        "Click where a new point shall be: on a link it belongs to that link, else to the frame.",
        "P",
        "point",
        "Point",
        check=True,
    ),
    Command(
        "add_link",
        "&Link",
        "Add a link",
        "Click two or more points that shall keep their distances: they become one link.",
        "L",
        "link",
        "Link",
        check=True,
    ),
    Command(
        "add_slider",
        "&Slider",
        "Add a slider",
        "Hold a point on the straight line through two points of another part.",
        "S",
        "slider",
        "Slider",
        check=True,
    ),
    Command(
        "add_compression",
        "&Compression spring",
        "Add a compression spring",
        "Click the two points that a compression spring shall push apart.",
        "C",
        "compression",
        "Compression",
        check=True,
    ),
    Command(
        "add_extension",
        "&Extension spring",
        "Add an extension spring",
        "Click the two points that an extension spring shall pull together.",
        "E",
        "extension",
        "Extension",
        check=True,
    ),
    Command(
        "add_torsion",
        "&Torsion spring",
        "Add a torsion spring",
        "Click a pivot, then the two points that the legs of its torsion spring lean on.",
        "T",
        "torsion",
        "Torsion",
        check=True,
    ),
    Command(
        "add_weight",
        "&Weight",
        "Add a weight",
        "Click the point that carries a mass.",
        "W",
        "weight",
        "Weight",
        check=True,
    ),
    Command(
        "add_force",
        "&Force",
        "Add a force",
        "Click the point that a steady force pulls at.",
        "F",
        "force",
        "Force",
        check=True,
    ),
    Command(
        "add_torque",
        "Tor&que",
        "Add a torque",
        "Click the link that a steady torque turns.",
        "M",
        "torque",
        "Torque",
        check=True,
    ),
    Command(
        "add_screw",
        "Fixing &hole or screw",
        "Add a fixing hole",
        "Click where a screw goes: through a link, or through the frame to fasten it.",
        "H",
        "screw",
        "Fixing hole",
        check=True,
    ),
    # View
    Command("fit", "&Fit", "Fit the sketch", "Show the whole linkage.", "Ctrl+0", "fit", "Fit"),
    Command("zoom_in", "Zoom &in", "Zoom in", "Show the sketch larger.", _K.ZoomIn),
    Command("zoom_out", "Zoom &out", "Zoom out", "Show the sketch smaller.", _K.ZoomOut),
    Command(UNSNAPPED, "&Off", "No grid", "Dragged points go where the mouse goes.", check=True),
    Command(
        "snap_half", "½ mm", "Half-millimetre grid", "Dragged points keep to 0.5 mm.", check=True
    ),
    Command("snap_one", "&1 mm", "Millimetre grid", "Dragged points keep to 1 mm.", check=True),
    Command(
        "snap_five", "&5 mm", "Five-millimetre grid", "Dragged points keep to 5 mm.", check=True
    ),
    Command(
        "snap_sixteenth",
        "1/1&6 in",
        "Sixteenth-inch grid",
        "Dragged points keep to 1/16 in.",
        check=True,
    ),
    Command(
        "snap_quarter", "1/&4 in", "Quarter-inch grid", "Dragged points keep to 1/4 in.", check=True
    ),
    Command(
        "metric", "&Metric", "Show mm and N", "Show lengths in mm and forces in N.", check=True
    ),
    Command(
        "inch", "&Inch", "Show in and lbf", "Show lengths in inches and forces in lbf.", check=True
    ),
    Command(
        "from_upright",
        "From &upright",
        "Count directions from upright",
        "A lever that stands straight up reads 0°; to the left counts positive.",
        check=True,
    ),
    Command(
        "from_x",
        "From the &right (+x)",
        "Count directions from +x",
        "A lever that points right reads 0°; counter-clockwise counts positive.",
        check=True,
    ),
    Command(
        "look_system",
        "&As the desktop",
        "Look like the desktop",
        "Light or dark as the desktop has it, where it tells.",
        check=True,
    ),
    Command("look_light", "&Light", "Light look", "Draw on light paper.", check=True),
    Command("look_dark", "&Dark", "Dark look", "Draw on dark slate.", check=True),
    Command(
        "reset_panels",
        "Put panels bac&k",
        "Put the panels back",
        "Show every panel where it was at first.",
    ),
    # Lever
    Command(
        "to_rest_a",
        "To rest &A",
        "Lever to rest A",
        "Show the lever on its stop at rest A.",
        "A",
        "rest_a",
        "Rest A",
    ),
    Command(
        "to_dead_centre",
        "To &dead centre",
        "Lever to dead centre",
        "Show the lever where its energy is highest.",
        "D",
        "dead_centre",
        "Dead centre",
    ),
    Command(
        "to_rest_b",
        "To rest &B",
        "Lever to rest B",
        "Show the lever on its stop at rest B.",
        "B",
        "rest_b",
        "Rest B",
    ),
    Command(
        "step_back", "Step bac&k", "A step towards A", "Move the lever one degree towards A.", ","
    ),
    Command(
        "step_forth", "Step &forth", "A step towards B", "Move the lever one degree towards B.", "."
    ),
    Command(
        "to_drawn",
        "To the dra&wn pose",
        "Lever to the drawn pose",
        "Show the linkage as the file has it drawn.",
        "R",
    ),
    Command(
        "edit_here",
        "&Make this the drawn pose",
        "Draw the linkage in this pose",
        "Keep the linkage and give its points the places that they have in the pose shown.",
        "Ctrl+D",
    ),
    # Variants
    *VARIANT_COMMANDS,
    # Study
    Command(
        "study_copies",
        "&Copies",
        "What becomes of copies",
        "See how many of many copies hold the limits when all is off by its tolerance.",
        "F7",
    ),
    Command(
        "study_tolerances",
        "&Tolerances…",
        "Tolerances of copies",
        "Say what holes, springs, stops, friction and loads of a copy may be off by.",
        "Ctrl+T",
    ),
    Command(
        "study_bands",
        "&Bands behind the curves",
        "Bands of copies",
        "Draw where the curves of 90 of 100 copies run, behind those of the design.",
        "Ctrl+B",
        check=True,
    ),
    Command(
        "study_effects",
        "What &matters",
        "What matters for a reading",
        "See what each number of the design does to a reading, the greatest effect first.",
        "F8",
    ),
    Command(
        "study_arrows",
        "&Arrows in the sketch",
        "Arrows to a better reading",
        "Draw at every point which way to move it for a better reading, and the gain per mm.",
        "Ctrl+Shift+B",
        check=True,
    ),
    Command(
        "study_zone",
        "&Go zone",
        "Go zone of the selected point",
        "Shade where the selected point may lie so that every limit holds.",
        "G",
        check=True,
    ),
    Command(
        "study_tune",
        "T&une…",
        "Tune the design",
        "Say what may change and what is wanted; the answer comes as a new variant.",
        "Ctrl+U",
    ),
    Command(
        "study_sweep",
        "&Sweep…",
        "Sweep a number",
        "See a reading over a range of one number, or over two at once as a map.",
        "Ctrl+R",
    ),
    # Workshop
    Command(
        "workshop_sheet",
        "&Dimensioned sheet…",
        "Dimensioned sheet",
        "See, set and write the sheet with dimensions, tables and title block.",
        "F9",
    ),
    Command(
        "workshop_template",
        "Drilling &template…",
        "Drilling template",
        "See and write the template at true size that plates are drilled through.",
    ),
    Command(
        "workshop_outlines",
        "&Outlines for the cutter…",
        "Outlines for the cutter",
        "See and write the outline of every plate with its holes, one file for each.",
    ),
    Command(
        "workshop_parts",
        "Parts &list…",
        "Parts list",
        "See and write the list of plates, pins, springs and small parts.",
    ),
    Command(
        "workshop_report",
        "&Report…",
        "Report",
        "See and write a report of sketch, curves, readings, limits and cautions.",
    ),
    Command(
        "workshop_gaps",
        "&Gaps and collisions",
        "Gaps and collisions",
        "See where plates, pins and springs come near each other, or a finger gets caught.",
    ),
    Command(
        "workshop_print",
        "&Print…",
        "Print at true size",
        "Print the paper shown last in the preview, at first the dimensioned sheet.",
        _K.Print,
    ),
    # Help
    Command(
        "tour", "&First steps", "First steps", "A short walk through the window.", _K.HelpContents
    ),
    Command(
        "cautions",
        "&Cautions",
        "What to mind with springs and levers",
        "What to mind when you build and try a sprung lever.",
    ),
    Command("about", "&About Throwover", "About Throwover", "Version, licence, what it is for."),
)

MENUS: tuple[Menu, ...] = (
    Menu(
        "file",
        "&File",
        (
            "new",
            Menu("layouts", "New from &layout"),
            "open",
            Menu("examples", "Open &example"),
            Menu("recent", "Open &recent"),
            SEPARATOR,
            "save",
            "save_as",
            SEPARATOR,
            "quit",
        ),
    ),
    Menu(
        "edit",
        "&Edit",
        ("undo", "redo", SEPARATOR, "delete", "join", SEPARATOR, "select_all", "select_none"),
    ),
    Menu(
        "add",
        "&Add",
        (
            "add_point",
            "add_link",
            "add_slider",
            SEPARATOR,
            "add_compression",
            "add_extension",
            "add_torsion",
            SEPARATOR,
            "add_weight",
            "add_force",
            "add_torque",
            SEPARATOR,
            "add_screw",
        ),
    ),
    Menu(
        "view",
        "&View",
        (
            "fit",
            "zoom_in",
            "zoom_out",
            SEPARATOR,
            Menu("snap", "&Grid for dragging", tuple(SNAPS), choice=True),
            Menu("units", "&Units", ("metric", "inch"), choice=True),
            Menu("angles", "&Directions", ("from_upright", "from_x"), choice=True),
            Menu("look", "&Look", ("look_system", "look_light", "look_dark"), choice=True),
            SEPARATOR,
            Menu("panels", "&Panels"),
            "reset_panels",
        ),
    ),
    Menu(
        "lever",
        "&Lever",
        (
            "to_rest_a",
            "to_dead_centre",
            "to_rest_b",
            SEPARATOR,
            "step_back",
            "step_forth",
            SEPARATOR,
            "to_drawn",
            "edit_here",
        ),
    ),
    VARIANT_MENU,
    Menu(
        "study",
        "&Study",
        (
            "study_copies",
            "study_tolerances",
            "study_bands",
            SEPARATOR,
            "study_effects",
            "study_arrows",
            SEPARATOR,
            "study_zone",
            SEPARATOR,
            "study_tune",
            "study_sweep",
        ),
    ),
    Menu(
        "workshop",
        "&Workshop",
        (
            "workshop_sheet",
            "workshop_template",
            "workshop_outlines",
            "workshop_parts",
            "workshop_report",
            SEPARATOR,
            "workshop_gaps",
            SEPARATOR,
            "workshop_print",
        ),
    ),
    Menu("help", "&Help", ("tour", "cautions", SEPARATOR, "about")),
)

TOOLBAR: tuple[str, ...] = (
    "open",
    "save",
    SEPARATOR,
    "undo",
    "redo",
    SEPARATOR,
    "add_point",
    "add_link",
    "add_slider",
    "add_compression",
    "add_extension",
    "add_torsion",
    "add_weight",
    "add_force",
    "add_torque",
    "add_screw",
    SEPARATOR,
    "to_rest_a",
    "to_dead_centre",
    "to_rest_b",
    SEPARATOR,
    "fit",
)


def build(parent: QObject) -> dict[str, QAction]:
    """An action for every command, by key; owned by `parent`."""
    return {command.key: _action(command, parent) for command in COMMANDS}


def _action(command: Command, parent: QObject) -> QAction:
    action = QAction(command.text, parent)
    action.setObjectName(command.key)
    action.setShortcuts(command.shortcuts())
    keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
    action.setToolTip(f"{command.tip} ({keys})" if keys else command.tip)
    action.setStatusTip(command.status)
    action.setCheckable(command.check)
    if command.short:
        action.setIconText(command.short)
    return action


def fill(
    bar: QMenuBar | QMenu, menus: Iterable[Menu], actions: Mapping[str, QAction]
) -> dict[str, QMenu]:
    """Put the menus into `bar`; every menu made, by key."""
    made: dict[str, QMenu] = {}
    for menu in menus:
        opened = TickedMenu(menu.title, bar)
        bar.addMenu(opened)
        opened.setObjectName(f"menu_{menu.key}")
        made[menu.key] = opened
        group = QActionGroup(opened) if menu.choice else None
        for item in menu.items:
            if isinstance(item, Menu):
                made |= fill(opened, [item], actions)
            elif item == SEPARATOR:
                opened.addSeparator()
            else:
                opened.addAction(actions[item])
                if group is not None:
                    group.addAction(actions[item])
    return made
