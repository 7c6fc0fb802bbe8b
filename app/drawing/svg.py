"""A page as an SVG file, at true size."""

from __future__ import annotations

import re

from PySide6.QtCore import QBuffer, QIODevice, QRectF, QSize
from PySide6.QtGui import QPainter
from PySide6.QtSvg import QSvgGenerator

from app.drawing.metrics import plain
from app.drawing.model import Drawing
from app.drawing.painting import need_application, paint

_DOTS_PER_MM = 10
_SIZE = re.compile(rb'width="[^"]*mm" height="[^"]*mm"')
_DASHES = re.compile(
    rb'stroke-dasharray="([^"]*)"( stroke-dashoffset="[^"]*" stroke-width="([^"]*)")'
)


def as_svg(page: Drawing) -> bytes:
    """The page as SVG 1.1 with a view box in mm; equal pages give equal bytes."""
    need_application()
    width, height = page.size
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    generator = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    generator.setOutputDevice(buffer)
    # Qt writes the size in whole dots over dots per inch; it is set right below.
    generator.setResolution(round(25.4 * _DOTS_PER_MM))
    generator.setSize(QSize(round(width * _DOTS_PER_MM), round(height * _DOTS_PER_MM)))
    generator.setViewBox(QRectF(0.0, 0.0, width, height))
    generator.setTitle(plain(page.title))
    generator.setDescription("Throwover")
    painter = QPainter(generator)
    paint(painter, page)
    painter.end()
    written = bytes(buffer.data().data())
    text = _SIZE.sub(f'width="{width:.9g}mm" height="{height:.9g}mm"'.encode(), written, 1)
    return _DASHES.sub(_in_mm, text)


def _in_mm(found: re.Match[bytes]) -> bytes:
    """Dashes in mm: Qt leaves them in widths of the pen, which SVG does not know."""
    dashes, after, width = found.groups()
    lengths = (f"{float(dash) * float(width):.6g}" for dash in dashes.split(b","))
    return b'stroke-dasharray="' + ",".join(lengths).encode() + b'"' + after
