"""The comparison on one page for the printer."""

import math
import re
from dataclasses import replace
from datetime import date

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.variants import page, tables
from app.variants.comparison import with_copies
from app.variants.page_answers import page_answers
from app.variants.page_table import page_font, page_table
from app.variants.page_words import page_words
from app.variants.reasons import answer
from solver.changes import changes
from solver.project import Display
from tests.app.variants.showing import comparison, example, four, long_names


def sized(document: bytes) -> tuple[float, float]:
    found = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", document)
    assert found
    width, height = (float(each) / 72.0 * 25.4 for each in found.groups())
    return width, height


@pytest.mark.parametrize("count", [2, 3, 4])
def test_the_page_is_one_lying_a4_sheet(qapp: QApplication, count: int) -> None:
    document = page.as_pdf(comparison(*range(count)), 0.4, "share")
    assert sized(document) == (pytest.approx(297.0, abs=0.3), pytest.approx(210.0, abs=0.3))
    assert len(re.findall(rb"/Type\s*/Page\b", document)) == 1


@pytest.mark.parametrize("project", [example(), four()], ids=["example", "four"])
def test_nothing_on_the_page_runs_over_its_edge(qapp: QApplication, project: object) -> None:
    shown = comparison(*range(2 if project == example() else 4))
    sheet = QImage(1403, 992, QImage.Format.Format_RGB32)
    sheet.fill(Qt.GlobalColor.white)
    painter = QPainter(sheet)
    page.paint_page(painter, QRectF(sheet.rect()), shown, 0.3, "share", page.Origin("lever"))
    painter.end()
    margin = 30
    for x in range(0, sheet.width(), 3):
        for y in (*range(0, margin, 3), *range(sheet.height() - margin, sheet.height(), 3)):
            assert sheet.pixelColor(x, y) == Qt.GlobalColor.white
    for y in range(0, sheet.height(), 3):
        for x in (*range(0, margin, 3), *range(sheet.width() - margin, sheet.width(), 3)):
            assert sheet.pixelColor(x, y) == Qt.GlobalColor.white


@pytest.mark.parametrize("count", [2, 3, 4])
def test_the_page_can_be_read_when_it_is_printed(qapp: QApplication, count: int) -> None:
    for shown in (long_names(), comparison(*range(count))):
        table = page_table(shown, 840.0)
        words = page_words(shown, 1319.0 - table.width, 380.0)
        for pixels in (table.size, words.size):
            assert 72.0 * pixels / page.DOTS >= 7.0
        assert table.width < 900.0
        assert words.height <= 380.0
        keys = {row.key for row in table.rows}
        assert "holding_force" in keys
        assert all(
            any(row.key == f"limit {each.key}" for row in table.rows)
            for each in tables.table_of(shown).limits
        )


@pytest.mark.parametrize("many", [False, True], ids=["two", "four"])
def test_the_answers_stand_at_the_top_of_the_page(qapp: QApplication, many: bool) -> None:
    shown = long_names() if many else with_copies(comparison(0, 1, project=example()))
    answers = page_answers(shown, 1319.0)
    assert 72.0 * answers.size / page.DOTS >= 7.0
    assert answers.height <= 130.0
    assert len(answers.told) == len(shown.entries)
    for (number, text), entry in zip(answers.told, shown.entries, strict=True):
        assert number == entry.number
        plain = text.replace("\N{NO-BREAK SPACE}", " ")
        assert plain.endswith(f": {answer(entry, shown, answers.why)}")
        assert many or plain.startswith(entry.name)
    assert answers.why
    assert page_answers(shown, 900.0).why != many  # the table has the causes then
    for sources in (False, True):
        keys = {row.key for row in page_table(shown, 760.0, sources=sources).rows}
        assert any(key.startswith("source ") for key in keys) == sources
        assert {"band holding_force", "worst holding_force"} <= keys


def test_the_columns_of_the_page_have_the_names_that_fit(qapp: QApplication) -> None:
    shown = with_copies(comparison(0, 1, project=example()))
    names = page_table(shown, 800.0).names
    assert [name.replace("\n", " ") for name in names] == [e.name for e in shown.entries]
    assert page_table(long_names(), 800.0).names == ()


@pytest.mark.parametrize("height", [400.0, *range(560, 700, 15), 2000.0])
def test_rows_and_what_their_marks_mean_fit_below_each_other(
    qapp: QApplication, height: float
) -> None:
    shown = with_copies(comparison(0, 1, project=example()))
    table = page_table(shown, height)
    assert table.height <= height
    assert table.rows[-1].cells, "a heading with nothing below it"
    assert table.words.startswith(tables.legend(shown))
    assert "of the numbers as shown (exact in the CSV)." in table.words
    metrics = QFontMetricsF(page_font(12))
    written = math.ceil(metrics.horizontalAdvance(table.words) / table.width)
    assert table.foot >= written * metrics.height()
    whole = page_table(shown, 1e4)
    assert ("more rows are in the CSV" in table.words) == (height < 900.0)
    assert len(table.rows) <= len(whole.rows)
    (told,) = (row for row in whole.rows if row.key == "range")
    assert told.label == "All limits hold, 95 % range"
    assert [cell.value for cell in told.cells] == ["99.8–100 %", "92.0–94.2 %"]


def test_what_is_different_is_told_of_every_variant_and_once(qapp: QApplication) -> None:
    """Also where a note, such as the tuner's, says it; units stay with their numbers."""
    first = example().variants[1]
    spring = first.design.springs[0]
    other = replace(first.design, springs=(replace(spring, rate=3.2),))
    (change,) = changes(first.design, other, Display())
    for note, left in (
        (f"Tuned.\nLeast change found: {change}", " Note: Tuned. "),
        (f"Tuned. Changed: {change} And 2 more.", " Note: Tuned. "),
        (f"Least change found: {change}", " "),
        ("", " "),
        ("Own words: few.", " Note: Own words: few. "),
    ):
        tuned = replace(first, name="tuned", design=other, note=note)
        both = replace(example(), variants=(first, tuned))
        shown = comparison(0, 1, project=both)
        text = page_words(shown, 700.0, 400.0).told[1].text()
        plain = text.replace("\N{NO-BREAK SPACE}", " ").replace("\N{WORD JOINER}", "")
        assert plain == f"{shown.entries[1].outcome.sentence}{left}Different from 1: {change}"
        assert "3.200\N{NO-BREAK SPACE}N\N{WORD JOINER}/" in text


def test_what_two_variants_have_in_common_is_told_of_the_first(qapp: QApplication) -> None:
    first, second = example().variants
    spring = second.design.springs[0]
    other = replace(second.design, springs=(replace(spring, rate=3.2),))
    project = replace(
        example(), variants=(first, second, replace(second, name="stiff", note="", design=other))
    )
    shown = comparison(0, 1, 2, project=project)
    _, of_second, of_third = page_words(shown, 1200.0, 800.0).told
    common = set(of_second.changes) & {*changes(first.design, other, Display())}
    assert len(common) >= 3
    assert not common & {*of_third.changes}
    assert of_third.text().endswith(f"And {len(common)} things as in 2.")
    assert any("rate 3.860 → 3.200" in change for change in of_third.changes)


def test_the_page_says_when_and_of_which_file_it_is() -> None:
    origin = page.Origin("gate.throwover", date(2026, 5, 4))
    assert origin.words() == "gate.throwover, 2026-05-04"
    assert page.Origin().words() == date.today().isoformat()
    told = page_words(comparison(0, 1), 700.0, 400.0).told
    assert "Note: fewer parts." in told[1].text()
