"""The curves of compared variants, each with its number on it."""

from itertools import combinations

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFont, QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.theme import LIGHT
from app.variants import diagrams
from app.variants.comparison import Together, plots
from app.variants.marks import DISC, mark
from tests.app.variants.showing import comparison


@pytest.mark.parametrize("size", [(760.0, 240.0), (560.0, 190.0), (1200.0, 420.0)])
@pytest.mark.parametrize("together", ["share", "direction"])
def test_numbers_stand_on_their_curves(
    qapp: QApplication, size: tuple[float, float], together: Together
) -> None:
    """Apart from each other, inside the plot, away from where the levers mostly are."""
    width = size[0] / 3.0
    cells = [QRectF(at * width, 0.0, width, size[1]) for at in range(3)]
    for shown in (comparison(0, 1), comparison(0, 1, 2, 3)):
        drawn = plots(shown, together)
        for plot, frame in zip(drawn, diagrams.frames(drawn, cells, QFont()), strict=True):
            assert [number for number, _ in frame.discs] == [e.number for e in plot.entries]
            for (_, at), (xs, ys) in zip(frame.discs, plot.curves, strict=True):
                there = frame.down(diagrams.value_at(xs, ys, frame.value_at(at.x())))
                assert at.y() == pytest.approx(there, abs=1.5)
                assert frame.box.contains(disc_around(at))
                ends = sorted((frame.across(float(xs[0])), frame.across(float(xs[-1]))))
                part = (at.x() - ends[0]) / (ends[1] - ends[0])
                assert 0.05 < abs(part - 0.5) < 0.45
            for (_, one), (_, other) in combinations(frame.discs, 2):
                assert not disc_around(one).intersects(disc_around(other)) or (
                    (one - other).manhattanLength() > DISC
                )


def disc_around(middle: QPointF) -> QRectF:
    return QRectF(middle.x() - DISC / 2.0, middle.y() - DISC / 2.0, DISC, DISC)


def test_the_line_of_the_levers_passes_under_numbers(qapp: QApplication) -> None:
    shown = comparison(0, 1)
    drawn = plots(shown, "share")
    (frame, *_) = diagrams.frames(drawn, [QRectF(0.0, 0.0, 300.0, 240.0)] * 3, QFont())
    number, at = frame.discs[1]
    image = QImage(300, 240, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    diagrams.paint_plot(painter, drawn[0], frame, LIGHT, QFont(), "% of the travel")
    column = int(at.x())
    place = frame.value_at(column + 0.5)  # the middle of pixels
    diagrams.paint_cursor(painter, drawn[0], frame, place, LIGHT, QFont(), shown.display)
    painter.end()
    colours = [image.pixelColor(column, y) for y in range(round(at.y()) - 8, 240)]
    inside, below = colours[:4], colours[20:]
    assert LIGHT.paper.name() in {
        image.pixelColor(x, round(at.y())).name() for x in range(column - 3, column + 4)
    }, "the dot hides the number"
    assert mark(number, LIGHT).ink in inside
    assert LIGHT.selection not in inside
    assert LIGHT.selection in below
