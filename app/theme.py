"""Colours by role: a sheet of workshop paper, and the same sheet in slate for dark rooms.

The two rests differ in lightness-independent hue (blue against brown), which the common kinds of
colour blindness keep apart; views add a line style and a label to each, never colour alone.
Text roles reach a contrast of 4.5 : 1 on every ground they are used on.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QToolTip

Choice = Literal["system", "light", "dark"]

_TICKED = ("QCheckBox", "QRadioButton", "QListWidget", "TickedMenu", "StayingMenu")
"""Classes of widgets with boxes to tick. Not `QMenu`: lists of combo boxes have its palette."""
_OUTLINE = 0.9
"""Share of its ink that the outline of a box to tick has."""


@dataclass(frozen=True, slots=True)
class Theme:
    """One set of colours. `paper` is the sketch and plot ground, `panel` that of the docks."""

    name: str
    paper: QColor
    grid: QColor
    grid_major: QColor
    ink: QColor
    faint_ink: QColor
    plate: QColor
    plate_edge: QColor
    lever_plate: QColor
    lever_edge: QColor
    frame: QColor
    spring: QColor
    rest_a: QColor
    rest_b: QColor
    dead_centre: QColor
    hang: QColor
    good: QColor
    bad: QColor
    accent: QColor
    on_accent: QColor
    selection: QColor
    panel: QColor
    panel_edge: QColor
    button: QColor
    field: QColor


LIGHT = Theme(
    name="light",
    paper=QColor("#f8f4ea"),
    grid=QColor("#ebe4d5"),
    grid_major=QColor("#d9cfbb"),
    ink=QColor("#2a2927"),
    faint_ink=QColor("#635e55"),
    plate=QColor("#dcd5c6"),
    plate_edge=QColor("#5b564e"),
    lever_plate=QColor("#bdb4a1"),
    lever_edge=QColor("#2a2927"),
    frame=QColor("#57524a"),
    spring=QColor("#3b4248"),
    rest_a=QColor("#1c5b9e"),
    rest_b=QColor("#9a4a0e"),
    dead_centre=QColor("#6a5c70"),
    hang=QColor(150, 70, 110, 52),
    good=QColor("#1d6a52"),
    bad=QColor("#b0281f"),
    accent=QColor("#33597d"),
    on_accent=QColor("#ffffff"),
    selection=QColor("#0e7490"),
    panel=QColor("#efe9dc"),
    panel_edge=QColor("#cdc3b0"),
    button=QColor("#e8e1d2"),
    field=QColor("#fdfbf6"),
)

DARK = Theme(
    name="dark",
    paper=QColor("#22272c"),
    grid=QColor("#2b3137"),
    grid_major=QColor("#3a424a"),
    ink=QColor("#e7e4dc"),
    faint_ink=QColor("#a9adae"),
    plate=QColor("#474f57"),
    plate_edge=QColor("#b3b8ba"),
    lever_plate=QColor("#66707a"),
    lever_edge=QColor("#f1efe9"),
    frame=QColor("#9ba1a5"),
    spring=QColor("#d6d3ca"),
    rest_a=QColor("#7fb5ef"),
    rest_b=QColor("#e6a466"),
    dead_centre=QColor("#cfc1d3"),
    hang=QColor(214, 130, 172, 58),
    good=QColor("#6fc6a3"),
    bad=QColor("#f3938a"),
    accent=QColor("#8fbbe6"),
    on_accent=QColor("#15191d"),
    selection=QColor("#5cc9dd"),
    panel=QColor("#2b3137"),
    panel_edge=QColor("#454e57"),
    button=QColor("#363e45"),
    field=QColor("#1d2226"),
)


class ThemeSource(QObject):
    """The theme in use. Views repaint on `changed`; the window sets the choice."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._theme = LIGHT
        self._choice: Choice = "system"
        self._follows = False

    @property
    def theme(self) -> Theme:
        """The colours in use now."""
        return self._theme

    @property
    def choice(self) -> Choice:
        """What the user chose; "system" follows the desktop where it tells."""
        return self._choice

    def choose(self, choice: Choice) -> None:
        """Use the light or the dark theme, or whichever the desktop asks for."""
        self._choice = choice
        if not self._follows:
            self._follows = True
            QGuiApplication.styleHints().colorSchemeChanged.connect(self._use_choice)
        self._use_choice()

    def _use_choice(self) -> None:
        theme = {"light": LIGHT, "dark": DARK}.get(self._choice) or _system_theme()
        application = QApplication.instance()
        if isinstance(application, QApplication):
            apply(application, theme)
        if theme is not self._theme:
            self._theme = theme
            self.changed.emit()


def _system_theme() -> Theme:
    """Dark where the desktop says so; light where it says so or nothing."""
    dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
    return DARK if dark else LIGHT


theme_source = ThemeSource()


def current() -> Theme:
    """The colours in use now."""
    return theme_source.theme


def apply(application: QApplication, theme: Theme) -> None:
    """Give ordinary widgets the theme: the Fusion style with our palette."""
    if application.style().objectName().lower() != "fusion":
        application.setStyle("Fusion")
    application.setPalette(palette(theme))
    for kind in _TICKED:
        application.setPalette(ticked_palette(theme), kind)  # type: ignore[arg-type]  # takes str
    application.setPalette(slider_palette(theme), "QSlider")  # type: ignore[arg-type]  # takes str
    QToolTip.setPalette(palette(theme))


def palette(theme: Theme) -> QPalette:
    """The Qt palette of a theme, with its disabled colours."""
    role = QPalette.ColorRole
    made = QPalette()
    for key, colour in {
        role.Window: theme.panel,
        role.WindowText: theme.ink,
        role.Base: theme.field,
        role.AlternateBase: theme.paper,
        role.Text: theme.ink,
        role.PlaceholderText: theme.faint_ink,
        role.Button: theme.button,
        role.ButtonText: theme.ink,
        role.BrightText: theme.bad,
        role.Highlight: theme.accent,
        role.HighlightedText: theme.on_accent,
        role.Accent: theme.accent,
        role.Link: theme.accent,
        role.LinkVisited: theme.dead_centre,
        role.ToolTipBase: theme.field,
        role.ToolTipText: theme.ink,
        role.Light: theme.field,
        role.Midlight: theme.paper,
        role.Mid: theme.panel_edge,
        role.Dark: theme.panel_edge.darker(125),
        role.Shadow: theme.panel_edge.darker(200),
    }.items():
        made.setColor(key, colour)
    for key in (role.WindowText, role.Text, role.ButtonText, role.HighlightedText):
        made.setColor(QPalette.ColorGroup.Disabled, key, thinned(theme.faint_ink, theme.panel, 0.5))
    made.setColor(QPalette.ColorGroup.Disabled, role.Highlight, theme.panel_edge)
    return made


def ticked_palette(theme: Theme) -> QPalette:
    """The palette of what has boxes to tick: their outline stands out from the ground."""
    return _outlined(theme, thinned(theme.faint_ink, theme.field, _OUTLINE))


def slider_palette(theme: Theme) -> QPalette:
    """The palette of sliders: their handle is a piece of the lever that it moves, outlined."""
    made = _outlined(theme, theme.lever_edge)
    made.setColor(QPalette.ColorRole.Button, theme.lever_plate)
    return made


def _outlined(theme: Theme, outline: QColor) -> QPalette:
    made = palette(theme)
    # Fusion takes the outline from the window's colour, darkened; these widgets paint no window.
    made.setColor(QPalette.ColorRole.Window, outline.lighter(140))
    return made


def thinned(ink: QColor, paper: QColor, share: float) -> QColor:
    """Ink thinned with paper: `share` of it is left. Opaque, which paints many times as fast."""
    return QColor(_thinned(ink.rgb(), paper.rgb(), share))


@lru_cache(maxsize=256)
def _thinned(ink: int, paper: int, share: float) -> QColor:
    one, other = QColor.fromRgb(ink), QColor.fromRgb(paper)
    pairs = (
        (one.red(), other.red()), (one.green(), other.green()), (one.blue(), other.blue())
    )  # fmt: skip
    return QColor(*(round(share * a + (1.0 - share) * b) for a, b in pairs))


def bar_rules(theme: Theme) -> str:
    """The style sheet of tool and status bars: one quiet line where Fusion draws frames.

    For those bars alone: each widget under a style sheet costs drag frames time.
    """
    edge, panel = theme.panel_edge.name(), theme.panel.name()
    return f"""
        QToolBar {{ background: {panel}; border: none; border-bottom: 1px solid {edge};
            spacing: 2px; padding: 2px 4px; }}
        QStatusBar {{ background: {panel}; border-top: 1px solid {edge}; }}
        QStatusBar::item {{ border: none; }}
    """
