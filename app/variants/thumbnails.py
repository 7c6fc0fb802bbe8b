"""Small pictures of designs, painted once for each design."""

from __future__ import annotations

from collections import OrderedDict

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage, QPainter, QPixmap, QTransform

from app.sketch.body import draw_body
from app.sketch.navigation import fitted
from app.sketch.picture import Picture, drawable
from app.sketch.plates import extent, measures
from app.sketch.sheet import Sheet
from app.theme import Theme
from solver.model import Design
from solver.project import Display

_FINE = 2
"""The picture is painted so many times larger, so that symbols and lines come out small."""
_CLOSER = 22
"""A small picture has less room to spare at its edges than a sheet."""
_EMPTY = (-60.0, -40.0, 60.0, 80.0)
_KEPT = 48


class Thumbnails:
    """The pictures painted last, all of one size (pixels)."""

    def __init__(self, size: QSize) -> None:
        self.size = size
        self._kept: OrderedDict[tuple[int, str, float], tuple[Design, QPixmap]] = OrderedDict()

    def of(self, design: Design, theme: Theme, ratio: float) -> QPixmap:
        """The picture of a design on a screen of `ratio` device pixels per pixel."""
        key = (id(design), theme.name, ratio)
        if key not in self._kept:
            # Keeping the design keeps its identity from being given out anew.
            self._kept[key] = (design, _painted(design, self.size, theme, ratio))
            if len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        self._kept.move_to_end(key)
        return self._kept[key][1]


def drawn_picture(design: Design, display: Display) -> Picture:
    """The design in its drawn pose, with nothing selected and no ghosts."""
    shown = drawable(design)
    return Picture(shown, measures(shown).drawn, (), frozenset(), display, extent(shown))


def _painted(design: Design, size: QSize, theme: Theme, ratio: float) -> QPixmap:
    picture = drawn_picture(design, Display())
    large = size * _FINE
    scale, (x, y) = fitted(picture.box or _EMPTY, large.width() + _CLOSER, large.height() + _CLOSER)
    view = QTransform(
        scale, 0.0, 0.0, -scale, large.width() / 2.0 - scale * x, large.height() / 2.0 + scale * y
    )
    image = QImage(size * ratio, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(theme.paper)
    image.setDevicePixelRatio(ratio / _FINE)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    draw_body(Sheet(painter, view, theme, ""), picture)
    painter.end()
    image.setDevicePixelRatio(ratio)
    return QPixmap.fromImage(image)
