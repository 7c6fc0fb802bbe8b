"""Line styles of the rests and dead centre in plots and gauges, after those in the sketch; pens."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPen

REST_A = Qt.PenStyle.DashLine
REST_B = Qt.PenStyle.DashDotLine
DEAD_CENTRE = Qt.PenStyle.DotLine


def pen_of(colour: QColor, style: Qt.PenStyle, ratio: float, width: float = 1.0) -> QPen:
    """A pen so many logical pixels wide, whatever the scale of the plot.

    ratio: device pixels in a logical one; a whole number of them for lines that are not smoothed.
    """
    pen = QPen(colour, max(ratio, 1.0) * width, style)
    pen.setCosmetic(True)  # cosmetic widths count device pixels
    return pen
