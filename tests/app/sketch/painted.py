"""The linkage in a picture of its own, without a window."""

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QImage, QPainter, QTransform

from app.sketch.drawing import Touch, draw_sheet
from app.sketch.grid import draw_grid
from app.sketch.navigation import fitted
from app.sketch.picture import Picture
from app.sketch.sheet import Sheet
from app.sketch.words import Words
from app.theme import Theme


def paint_picture(picture: Picture, size: QSize, theme: Theme, family: str) -> QImage:
    """The linkage fitted into an image of `size` pixels, with paper and grid."""
    image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(theme.paper)
    box = picture.box or (-60.0, -40.0, 60.0, 80.0)
    scale, (x, y) = fitted(box, size.width(), size.height())
    view = QTransform(
        scale, 0.0, 0.0, -scale, size.width() / 2.0 - scale * x, size.height() / 2.0 + scale * y
    )
    area = QRectF(0.0, 0.0, size.width(), size.height())
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    world = view.inverted()[0].mapRect(area)
    draw_grid(painter, view, world, theme, picture.display.units)
    sheet = Sheet(painter, view, theme, family)
    draw_sheet(sheet, picture, (0.0, 0.0, area.width(), area.height()), Words(), Touch())
    painter.end()
    return image
