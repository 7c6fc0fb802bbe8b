"""A sweep as a picture for a page: light whatever the window's look, large, with its title."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFont, QImage, QPainter

from app.studies.sweep_plot import SweepPlot
from app.theme import LIGHT
from solver.model import Design
from solver.project import Display
from solver.sweep import Sweep, SweepMap

SIZE = QSize(1100, 720)
FINE = 2
"""The picture has so many pixels for each of `SIZE`."""
_HEAD = 52.0


def sweep_image(swept: Sweep | SweepMap, design: Design, display: Display, title: str) -> QImage:
    """The sweep of a design under a title such as the project's and the variant's names."""
    plot = SweepPlot(theme=LIGHT)
    plot.resize(SIZE.width(), SIZE.height() - round(_HEAD))
    plot.set_ratio(FINE)
    plot.show_sweep(swept, design, display)
    plot.grab()  # lays the plot out, as showing it would
    plot.settle()
    image = QImage(SIZE * FINE, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(FINE)
    image.fill(LIGHT.paper)
    painter = QPainter(image)
    font = QFont(plot.font())
    font.setPixelSize(20)
    font.setBold(True)
    painter.setFont(font)
    painter.setPen(LIGHT.ink)
    head = QRectF(16.0, 0.0, SIZE.width() - 32.0, _HEAD)
    text = painter.fontMetrics().elidedText(title, Qt.TextElideMode.ElideMiddle, int(head.width()))
    painter.drawText(head, int(Qt.AlignmentFlag.AlignVCenter), text)
    painter.end()
    below = QImage(plot.size() * FINE, QImage.Format.Format_RGB32)
    below.setDevicePixelRatio(FINE)
    plot.render(below)
    painter = QPainter(image)
    painter.drawImage(QRectF(0.0, _HEAD, plot.width(), plot.height()), below)
    painter.end()
    plot.deleteLater()
    return image
