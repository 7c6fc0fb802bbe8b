"""The sweep's dialog: curve, map, export; it follows the design."""

import csv
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtGui import QImage, QStandardItemModel
from PySide6.QtWidgets import QFileDialog

from app.studies.sweep import SweepDialog
from app.studies.sweep_picture import FINE, SIZE
from app.study_words import TIED
from app.theme import LIGHT, theme_source
from app.window import MainWindow
from solver import units
from solver.analysis import analyse
from solver.model import Limit
from solver.number_names import with_number
from solver.readings import catalogue
from solver.sweep import Sweep, SweepMap, crossings, sweep
from solver.sweep_copies import HOLD_ALL
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait
from tests.app.windows_for_tests import shown_window


@pytest.fixture
def window(own_home: Path, wait: Wait, keep: Keeper) -> Iterator[MainWindow]:
    made = keep(shown_window(own_home, wait, "compression"))
    yield made
    made.session.document.undo_stack.setClean()


@pytest.fixture
def dialog(window: MainWindow, wait: Wait) -> Iterator[SweepDialog]:
    window.actions_by_key["study_sweep"].trigger()
    made = window.findChild(SweepDialog)
    assert isinstance(made, SweepDialog)
    wait.until(lambda: made.plot.swept)
    yield made
    made.close()


def test_a_curve_is_that_of_the_solver(window: MainWindow, dialog: SweepDialog) -> None:
    drawn = dialog.plot.swept
    assert isinstance(drawn, Sweep)
    key = drawn.kinds[0].key
    expected = sweep(window.session.document.design, drawn.number.path, drawn.values, [key])
    np.testing.assert_allclose(drawn.readings[key], expected.readings[key])


def test_a_second_number_makes_a_map(dialog: SweepDialog, wait: Wait) -> None:
    dialog.two.click()
    wait.until(lambda: isinstance(dialog.plot.swept, SweepMap))
    dialog.two.click()
    wait.until(lambda: isinstance(dialog.plot.swept, Sweep))


def test_a_map_is_always_of_two_numbers(dialog: SweepDialog, wait: Wait) -> None:
    """The number that the hand chooses stays; the other one gives way."""
    for chosen, other in ((dialog.across, dialog.up), (dialog.up, dialog.across)):
        chosen.choice.load(other.path)
        chosen.choice.edited.emit(other.path)
        assert chosen.path != other.path
    dialog.two.click()
    wait.until(lambda: isinstance(dialog.plot.swept, SweepMap))
    assert dialog.told.text() == ""


def test_where_the_curve_crosses_a_limit_is_told(
    window: MainWindow, dialog: SweepDialog, wait: Wait
) -> None:
    document = window.session.document
    drawn = dialog.plot.swept
    assert isinstance(drawn, Sweep)
    kind, number = drawn.kinds[0], drawn.number
    middle = float(np.mean(drawn.readings[kind.key]))
    document.apply(replace(document.design, limits=(Limit(kind.key, at_least=middle),)), "limit")
    wait.until(lambda: dialog.told.text() != "")
    told = dialog.told.text().replace(TIED, " ")
    assert told.startswith(f"“{kind.label}” meets its limit, at least ")
    assert "straight lines between 121 values" in told
    swept = dialog.plot.swept
    assert isinstance(swept, Sweep)
    (at,) = crossings(swept, kind.key, middle)
    shown = units.show(float(at), number.quantity, window.session.display)
    assert f"at {number.label} {shown}" in told
    there = sweep(document.design, number.path, [at], [kind.key]).readings[kind.key][0]
    assert there == pytest.approx(middle, rel=1e-3)
    labels = [one.item.toPlainText() for one in dialog.plot._words]
    assert any(shown in label for label in labels)


def test_the_share_of_copies_is_swept_over_one_number(
    window: MainWindow, dialog: SweepDialog, wait: Wait
) -> None:
    document = window.session.document
    now = analyse(document.design).readings["holding_force"].value
    limits = (Limit("holding_force", at_least=0.9 * now),)
    document.apply(replace(document.design, limits=limits), "limits")
    dialog.reading.load(HOLD_ALL.key)
    dialog.reading.edited.emit(HOLD_ALL.key)
    wait.until(
        lambda: dialog.plot.swept is not None and dialog.plot.swept.kinds == (HOLD_ALL,), 30.0
    )
    swept = dialog.plot.swept
    assert isinstance(swept, Sweep)
    assert len(swept.values) == 31
    assert "1 000 copies at each of 31 values" in dialog.told.text().replace(TIED, " ")
    reached = [
        units.show(float(each), swept.number.quantity, window.session.display)
        for each in crossings(swept, HOLD_ALL.key, 99.0)
    ]
    assert reached
    told = dialog.told.text().replace(TIED, " ")
    assert f"is 99 % at {swept.number.label} {reached[0]} (95 % sure: " in told
    assert dialog.csv.isEnabled()
    document.apply(replace(document.design, limits=()), "limits")
    wait.until(lambda: dialog.reading.findText(HOLD_ALL.label) < 0)
    assert dialog.two.isEnabled()


def test_a_map_and_copies_cannot_be_asked_for_together(
    window: MainWindow, dialog: SweepDialog, wait: Wait
) -> None:
    """Each is greyed out beside the other one, and says why."""
    document = window.session.document
    limits = (Limit("holding_force", at_least=0.1),)
    document.apply(replace(document.design, limits=limits), "limits")
    model = dialog.reading.model()
    assert isinstance(model, QStandardItemModel)
    copies = model.item(dialog.reading.findText(HOLD_ALL.label))
    assert (copies.isEnabled(), copies.toolTip()) == (True, "")
    dialog.two.click()
    assert not copies.isEnabled()
    assert copies.toolTip() == "Copies are swept over one number, not over a map of two."
    dialog.two.click()
    assert (copies.isEnabled(), copies.toolTip()) == (True, "")
    dialog.reading.load(HOLD_ALL.key)
    dialog.reading.edited.emit(HOLD_ALL.key)
    assert not dialog.two.isEnabled()
    assert "choose another reading" in dialog.two.toolTip()
    wait.until(lambda: dialog.plot.swept is not None and dialog.plot.swept.kinds == (HOLD_ALL,))
    key = catalogue(document.design)[0].key
    dialog.reading.load(key)
    dialog.reading.edited.emit(key)
    assert (dialog.two.isEnabled(), dialog.two.toolTip()) == (True, "")


def test_it_follows_the_design(window: MainWindow, dialog: SweepDialog, wait: Wait) -> None:
    before = dialog.plot.swept
    document = window.session.document
    grip = document.design.point(document.design.grip)
    path = f"points.{grip.name}.y"
    document.apply(with_number(document.design, path, grip.y + 5.0), "change")
    wait.until(lambda: dialog.plot.swept is not before)


def test_a_range_that_cannot_be_says_why(dialog: SweepDialog, wait: Wait) -> None:
    dialog.across.low.load(-5.0)
    dialog.across.changed.emit()
    wait.until(lambda: dialog.plot.swept is None)
    assert "rate" in dialog.told.text()
    assert not dialog.csv.isEnabled()


def test_curve_and_map_are_written_as_a_table(
    dialog: SweepDialog, wait: Wait, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, columns in (("curve.csv", 2), ("map.csv", 3)):
        path = tmp_path / name
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, p=path: (str(p), ""))
        dialog.csv.click()
        with path.open(encoding="utf-8", newline="") as stream:
            head, *rows = csv.reader(stream)
        assert len(head) == columns
        assert len(rows) in (121, 61 * 61)
        dialog.two.click()
        wait.until(lambda: isinstance(dialog.plot.swept, SweepMap))


def test_files_are_offered_beside_the_project_and_get_their_ending(
    window: MainWindow, dialog: SweepDialog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    offered: list[str] = []

    def choose(parent: object, title: str, name: str, kinds: str) -> tuple[str, str]:
        offered.append(name)
        return str(tmp_path / "mine"), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", choose)
    dialog.csv.click()
    assert offered == [str(Path.home() / "sweep.csv")]
    assert dialog.told.text() == f"Saved as {tmp_path / 'mine.csv'}."
    window.session.document.save(tmp_path / "gate.throwover")
    dialog.png.click()
    assert offered[1:] == [str(tmp_path / "gate-sweep.png")]


def test_the_picture_is_written(
    dialog: SweepDialog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "sweep.png"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    theme_source.choose("dark")
    dialog.png.click()
    theme_source.choose("light")
    image = QImage(str(path))
    assert image.size() == SIZE * FINE
    assert image.pixelColor(5, 5) == LIGHT.paper
    assert any(
        image.pixelColor(x, 52) != LIGHT.paper for x in range(32, 400)
    )  # the title's letters
    inks = {image.pixelColor(x, y).lightness() for x in range(4, 60) for y in range(150, 1200, 2)}
    assert min(inks) < 100  # the axis' name, dark on the light ground
    assert dialog.told.text() == f"Saved as {path}."
    assert dialog.windowTitle().endswith(f"“{dialog._session.document.project.variant.name}”")


def test_lines_are_as_thick_on_every_screen(dialog: SweepDialog) -> None:
    def widths() -> list[float]:
        return [
            item.opts["pen"].widthF() for _, item in dialog.plot._items if hasattr(item, "opts")
        ]

    usual = widths()
    assert usual
    dialog.plot.set_ratio(2.0)
    assert widths() == [2.0 * width for width in usual]
    assert dialog.plot._axes["left"].pen().widthF() == 2.0


def test_what_cannot_be_written_is_told(
    dialog: SweepDialog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "none" / "sweep.png"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    dialog.png.click()
    assert "was not saved" in dialog.told.text()


def test_axes_have_numbers_of_one_kind_and_names_in_their_middles(
    dialog: SweepDialog, wait: Wait
) -> None:
    for _ in range(2):
        for side in ("left", "bottom"):
            axis = dialog.plot._axes[side]
            texts = [text for _, text in axis._tickLevels[0]]
            assert len({len(text.partition(".")[2]) for text in texts if text != "0"}) == 1
            label = axis.label
            middle = label.mapRectToParent(label.boundingRect()).center()
            whole = axis.size().width() if side == "bottom" else axis.size().height()
            assert (middle.x() if side == "bottom" else middle.y()) == pytest.approx(
                whole / 2.0, abs=3.0
            )
        dialog.two.click()
        wait.until(lambda: isinstance(dialog.plot.swept, SweepMap))
