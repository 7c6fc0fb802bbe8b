"""Words in the picture of a sweep: whole, and clear of lines and of each other, at every size."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication

from app.studies import sweep_places as spots
from app.studies.sweep_marks import DARK
from app.studies.sweep_picture import FINE, SIZE, sweep_image
from app.studies.sweep_plot import SweepPlot
from app.theme import LIGHT
from solver import files
from solver.model import Design, Limit
from solver.number_names import find_number
from solver.project import Display
from solver.sweep import SweepMap, sweep, sweep_map
from solver.sweep_copies import sweep_copies
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait
from tests.example_files import EXAMPLES

EXAMPLE = files.load(next(path for path in EXAMPLES if path.stem == "09-with-or-without-rod"))
DESIGN = EXAMPLE.variants[1].design
RATE, FREE = "springs.flap spring.rate", "springs.flap spring.free_length"
RATES = np.linspace(2.129, 3.953, 31)
SIZES = ((500, 420), (620, 300), (1100, 668))


def swept_map(design: Design = DESIGN, key: str = "holding_force") -> SweepMap:
    lengths = np.linspace(62.0, 82.0, 31)
    return sweep_map(design, (RATE, RATES), (FREE, lengths), [key])


@pytest.fixture
def plot(keep: Keeper) -> SweepPlot:
    return keep(SweepPlot(theme=LIGHT))


def sized(plot: SweepPlot, size: tuple[int, int], wait: Wait) -> None:
    plot.resize(*size)
    plot.show()
    plot.grab()
    wait.until(lambda: plot._box.height() > 0.0)


def boxes(plot: SweepPlot) -> dict[str, QRectF]:
    """The rectangles of all words that are shown, in pixels of the plot."""
    return {
        one.item.toPlainText(): one.item.mapRectToScene(one.item.boundingRect())
        for one in plot._words
        if one.item.isVisible()
    }


def inside(plot: SweepPlot) -> QRectF:
    return QRectF(plot._box.sceneBoundingRect())


def drawn(plot: SweepPlot, xs: np.ndarray, ys: np.ndarray) -> Iterator[QPointF]:
    """Places close to each other along a line, in pixels of the plot."""
    every = np.linspace(0.0, len(xs) - 1.0, 2000)
    at = np.arange(len(xs))
    for x, y in zip(np.interp(every, at, xs), np.interp(every, at, ys), strict=True):
        yield plot._box.mapViewToScene(QPointF(float(x), float(y)))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("copies", [False, True])
def test_words_of_a_curve_stand_clear(
    plot: SweepPlot, wait: Wait, size: tuple[int, int], copies: bool
) -> None:
    swept = (
        sweep_copies(DESIGN, RATE, RATES, 400)
        if copies
        else sweep(DESIGN, RATE, RATES, ["holding_force"])
    )
    plot.show_sweep(swept, DESIGN, Display())
    sized(plot, size, wait)
    found = boxes(plot)
    assert len(found) == 2
    told = next(words for words in found if " at " in words)
    bound = 99.0 if copies else 5.0
    now = find_number(DESIGN, RATE).value
    assert now is not None
    lines = {
        "curve": (swept.values, swept.readings[swept.kinds[0].key]),
        "now": (np.array([now, now]), np.array(plot._box.viewRange()[1])),
        "limit": (RATES[[0, -1]], np.array([bound, bound])),
    }
    for words, box in found.items():
        assert inside(plot).contains(box), words
        for name, line in lines.items():
            meets = [at for at in drawn(plot, *line) if box.contains(at)]
            assert not meets, f"{name} passes through “{words}” at {meets[0]}"
    one, other = found.values()
    assert not one.intersects(other)
    level = plot._box.mapViewToScene(QPointF(RATES[0], bound)).y()
    away = min(abs(found[told].top() - level), abs(found[told].bottom() - level))
    assert away < 6.0, "it does not stand at its line"


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("key", ["holding_force", "peak_effort", "hang_zone_mm"])
def test_words_of_a_map_stand_clear(
    plot: SweepPlot, wait: Wait, size: tuple[int, int], key: str
) -> None:
    plot.show_sweep(swept_map(key=key), DESIGN, Display())
    sized(plot, size, wait)
    found = boxes(plot)
    now = next(box for words, box in found.items() if words == "now 3.041 N/mm, 72.0 mm")
    here = plot._box.mapViewToScene(QPointF(3.041, 72.0))
    cross = QRectF(here.x() - 9.0, here.y() - 9.0, 18.0, 18.0)
    away = max(
        max(now.left() - here.x(), here.x() - now.right()),
        max(now.top() - here.y(), here.y() - now.bottom()),
    )
    assert away < 60.0, "it is not at its cross"
    for words, box in found.items():
        assert inside(plot).contains(box), words
        assert not box.intersects(cross), words
    for (words, box), (others, other) in combinations(found.items(), 2):
        assert not box.intersects(other), f"“{words}” and “{others}”"
    assert sum(words.replace(".", "").isdecimal() for words in found) >= 2


def test_a_limit_is_interrupted_at_its_own_words(plot: SweepPlot, wait: Wait) -> None:
    """Its line is painted under the words' ground, which lets nothing through."""
    plot.show_sweep(swept_map(), DESIGN, Display())
    sized(plot, (1100, 668), wait)
    box = boxes(plot)["at least 5.00 N"]
    image = plot.grab().toImage()
    ratio = image.devicePixelRatio()
    edge = [
        image.pixelColor(round(x * ratio), round(y * ratio))
        for x in (box.left() + 2.0, box.right() - 2.0)
        for y in np.arange(box.top() + 1.5, box.bottom() - 1.5)
    ]
    assert set(map(QColor.name, edge)) == {DARK.name()}


def test_words_that_find_no_place_are_left_out(plot: SweepPlot, wait: Wait) -> None:
    limits = (Limit("holding_force", at_least=4.9, at_most=5.1),)
    plot.show_sweep(swept_map(), replace(DESIGN, limits=limits), Display())
    sized(plot, (260, 200), wait)
    found = boxes(plot)
    for (words, box), (others, other) in combinations(found.items(), 2):
        needed = words.startswith(("at", "now")) and others.startswith(("at", "now"))
        assert needed or not box.intersects(other)


def test_the_cross_is_as_thin_in_a_picture_as_on_screen(qapp: QApplication) -> None:
    image = sweep_image(swept_map(), DESIGN, Display(), "Flap")
    assert image.size() == SIZE * FINE
    white = [
        (x, y)
        for x in range(1040, 1130)
        for y in range(705, 760)
        if image.pixelColor(x, y).name() == "#ffffff"
    ]
    middle = max({y for _, y in white}, key=lambda row: sum(y == row for _, y in white))
    columns = [x for x, y in white if y == middle]
    assert 28 <= max(columns) - min(columns) <= 40
    upright = max({x for x, _ in white}, key=lambda col: sum(x == col for x, _ in white))
    thick = [x for x, y in white if y == middle - 12 and abs(x - upright) < 12]
    assert 2 <= len(thick) <= 7


def test_places_are_weighed_as_they_are_seen() -> None:
    view = spots.View(200.0, 100.0, 0.0, 10.0, 0.0, 10.0)
    line = view.traced(np.array([[0.0, 5.0], [10.0, 5.0]]))
    assert np.hypot(*np.diff(line[line[:, 0].argsort()], axis=0).T).max() <= 3.0
    assert line[:, 1] == pytest.approx(50.0)
    beside = spots.beside_level(5.0, view, (40.0, 10.0))
    assert np.abs(beside[:, 1] - 50.0).min() >= 5.0
    found = spots.clearest(view, beside, (40.0, 10.0), (), ())
    assert found is not None
    assert found[1][0] < 40.0  # the first of the clear ones, at the left
    assert found[1][1] < 50.0  # above
    upright = view.traced(np.array([[1.0, 0.0], [1.0, 10.0]]))
    moved = spots.clearest(view, beside, (40.0, 10.0), (upright,), ())
    assert moved is not None
    assert moved[1][0] - 20.0 >= 20.0 + 9.9
    assert spots.clearest(view, beside, (220.0, 10.0), (), ()) is None
    gap = view.traced(np.array([[0.0, 5.0], [3.0, np.nan], [6.0, 5.0], [10.0, 5.0]]))
    assert gap[:, 0].min() >= 119.0
