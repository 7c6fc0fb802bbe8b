"""The ground of the sketch is what would be painted there, and Qt needs no threads to copy it."""

from pathlib import Path

import pytest
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QImage, QPainter, QTransform
from PySide6.QtWidgets import QApplication, QGraphicsItem, QGraphicsView

from app.sketch.canvas import SketchCanvas
from app.sketch.grid import draw_grid, draw_scale_bar
from app.sketch.ground import Ground
from app.sketch.overlays import Legend
from app.sketch.sheet import Sheet
from app.sketch.zone import draw_zone
from app.theme import LIGHT
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import session
from tests.app.sketch.test_found import zone
from tests.app.waiting import Wait
from tests.app.windows_for_tests import shown_window

VIEW = QTransform(2.0, 0.0, 0.0, -2.0, 300.0, 350.0)
SIZE = QSize(600, 500)


def blank(ratio: float) -> QImage:
    image = QImage(SIZE * ratio, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    image.fill(LIGHT.ink)
    return image


def painted_at_once(ratio: float, with_zone: bool) -> QImage:
    image = blank(ratio)
    image.fill(LIGHT.paper)
    painter = QPainter(image)
    area = VIEW.inverted()[0].mapRect(QRectF(0.0, 0.0, SIZE.width(), SIZE.height()))
    draw_grid(painter, VIEW, area, LIGHT, "metric")
    draw_scale_bar(painter, VIEW.m11(), SIZE.height(), LIGHT, "metric")
    if with_zone:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_zone(Sheet(painter, VIEW, LIGHT, ""), zone())
    painter.end()
    return image


@pytest.mark.parametrize("ratio", [1.0, 1.25, 1.5, 2.0])
def test_the_copied_ground_is_the_painted_one(qapp: QApplication, ratio: float) -> None:
    ground = Ground()
    for shown in (None, zone(), None):
        image = blank(ratio)
        painter = QPainter(image)
        painter.setWorldTransform(VIEW)
        ground.paint(painter, SIZE, LIGHT, "metric", shown, "")
        painter.end()
        assert image == painted_at_once(ratio, with_zone=shown is not None)


def test_no_view_or_item_keeps_a_picture_that_qt_mixes_in_threads(
    keep: Keeper, wait: Wait, tmp_path: Path
) -> None:
    shown = keep(shown_window(tmp_path, wait))
    views = shown.findChildren(QGraphicsView)
    assert len(views) >= 2
    for view in views:
        assert view.cacheMode() == QGraphicsView.CacheModeFlag.CacheNone
        for item in view.scene().items():
            assert item.cacheMode() == QGraphicsItem.CacheMode.NoCache


def test_the_legend_is_not_opaque_and_cuts_no_hole_into_the_canvas(
    keep: Keeper, qapp: QApplication
) -> None:
    canvas = keep(SketchCanvas(session("compression")))
    legend = canvas.findChild(Legend)
    assert isinstance(legend, Legend)
    assert legend.autoFillBackground()
    assert 200 < legend.palette().window().color().alpha() < 255
