"""Line styles of the rests and dead centre in plots and gauges, after those in the sketch."""

from PySide6.QtCore import Qt

REST_A = Qt.PenStyle.DashLine
REST_B = Qt.PenStyle.DashDotLine
DEAD_CENTRE = Qt.PenStyle.DotLine
