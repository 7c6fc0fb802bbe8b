"""A page as a picture."""

from __future__ import annotations

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, Qt
from PySide6.QtGui import QImage, QImageWriter, QPainter

from app.drawing.model import Drawing
from app.drawing.painting import need_application, paint

DOTS = 200
"""Dots per inch, where nothing else is asked for."""


def as_image(page: Drawing, dots: float = DOTS) -> QImage:
    """The page in black on white, `dots` per inch."""
    need_application()
    per_mm = dots / 25.4
    width, height = (max(1, round(side * per_mm)) for side in page.size)
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    for set_dots in (image.setDotsPerMeterX, image.setDotsPerMeterY):
        set_dots(round(per_mm * 1000.0))
    painter = QPainter(image)
    painter.scale(per_mm, per_mm)
    paint(painter, page)
    painter.end()
    return image


def as_png(page: Drawing, dots: float = DOTS) -> bytes:
    """The page as a PNG file that tells its dots per inch."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    QImageWriter(buffer, QByteArray(b"png")).write(as_image(page, dots))
    return bytes(buffer.data().data())
