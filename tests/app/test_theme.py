"""The colours: readable, told apart, switched at once."""

from collections.abc import Iterator
from itertools import combinations

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication, QCheckBox, QLabel, QMenu

from app.theme import DARK, LIGHT, Theme, palette, theme_source
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait

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
def test_an_unticked_entry_of_a_menu_has_an_outline_that_is_seen(
    choice: str, keep: Keeper, wait: Wait
) -> None:
    theme_source.choose("dark" if choice == "dark" else "light")
    menu = keep(QMenu())
    menu.addAction("Bands").setCheckable(True)
    menu.resize(menu.sizeHint())
    image = menu.grab().toImage()
    entry = menu.actionGeometry(menu.actions()[0])
    row = [image.pixelColor(x, entry.center().y()) for x in range(4, entry.height())]
    ground = image.pixelColor(entry.right() - 4, entry.center().y())
    assert max(contrast(colour, ground) for colour in row) >= 3.0  # WCAG 2.2, 1.4.11
