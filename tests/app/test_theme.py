"""The colours: readable, told apart, switched at once."""

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCheckBox, QComboBox, QLabel, QMenu, QSlider, QWidget

from app.closing import close_button
from app.theme import DARK, LIGHT, Choice, Theme, palette, theme_source
from app.ticked_menu import TickedMenu
from app.variants.menus import StayingMenu
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait
from tests.app.windows_for_tests import window

GROUNDS = ("paper", "panel", "field", "button")
TEXTS = ("ink", "faint_ink", "rest_a", "rest_b", "dead_centre", "good", "bad", "accent")


@pytest.fixture(autouse=True)
def choice_put_back(qapp: QApplication) -> Iterator[None]:
    before = theme_source.choice
    yield
    theme_source.choose(before)


def luminance(colour: QColor) -> float:
    """WCAG 2.2, definition of relative luminance."""

    def linear(share: float) -> float:
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    return (
        0.2126 * linear(colour.redF())
        + 0.7152 * linear(colour.greenF())
        + 0.0722 * linear(colour.blueF())
    )


def contrast(one: QColor, other: QColor) -> float:
    """WCAG 2.2, definition of contrast ratio."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def as_deuteranope(colour: QColor) -> tuple[float, float, float]:
    """Machado, Oliveira and Fernandes 2009, table 1, deuteranomaly of severity 1.0."""
    r, g, b = colour.redF(), colour.greenF(), colour.blueF()
    return (
        0.367322 * r + 0.860646 * g - 0.227968 * b,
        0.280085 * r + 0.672501 * g + 0.047413 * b,
        -0.011820 * r + 0.042940 * g + 0.968881 * b,
    )


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("text", TEXTS)
def test_text_is_readable(theme: Theme, text: str, ground: str) -> None:
    # WCAG 2.2, success criterion 1.4.3 (AA): 4.5 to 1.
    assert contrast(getattr(theme, text), getattr(theme, ground)) >= 4.5


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_marks_stand_out(theme: Theme) -> None:
    # WCAG 2.2, success criterion 1.4.11 (AA): 3 to 1 for what is not text.
    for role in ("selection", "spring", "frame", "plate_edge", "lever_edge"):
        assert contrast(getattr(theme, role), theme.paper) >= 3.0
    assert contrast(theme.on_accent, theme.accent) >= 4.5


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_rests_and_dead_centre_differ_for_the_colour_blind(theme: Theme) -> None:
    seen = [as_deuteranope(colour) for colour in (theme.rest_a, theme.rest_b, theme.dead_centre)]
    for one, other in combinations(seen, 2):
        assert max(abs(a - b) for a, b in zip(one, other, strict=True)) > 0.15


def test_choosing_dark_reaches_widgets_at_once(
    qapp: QApplication, keep: Keeper, wait: Wait
) -> None:
    theme_source.choose("light")
    label = keep(QLabel())
    told = []
    theme_source.changed.connect(lambda: told.append(theme_source.theme))
    theme_source.choose("dark")
    assert told == [DARK]
    wait.until(lambda: label.palette().windowText().color() == DARK.ink)
    assert qapp.style().objectName() == "fusion"


def test_the_desktop_decides_where_it_is_left_to_it(qapp: QApplication) -> None:
    theme_source.choose("dark")
    theme_source.choose("system")
    # The invisible platform of the tests tells of no scheme: paper.
    assert theme_source.theme is LIGHT


def test_disabled_text_looks_disabled() -> None:
    for theme in (LIGHT, DARK):
        made = palette(theme)
        disabled = made.color(made.ColorGroup.Disabled, made.ColorRole.ButtonText)
        assert contrast(disabled, theme.panel) < contrast(theme.ink, theme.panel) / 2


@pytest.mark.parametrize("choice", ["light", "dark"])
def test_an_unticked_box_has_an_outline_that_is_seen(choice: str, keep: Keeper) -> None:
    theme_source.choose("dark" if choice == "dark" else "light")
    box = keep(QCheckBox("Bands"))
    box.show()
    image = box.grab().toImage()
    theme = DARK if choice == "dark" else LIGHT
    row = [image.pixelColor(x, image.height() // 2) for x in range(12)]
    assert max(contrast(colour, theme.panel) for colour in row) >= 3.0  # WCAG 2.2, 1.4.11
    assert max(contrast(colour, theme.field) for colour in row) >= 3.0  # WCAG 2.2, 1.4.11


@pytest.mark.parametrize("choice", ["light", "dark"])
@pytest.mark.parametrize("kind", [TickedMenu, StayingMenu])
def test_an_unticked_entry_of_a_menu_has_an_outline_that_is_seen(
    choice: Choice, kind: type[QMenu], keep: Keeper
) -> None:
    theme_source.choose(choice)
    menu = keep(kind())
    menu.addAction("Bands").setCheckable(True)
    menu.resize(menu.sizeHint())
    image = menu.grab().toImage()
    entry = menu.actionGeometry(menu.actions()[0])
    row = [image.pixelColor(x, entry.center().y()) for x in range(4, entry.height())]
    ground = image.pixelColor(entry.right() - 4, entry.center().y())
    assert max(contrast(colour, ground) for colour in row) >= 3.0  # WCAG 2.2, 1.4.11


@pytest.mark.parametrize("choice", ["light", "dark"])
def test_the_handle_of_a_slider_is_seen(choice: Choice, keep: Keeper) -> None:
    theme_source.choose(choice)
    ground = keep(QWidget())
    slider = QSlider(Qt.Orientation.Horizontal, ground)
    slider.setValue(50)
    slider.resize(200, 24)
    ground.resize(slider.size())
    image = ground.grab().toImage()
    # Above the groove there is nothing but the handle: its outline at its sides.
    row = [image.pixelColor(x, 8) for x in range(image.width())]
    seen = [x for x, colour in enumerate(row) if contrast(colour, theme_source.theme.panel) >= 3.0]
    assert seen, "WCAG 2.2, 1.4.11"
    assert 5 <= max(seen) - min(seen) <= 15


@pytest.mark.parametrize("choice", ["light", "dark"])
def test_the_cross_of_a_close_button_follows_the_look(choice: Choice, keep: Keeper) -> None:
    theme_source.choose("dark" if choice == "light" else "light")
    dialog = keep(QWidget())
    button = close_button(dialog)
    theme_source.choose(choice)
    image = button.icon().pixmap(16, 16).toImage()
    middle = image.pixelColor(image.width() // 2, image.height() // 2)
    assert middle.alpha() > 200
    assert contrast(middle, theme_source.theme.button) >= 4.5


def test_menus_of_the_window_with_boxes_to_tick_are_of_the_kind_that_outlines_them(
    own_home: Path, keep: Keeper
) -> None:
    main = keep(window(own_home))
    popped = main.createPopupMenu()
    assert [each.text() for each in popped.actions()][:2] == ["Tools", "Parts"]
    ticked = [
        menu
        for menu in main.findChildren(QMenu)
        if any(action.isCheckable() for action in menu.actions())
    ]
    assert popped in ticked
    assert len(ticked) > 5
    assert [menu.title() for menu in ticked if not isinstance(menu, TickedMenu)] == []


@pytest.mark.parametrize("choice", ["light", "dark"])
def test_the_list_of_a_combo_box_is_readable_and_looks_alive(
    choice: Choice, keep: Keeper, wait: Wait
) -> None:
    theme_source.choose(choice)
    box = keep(QComboBox())
    box.addItems(["most room for the tolerances", "as much as can be", "as little as can be"])
    box.show()
    QTest.mouseClick(box, Qt.MouseButton.LeftButton)
    listed = box.view()
    wait.until(listed.isVisible)
    image = listed.viewport().grab().toImage()
    theme = theme_source.theme
    for row in range(box.count()):
        place = listed.visualRect(listed.model().index(row, 0))
        ground, ink = _ground_and_ink(image, place)
        assert contrast(ink, ground) >= 4.5, row  # WCAG 2.2, success criterion 1.4.3 (AA)
        if row != box.currentIndex():
            assert contrast(ground, theme.panel) < 1.25, "a ground like that of panels and menus"
    box.hidePopup()


def _ground_and_ink(image: QImage, place: QRect) -> tuple[QColor, QColor]:
    """The colour that most of a row has, and the one that stands out most from it."""
    inside = place.intersected(image.rect()).adjusted(3, 2, -3, -2)
    spots = [
        QPoint(x, y)
        for x in range(inside.left(), inside.right())
        for y in range(inside.top(), inside.bottom())
    ]
    seen = Counter(image.pixelColor(spot).rgb() for spot in spots)
    ground = QColor(seen.most_common(1)[0][0])
    return ground, max((QColor(rgb) for rgb in seen), key=lambda ink: contrast(ink, ground))
