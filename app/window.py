"""The one window: the sketch in the middle, panels around it, menus, toolbar and status bar."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
)
from PySide6.QtWidgets import QMainWindow, QMenu, QToolBar, QVBoxLayout, QWidget

from app import actions, icons, theme
from app.autosave import Autosave
from app.commands import Commands
from app.findings import findings_of
from app.notice import NoticeStrip
from app.panels import Panels
from app.projects import Projects
from app.screen_room import fitted
from app.session import Session
from app.settings import Room, Settings, data_folder
from app.sketch.canvas import SketchCanvas
from app.status import Standing
from app.theme import theme_source
from app.ticked_menu import TickedMenu
from app.travel import TravelSlider

_FIRST_SIZE = QSize(1600, 1000)


class MainWindow(QMainWindow):
    """Shows one session. Closing asks about unsaved changes; nothing else is asked unasked."""

    def __init__(self, session: Session, settings: Settings, recovery: Path | None = None) -> None:
        super().__init__()
        self.resize(fitted(self, _FIRST_SIZE))
        self.session = session
        self.settings = settings
        self._recovery = recovery or data_folder() / "recovery"
        self.notices = NoticeStrip(self)
        self.canvas = SketchCanvas(session, self)
        self.travel = TravelSlider(session, self)
        self.autosave = Autosave(session.document, self._recovery, self)
        self.projects = Projects(session.document, settings, self.autosave, self.notices, self)
        self.setAcceptDrops(True)
        self._put_centre()
        self.panels = Panels(self, session)
        self.actions_by_key = actions.build(self)
        self.menus = actions.fill(self.menuBar(), actions.MENUS, self.actions_by_key)
        self._put_toolbar()
        self._standing = Standing(session, self.canvas, self.statusBar())
        self.commands = Commands(self)
        self._filler = QTimer(self, singleShot=True, interval=0)
        self._filler.timeout.connect(self.fill)
        self.canvas.viewport().installEventFilter(self)
        self._follow()
        self._restore()
        self.canvas.setFocus()

    def fill(self) -> None:
        """Put the widgets into the panels; happens by itself after the first paint."""
        self._filler.stop()
        self.panels.fill()

    def offer_recovery(self) -> None:
        """Offer the work that a killed program left behind."""
        self.projects.offer_leftovers(self._recovery)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Fill the panels once the sketch has been painted."""
        if event.type() == QEvent.Type.Paint:
            self.canvas.viewport().removeEventFilter(self)
            self._filler.start()
        return False

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask about unsaved changes; remember the arrangement."""
        self.session.document.commit("Change")
        if not self.projects.may_leave():
            event.ignore()
            return
        self.projects.leave()
        self.panels.give_back()
        self.settings.keep_layout(self._room(), self.saveGeometry(), self.saveState())
        self.settings.sync()
        findings_of(self.session).close()
        event.accept()

    def createPopupMenu(self) -> QMenu:
        """Panels and toolbar to show or hide, where the right button is pressed on one."""
        menu = TickedMenu(self)
        menu.addActions(self.menus["panels"].actions())
        return menu

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take one file from the desktop."""
        if _dropped(event) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the file dropped on the window."""
        path = _dropped(event)
        if path is not None:
            event.acceptProposedAction()
            self.projects.open(path)

    def _put_centre(self) -> None:
        centre = QWidget(self)
        column = QVBoxLayout(centre)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.notices)
        column.addWidget(self.canvas, 1)
        column.addWidget(self.travel)
        self.setCentralWidget(centre)

    def _put_toolbar(self) -> None:
        bar = self._tools = QToolBar("Tools", self)
        bar.setObjectName("toolbar")
        bar.setMovable(False)
        bar.setIconSize(QSize(24, 24))
        for key in actions.TOOLBAR:
            if key == actions.SEPARATOR:
                bar.addSeparator()
            else:
                bar.addAction(self.actions_by_key[key])
        self.menus["panels"].addAction(bar.toggleViewAction())
        self.addToolBar(bar)
        self._ink_icons()
        self._name_tools()
        self.panels.arranged.connect(self._name_tools)

    def _name_tools(self) -> None:
        """Words under the tools; in a small window they would take the sheet's room."""
        style = Qt.ToolButtonStyle
        words = style.ToolButtonIconOnly if self.panels.small else style.ToolButtonTextUnderIcon
        self._tools.setToolButtonStyle(words)

    def _follow(self) -> None:
        document = self.session.document
        document.modified_changed.connect(self.setWindowModified)
        document.path_changed.connect(self._title)
        document.replaced.connect(self._title)
        document.replaced.connect(self._show_several)
        document.changed.connect(self._count_variants)
        theme_source.changed.connect(self._ink_icons)
        self.canvas.inspect_requested.connect(self._show_numbers)
        for dock in self.panels.docks.values():
            self.menus["panels"].addAction(dock.toggleViewAction())
        self._title()

    def _show_numbers(self) -> None:
        """Bring the numbers of the selected part up and go there with the keyboard."""
        widget = self.panels.bring_up("inspector").widget()
        if widget is not None:
            widget.setFocus()

    def _show_several(self) -> None:
        """A project that comes with several variants shows them first."""
        if len(self.session.document.project.variants) > 1:
            self.panels.bring_up("variants")

    def _count_variants(self) -> None:
        """The tab tells how many variants there are, as it may be all of them that is seen."""
        several = len(self.session.document.project.variants)
        title = f"Variants ({several})" if several > 1 else "Variants"
        if (dock := self.panels.docks["variants"]).windowTitle() != title:
            dock.setWindowTitle(title)

    def _title(self) -> None:
        self.setWindowTitle(f"{self.projects.name()}[*] – Throwover")
        self.setWindowFilePath(str(self.session.document.path or ""))
        self.setWindowModified(self.session.document.modified)

    def _ink_icons(self) -> None:
        for bar in (self._tools, self.statusBar()):
            bar.setStyleSheet(theme.bar_rules(theme.current()))
        for command in actions.COMMANDS:
            if command.icon:
                self.actions_by_key[command.key].setIcon(icons.icon(command.icon, theme.current()))

    def _restore(self) -> None:
        """The arrangement of the last run on such a screen, or a first one that fits it."""
        kept = self.settings.layout(self._room())
        if kept is not None and self.restoreGeometry(kept[0]) and self.panels.restore(kept[1]):
            return
        self.panels.share_out()

    def _room(self) -> Room:
        return "small" if self.panels.small else "usual"


def _dropped(event: QDropEvent) -> Path | None:
    """The local file that is dragged over the window; None for anything else."""
    urls = event.mimeData().urls()
    if len(urls) == 1 and urls[0].isLocalFile():
        return Path(urls[0].toLocalFile())
    return None
