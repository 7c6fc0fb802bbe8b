"""A small sheet with a design on it, and faintly the one that it began as."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent, QTransform
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.sketch.body import draw_body
from app.sketch.ghosts import draw_ghosts
from app.sketch.grid import draw_grid
from app.sketch.navigation import fitted
from app.sketch.picture import Picture, drawable, lever_ghosts
from app.sketch.plates import extent, measures
from app.sketch.sheet import Sheet
from app.theme import theme_source
from solver.model import Design
from solver.project import Display

_FAINT = 0.3
_EMPTY = (-60.0, -40.0, 60.0, 80.0)


class Preview(QWidget):
    """Shows a design that is not the document's."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._before: Picture | None = None
        self._after: Picture | None = None
        self.setAccessibleName("The design found, over the present one")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        theme_source.changed.connect(self.update)

    @property
    def design(self) -> Design | None:
        """The design shown in full."""
        return None if self._after is None else self._after.design

    def show_designs(self, before: Design, after: Design) -> None:
        """Show `after` in full and `before` faintly under it."""
        if self._before is None or self._before.design is not before:
            self._before = _picture(before, self._display)
        if after != self.design:
            self._after = _picture(after, self._display)
            self.update()

    def sizeHint(self) -> QSize:
        """Room to see it well."""
        return QSize(420, 320)

    def minimumSizeHint(self) -> QSize:
        """Small enough for a low screen."""
        return QSize(220, 160)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paper, grid, and both designs at one scale."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme = theme_source.theme
        painter.fillRect(self.rect(), theme.paper)
        if self._before is not None and self._after is not None:
            box = self._before.box or _EMPTY
            scale, (x, y) = fitted(box, self.width(), self.height())
            view = QTransform(
                scale, 0.0, 0.0, -scale, self.width() / 2.0 - scale * x,
                self.height() / 2.0 + scale * y,
            )  # fmt: skip
            world = view.inverted()[0].mapRect(QRectF(self.rect()))
            draw_grid(painter, view, world, theme, self._display.units)
            sheet = Sheet(painter, view, theme, self.font().family())
            draw_ghosts(sheet, self._after, frozenset())
            painter.setOpacity(_FAINT)
            draw_body(sheet, self._before)
            painter.setOpacity(1.0)
            draw_body(sheet, self._after)
        painter.end()


def _picture(design: Design, display: Display) -> Picture:
    """A design in its drawn pose, with its lever's rests."""
    shown = drawable(design)
    drawn, ghosts = measures(shown).drawn, lever_ghosts(shown)
    return Picture(shown, drawn, ghosts, frozenset(), display, extent(shown))
