"""What the window's commands do, and when each can be used."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Literal, cast

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction

from app import dialogs, examples
from app.actions import SNAPS
from app.projects import UNNAMED
from app.session import Ref
from app.studies.commands import StudyCommands
from app.theme import Choice, theme_source
from app.variants.commands import VariantCommands
from app.version import program_version
from app.workshop.commands import WorkshopCommands
from solver.layouts import LAYOUTS
from solver.parts import names
from solver.project import AngleFrom, Project, Units

if TYPE_CHECKING:
    from app.window import MainWindow

STEP = 1.0
"""Degrees that one step of the lever takes."""
_BLANK = "blank"
_SELECTABLE: tuple[Literal["point", "link", "slider", "spring", "weight", "load"], ...] = (
    "point",
    "link",
    "slider",
    "spring",
    "weight",
    "load",
)
_TOOLS = (
    "point",
    "link",
    "slider",
    "compression",
    "extension",
    "torsion",
    "weight",
    "force",
    "torque",
    "screw",
)


class Commands(QObject):
    """Connects every action of the window to its work and keeps it enabled when it has some."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._session = window.session
        self._document = window.session.document
        self._variants = VariantCommands(window)
        self._studies = StudyCommands(window)
        self._workshop = WorkshopCommands(window)
        for key, work in self._work().items():
            self._action(key).triggered.connect(lambda _=False, work=work: work())
        self._fill_menus()
        self._follow()

    def _work(self) -> dict[str, Callable[[], object]]:
        projects = self._window.projects
        return {
            "new": partial(self._begin, _BLANK, UNNAMED),
            "open": projects.ask_and_open,
            "save": projects.save,
            "save_as": projects.save_as,
            "quit": self._window.close,
            "undo": self._undo,
            "redo": self._document.redo,
            "delete": self._window.canvas.remove_selected,
            "join": partial(self._window.canvas.begin_tool, "join"),
            "select_all": self._select_all,
            "select_none": self._session.select,
            **self._looks(),
            **self._lever(),
            **self._variants.work(),
            **self._studies.work(),
            **self._workshop.work(),
            "tour": lambda: dialogs.show_text(self._window, "First steps", dialogs.TOUR),
            "cautions": lambda: dialogs.show_text(
                self._window, "Cautions", dialogs.caution_text(self._session.display)
            ),
            "about": lambda: dialogs.show_text(
                self._window, "About Throwover", dialogs.about(program_version())
            ),
        }

    def _looks(self) -> dict[str, Callable[[], object]]:
        canvas = self._window.canvas
        return {
            **{f"add_{tool}": partial(self._tool, tool) for tool in _TOOLS},
            "fit": canvas.fit,
            "zoom_in": canvas.zoom_in,
            "zoom_out": canvas.zoom_out,
            **{key: partial(self._snap, size) for key, size in SNAPS.items()},
            "metric": partial(self._units, "metric"),
            "inch": partial(self._units, "inch"),
            "from_upright": partial(self._angles, "upright"),
            "from_x": partial(self._angles, "x"),
            "look_system": partial(self._look, "system"),
            "look_light": partial(self._look, "light"),
            "look_dark": partial(self._look, "dark"),
            "reset_panels": self._window.panels.reset,
        }

    def _lever(self) -> dict[str, Callable[[], object]]:
        return {
            "to_rest_a": lambda: self._session.set_travel(0.0),
            "to_rest_b": lambda: self._session.set_travel(360.0),
            "to_dead_centre": self._to_dead_centre,
            "step_back": lambda: self._session.set_travel(self._session.travel() - STEP),
            "step_forth": lambda: self._session.set_travel(self._session.travel() + STEP),
            "to_drawn": lambda: self._session.set_direction(None),
            "edit_here": self._edit_here,
        }

    def _action(self, key: str) -> QAction:
        return self._window.actions_by_key[key]

    # ---- menus that follow what there is ------------------------------------------------

    def _fill_menus(self) -> None:
        menus = self._window.menus
        for menu in (menus["layouts"], menus["examples"], menus["recent"]):
            menu.setToolTipsVisible(True)
        for layout in LAYOUTS:
            if layout.key != _BLANK:
                action = menus["layouts"].addAction(layout.title)
                action.setToolTip(layout.sentence)
                action.setStatusTip(layout.sentence)
                action.triggered.connect(partial(self._begin, layout.key))
        for number, example in enumerate(examples.offered(), start=1):
            words = f"&{number}  {_escaped(example.title)} – {example.shows}"
            action = menus["examples"].addAction(words)
            action.setStatusTip("Open this example as a new project.")
            action.triggered.connect(partial(self._window.projects.open, example.path))
        menus["examples"].setEnabled(not menus["examples"].isEmpty())
        menus["recent"].aboutToShow.connect(self._fill_recent)
        self._fill_recent()

    def _fill_recent(self) -> None:
        menu, recent = self._window.menus["recent"], self._window.projects.recent
        menu.clear()
        for number, path in enumerate(recent.paths(), start=1):
            action = menu.addAction(f"&{number} {_escaped(path.name)}")
            action.setToolTip(str(path))
            action.setStatusTip(str(path))
            action.triggered.connect(partial(self._window.projects.open, Path(path)))
        if menu.isEmpty():
            menu.addAction("No file yet").setEnabled(False)
        else:
            menu.addSeparator()
            menu.addAction("Forget these").triggered.connect(recent.clear)

    def _begin(self, key: str, title: str = "") -> None:
        layout = next(known for known in LAYOUTS if known.key == key)
        self._window.projects.begin(layout, title)

    # ---- enabled and checked -------------------------------------------------------------

    def _follow(self) -> None:
        stack = self._document.undo_stack
        stack.canUndoChanged.connect(self._show_history)
        stack.canRedoChanged.connect(self._show_history)
        stack.indexChanged.connect(self._show_history)
        self._session.selection_changed.connect(self._show_selection)
        self._session.updated.connect(self._show_analysis)
        self._session.pose_changed.connect(self._show_analysis)
        self._session.snap_changed.connect(self._show_choices)
        self._document.changed.connect(self._show_choices)
        theme_source.changed.connect(self._show_choices)
        self._window.canvas.tool_changed.connect(self._show_tool)
        self._show_history()
        self._show_selection()
        self._show_analysis()
        self._show_choices()

    def _show_history(self) -> None:
        stack = self._document.undo_stack
        for key, able, text in (
            ("undo", stack.canUndo(), stack.undoText()),
            ("redo", stack.canRedo(), stack.redoText()),
        ):
            action = self._action(key)
            action.setEnabled(able)
            word = key.capitalize()
            action.setText(f"&{word} “{_escaped(text)}”" if able and text else f"&{word}")
            action.setIconText(word)

    def _show_tool(self, tool: str) -> None:
        for key in _TOOLS:
            self._action(f"add_{key}").setChecked(key == tool)

    def _show_selection(self) -> None:
        some = bool(self._session.selection)
        self._action("delete").setEnabled(some)
        self._action("select_none").setEnabled(some)

    def _show_analysis(self) -> None:
        analysis = self._session.analysis
        for key in ("to_rest_a", "to_rest_b", "step_back", "step_forth"):
            self._action(key).setEnabled(analysis is not None)
        centred = analysis is not None and analysis.dead_centre is not None
        self._action("to_dead_centre").setEnabled(centred)
        posed = self._session.direction is not None
        self._action("to_drawn").setEnabled(posed)
        self._action("edit_here").setEnabled(posed and self._session.problem is None)

    def _show_choices(self) -> None:
        display = self._session.display
        for key, size in SNAPS.items():
            self._action(key).setChecked(size == self._session.snap)
        checked = (
            display.units,
            "from_upright" if display.angle_from == "upright" else "from_x",
            f"look_{theme_source.choice}",
        )
        for key in checked:
            self._action(key).setChecked(True)

    # ---- work ------------------------------------------------------------------------------

    def _tool(self, key: str) -> None:
        """Take a tool in hand; asked for again, put it down."""
        canvas = self._window.canvas
        if canvas.tool == key:
            canvas.cancel()
        else:
            canvas.begin_tool(key)

    def _select_all(self) -> None:
        design = self._document.design
        self._session.select(
            *(Ref(kind, name) for kind in _SELECTABLE for name in names(design, kind))
        )

    def _undo(self) -> None:
        """Drop what is under way in the sketch; without that take back the last command."""
        if not self._window.canvas.cancel():
            self._document.undo()

    def _to_dead_centre(self) -> None:
        analysis = self._session.analysis
        if analysis is not None and analysis.dead_centre is not None:
            self._session.set_travel(analysis.dead_centre)

    def _edit_here(self) -> None:
        self._document.apply(self._session.editable(), "Draw in this pose")
        self._session.set_direction(None)

    def _snap(self, size: float) -> None:
        self._session.set_snap(size)
        self._window.settings.snap = size

    def _units(self, units: str) -> None:
        self._display(self._document.project.in_units(cast("Units", units)))

    def _angles(self, angle_from: str) -> None:
        display = replace(self._session.display, angle_from=cast("AngleFrom", angle_from))
        self._display(replace(self._document.project, display=display))

    def _display(self, project: Project) -> None:
        """Units belong to the project, so that changing them can be undone and is saved."""
        self._document.apply_project(project, "Change units")
        self._window.settings.display = project.display

    def _look(self, choice: str) -> None:
        theme_source.choose(cast("Choice", choice))
        self._window.settings.theme = theme_source.choice
        self._show_choices()


def _escaped(text: str) -> str:
    return text.replace("&", "&&")
