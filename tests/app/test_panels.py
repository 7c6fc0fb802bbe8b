"""The panels around the sketch: the room that one lends another."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QScrollArea

from app.curves import Curves
from app.studies.copies import CopiesPanel
from app.theme import theme_source
from app.window import MainWindow
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait
from tests.app.windows_for_tests import window
from tests.example_files import EXAMPLES

_LEAST_CURVES = 275
"""Pixels of the dock below which two plots one above the other are strips."""


def arranged(home: Path, keep: Keeper, wait: Wait, size: QSize) -> MainWindow:
    """A window of that size on screen, its panels filled and where they are at first."""
    made = keep(window(home))
    made.resize(size)
    made.panels.reset()
    made.show()
    wait.until(lambda: all(dock.widget() for dock in made.panels.docks.values()))
    made.panels.share_out()
    QApplication.processEvents()
    return made


def arranged_as_kept(home: Path, keep: Keeper, wait: Wait) -> MainWindow:
    """A window on screen as the last one in that home was left."""
    made = keep(window(home))
    made.show()
    wait.until(lambda: all(dock.widget() for dock in made.panels.docks.values()))
    return made


def heights(main: MainWindow, *keys: str) -> tuple[int, ...]:
    """The heights of panels once the window has been laid out."""
    for _ in range(3):
        QApplication.processEvents()
    return tuple(main.panels.docks[key].height() for key in keys)


def lending(home: Path, keep: Keeper, wait: Wait) -> tuple[MainWindow, int]:
    """A usual window whose curves lend the copies room, and how high they are without that."""
    main = arranged(home, keep, wait, QSize(1600, 1000))
    (before,) = heights(main, "curves")
    main.panels.bring_up("copies")
    assert heights(main, "curves") < (before,)
    return main, before


def plots(main: MainWindow) -> list[float]:
    """The heights of the two plots, without their headings and axes."""
    curves = main.panels.docks["curves"].widget()
    assert isinstance(curves, Curves)
    return [pane.box.size().height() for pane in (curves.energy, curves.effort)]


@pytest.mark.parametrize("size", [QSize(1600, 1000), QSize(1264, 760)])
def test_curves_hardly_change_when_a_study_comes_to_the_front(
    own_home: Path, keep: Keeper, wait: Wait, size: QSize
) -> None:
    main = arranged(own_home, keep, wait, size)
    (before,) = heights(main, "curves")
    for key in ("copies", "effects", "gaps"):
        main.panels.bring_up(key)
        (now,) = heights(main, "curves")
        assert now >= 5 / 6 * before - 1


def test_a_smaller_window_leaves_both_plots_readable(
    own_home: Path, keep: Keeper, wait: Wait
) -> None:
    main, _ = lending(own_home, keep, wait)
    for size in (QSize(1264, 760), QSize(1024, 690)):
        main.resize(size)
        heights(main, "curves")
        assert min(plots(main)) >= 70.0
    # Neither does a hand that gives all it can to what stands below.
    docks = [main.panels.docks[key] for key in ("curves", "gauge", "copies")]
    main.resizeDocks(docks, [50, 100, 900], Qt.Orientation.Vertical)
    heights(main, "curves")
    assert min(plots(main)) >= 70.0


def test_a_low_panel_of_copies_shows_its_headline_and_three_limits(
    own_home: Path, keep: Keeper, wait: Wait
) -> None:
    main = arranged(own_home, keep, wait, QSize(1264, 760))
    main.projects.open(EXAMPLES[0])
    main.panels.bring_up("copies")
    copies = main.panels.docks["copies"].widget()
    assert isinstance(copies, CopiesPanel)
    wait.until(lambda: copies.limits.topLevelItemCount() >= 3, 60)
    heights(main, "copies")
    area = copies.findChild(QScrollArea)
    assert isinstance(area, QScrollArea)
    third = copies.limits.visualRect(copies.limits.model().index(2, 0))
    for widget, box in ((copies.head, copies.head.rect()), (copies.limits.viewport(), third)):
        seen = area.viewport().rect()
        corners = (widget.mapTo(area.viewport(), at) for at in (box.topLeft(), box.bottomLeft()))
        assert all(seen.contains(corner) for corner in corners)


@pytest.mark.parametrize("size", [QSize(1600, 1000), QSize(1280, 800)])
@pytest.mark.parametrize("way", [("copies",), ("effects",), ("copies", "effects", "copies")])
def test_room_that_a_study_took_is_given_back_when_it_goes(
    own_home: Path, keep: Keeper, wait: Wait, size: QSize, way: tuple[str, ...]
) -> None:
    main = arranged(own_home, keep, wait, size)
    before = heights(main, "curves", "gauge", "readings")
    for key in way:
        main.panels.bring_up(key)
        (now,) = heights(main, key)
        assert now > before[2]
        assert heights(main, "curves") >= (_LEAST_CURVES,)
    main.panels.bring_up("readings")
    assert heights(main, "curves", "gauge", "readings") == before


def test_a_panel_made_higher_meanwhile_is_given_no_more_than_it_lacks(
    own_home: Path, keep: Keeper, wait: Wait
) -> None:
    main, before = lending(own_home, keep, wait)
    docks = [main.panels.docks[key] for key in ("curves", "gauge", "copies")]
    main.resizeDocks(docks, [before + 30, 150, 250], Qt.Orientation.Vertical)
    (own,) = heights(main, "curves")
    assert own > before
    main.panels.bring_up("readings")
    assert heights(main, "curves") == (own,)


def test_the_next_run_begins_with_the_room_that_panels_have_of_their_own(
    own_home: Path, keep: Keeper, wait: Wait
) -> None:
    main, before = lending(own_home, keep, wait)
    main.panels.give_back()
    assert heights(main, "curves") == (before,)
    main.panels.fill()
    assert heights(main, "curves") < (before,), "a study that is in front at a start gets room"
    assert main.close()
    kept = main.settings.layout("usual")
    assert kept is not None
    assert main.restoreState(kept[1])
    main.panels.bring_up("readings")
    assert heights(main, "curves") == (before,)


def inks(main: MainWindow, key: str) -> list[QColor]:
    """The strongest colour of each of the two buttons of a panel's title."""
    found = []
    for name in ("float", "close"):
        button = main.panels.docks[key].findChild(QAbstractButton, f"qt_dockwidget_{name}button")
        assert isinstance(button, QAbstractButton)
        image = button.icon().pixmap(16, 16).toImage()
        colours = [
            image.pixelColor(x, y) for x in range(image.width()) for y in range(image.height())
        ]
        found.append(max(colours, key=QColor.alpha))
    return found


@pytest.fixture
def dark() -> Iterator[None]:
    before = theme_source.choice
    theme_source.choose("dark")
    yield
    theme_source.choose(before)


@pytest.mark.usefixtures("dark")
def test_buttons_of_panels_keep_our_ink(own_home: Path, keep: Keeper, wait: Wait) -> None:
    first = arranged(own_home, keep, wait, QSize(1600, 1000))
    ink = theme_source.theme.ink
    assert inks(first, "curves") == [ink, ink]
    assert first.close()
    main = arranged_as_kept(own_home, keep, wait)
    assert inks(main, "curves") == [ink, ink], "a kept arrangement has been restored"
    curves = main.panels.docks["curves"]
    button = curves.findChild(QAbstractButton, "qt_dockwidget_floatbutton")
    assert isinstance(button, QAbstractButton)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    wait.until(curves.isFloating)
    assert inks(main, "curves") == [ink, ink]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    wait.until(lambda: not curves.isFloating())
    assert inks(main, "curves") == [ink, ink]
