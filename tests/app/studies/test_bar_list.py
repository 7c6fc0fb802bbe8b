"""The list of bars: no name is cut off."""

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QStyleOptionViewItem

from app.studies.bar_list import Bar, BarList, show_all_rows
from app.study_words import TIED
from tests.app.leftovers import Keeper

BARS = [
    Bar("rate of the long flap spring, 0.304 N/mm", 1.0, "+0.57 N"),
    Bar("rest A, 0.50°", 0.4, "−0.05 N"),
]


def shown(keep: Keeper, width: int) -> BarList:
    made = keep(BarList("What counts", ("A little more of", "Does")))
    made.resize(width, 200)
    made.show()
    QTest.qWaitForWindowExposed(made)
    made.show_bars(BARS)
    QApplication.processEvents()
    return made


@pytest.mark.parametrize("width", [260, 300, 330])
def test_a_name_too_wide_for_its_column_goes_on_in_the_next_line(keep: Keeper, width: int) -> None:
    table = shown(keep, width)
    index = table.model().index(0, 0)
    option = QStyleOptionViewItem()
    table.itemDelegateForColumn(0).initStyleOption(option, index)  # type: ignore[attr-defined]
    lines = option.text.split("\N{LINE SEPARATOR}")
    assert " ".join(lines).replace(TIED, " ") == BARS[0].label
    assert len(lines) > 1
    metrics = table.fontMetrics()
    assert max(metrics.horizontalAdvance(line) for line in lines) <= table.columnWidth(0)
    assert table.rowHeight(index) >= len(lines) * metrics.height()
    assert table.rowHeight(table.model().index(1, 0)) < 2 * metrics.height()


def test_in_a_wide_list_every_name_has_one_line(keep: Keeper) -> None:
    table = shown(keep, 700)
    index = table.model().index(0, 0)
    assert table.rowHeight(index) < 2 * table.fontMetrics().height()


def test_a_list_on_a_page_is_as_high_as_its_rows_at_every_width(keep: Keeper) -> None:
    table = shown(keep, 700)
    table.header().sectionResized.connect(lambda: show_all_rows(table))
    show_all_rows(table)
    before = table.height()
    table.resize(260, before)
    QApplication.processEvents()
    assert table.height() > before
    assert table.verticalScrollBar().maximum() == 0
