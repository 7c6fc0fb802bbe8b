"""What lies under the linkage, kept as one picture: paper, grid, scale bar and go zone.

In a drag it mostly lies still, and copying it takes a fraction of the time that painting takes.
It is opaque, and copied in strips, on purpose: large or translucent pictures Qt mixes in threads of
its own and waits for them, which takes long beside a busy process.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QImage, QPainter, QTransform

from app.background.zones import ZoneShape
from app.sketch.grid import draw_grid, draw_scale_bar
from app.sketch.sheet import Sheet
from app.sketch.zone import draw_zone
from app.theme import Theme
from solver.project import Units

_STRIP = 48
"""Rows that are copied at once; Qt calls threads to its aid from 96 on."""


class Ground:
    """Paints the ground of a view, anew only where something else is to be seen."""

    def __init__(self) -> None:
        self._seen: tuple[object, ...] = ()
        self._paper = QImage()
        self._zone: ZoneShape | None = None
        self._whole = QImage()

    def paint(
        self,
        painter: QPainter,
        size: QSize,
        theme: Theme,
        units: Units,
        zone: ZoneShape | None,
        family: str,
    ) -> None:
        """Paint it under a painter in world coordinates; `size` is the view's in pixels."""
        view, ratio = QTransform(painter.worldTransform()), painter.device().devicePixelRatioF()
        place = (view.m11(), view.m22(), view.dx(), view.dy())
        seen = (*place, size.toTuple(), ratio, theme, units, family)
        if seen != self._seen:
            self._seen = seen
            self._paper = _paper(view, size, ratio, theme, units)
            self._zone, self._whole = None, self._paper
        if zone is not self._zone:
            self._zone = zone
            self._whole = self._paper if zone is None else self._tinted(view, zone, theme, family)
        painter.save()
        painter.setWorldTransform(QTransform())
        high = round(_STRIP * ratio)
        for top in range(0, self._whole.height(), high):
            part = QRectF(0, top, self._whole.width(), high)
            painter.drawImage(QPointF(0.0, top / ratio), self._whole, part)
        painter.restore()

    def _tinted(self, view: QTransform, zone: ZoneShape, theme: Theme, family: str) -> QImage:
        image = self._paper.copy()
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_zone(Sheet(painter, view, theme, family), zone)
        painter.end()
        return image


def _paper(view: QTransform, size: QSize, ratio: float, theme: Theme, units: Units) -> QImage:
    image = QImage(size * ratio, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    image.fill(theme.paper)
    painter = QPainter(image)
    area = view.inverted()[0].mapRect(QRectF(0.0, 0.0, size.width(), size.height()))
    draw_grid(painter, view, area, theme, units)
    draw_scale_bar(painter, view.m11(), size.height(), theme, units)
    painter.end()
    return image
