"""The panel with gaps: it follows the design, and leads to where a gap is."""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.document import Document
from app.session import Session
from app.workshop.gap_words import heading, remarks_of
from app.workshop.gaps import GapsPanel
from solver import files
from solver.clearance import clearance
from solver.model import Plate
from solver.project import Units
from solver.units import show
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait
from tests.example_files import EXAMPLES, named

CLAMP = next(path for path in EXAMPLES if "chute-clamp" in path.name)


@pytest.fixture
def panel(keep: Keeper, wait: Wait) -> GapsPanel:
    document = Document(files.load(CLAMP))
    session = Session(document)
    document.setParent(session)
    made = keep(GapsPanel(session))
    session.setParent(made)
    made.resize(400, 300)
    made.show()
    wait.until(lambda: made.list.count() > 0)
    return made


def test_a_double_click_moves_the_lever_to_the_gap(panel: GapsPanel) -> None:
    row = next(row for row, remark in enumerate(panel._remarks) if remark.where)
    item = panel.list.item(row)
    place = panel.list.visualItemRect(item).center()
    QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=place)
    QTest.mouseDClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert panel._session.travel() == pytest.approx(panel._remarks[row].where, abs=1e-6)
    named = {ref.name for ref in panel._session.selection}
    assert named & set(panel._remarks[row].parts)


def test_plates_in_one_layer_are_told_and_taken_back(panel: GapsPanel, wait: Wait) -> None:
    document = panel._session.document
    assert "Nothing touches" in panel.summary.text()
    flat = tuple(replace(plate, layer=1) for plate in document.design.plates)
    document.apply(replace(document.design, plates=flat), "one layer")
    wait.until(lambda: any(remark.serious for remark in panel._remarks))
    assert panel.list.item(0).text().startswith("✕")
    document.undo()
    wait.until(lambda: not any(remark.serious for remark in panel._remarks))


def test_each_kind_of_least_gap_has_its_line_and_the_hint_stands_where_it_helps(
    panel: GapsPanel, wait: Wait
) -> None:
    verdict, parts, person = panel.summary.text().split("\n")
    assert verdict == "Nothing touches anything else over the throw."
    assert parts.startswith("Least gap between parts that could touch: ")
    assert person.endswith("from rest A (“rod” and stop A).")
    assert panel.hint.isVisible()
    document = panel._session.document
    document.apply(replace(document.design, plates=()), "no plates")
    wait.until(lambda: not any(remark.where is not None for remark in panel._remarks))
    assert not panel.hint.isVisible()


def test_a_gap_at_rest_a_is_told_so() -> None:
    project = files.load(next(path for path in EXAMPLES if "rod" in path.stem))
    found = clearance(project.design, display=project.display)
    told = heading(found, remarks_of(project, found, project.display), project.display)
    assert found.least is not None
    assert found.least.where == 0.0
    assert " mm, at rest A (" in told
    assert "0.00°" not in told


def test_it_rests_while_hidden(panel: GapsPanel, wait: Wait) -> None:
    document, before = panel._session.document, panel._remarks
    panel.hide()
    document.apply(replace(document.design, plates=(Plate("rod", width=90.0),)), "wide")
    panel._session.refresh()
    assert panel._remarks is before
    panel.show()
    wait.until(lambda: panel._remarks is not before)


def test_the_plates_remarks_are_those_of_the_file(panel: GapsPanel) -> None:
    assert Path(CLAMP).is_file()
    assert panel.list.count() == len(panel._remarks)


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_heading_agrees_with_the_list(path: Path, units: Units) -> None:
    project = files.load(path).in_units(units)
    found = clearance(project.design, display=project.display)
    remarks = remarks_of(project, found, project.display)
    told = heading(found, remarks, project.display)

    def said(length: float) -> str:
        return show(length, "length", project.display)

    closing = [r.gap for r in remarks if r.kind == "pinch" and r.where is not None]
    assert ("closes on a finger" in told) == bool(closing)
    if closing:
        least = min(gap for gap in closing if gap is not None)
        assert f"{said(least)}, " in told.split("closes on a finger")[1]
    if found.least is not None:
        assert f"{said(found.least.least)}, " in told.split("closes on a finger")[0]
        touching = [r.gap for r in remarks if r.kind in ("collision", "pin", "spring", "stop")]
        assert all(gap is None or gap >= found.least.least for gap in touching)
    assert told.startswith("Nothing touches") == (not any(remark.serious for remark in remarks))


def test_a_gap_told_in_the_list_is_nowhere_less_than_the_heading_says() -> None:
    for path in EXAMPLES:
        project = files.load(path)
        found = clearance(project.design, display=project.display)
        remarks = remarks_of(project, found, project.display)
        told = heading(found, remarks, project.display)
        named_least = min(map(float, re.findall(r"([\d.]+) mm,", told)), default=math.inf)
        for remark in remarks:
            if remark.kind not in ("edge", "web", "row", "slot", "hand"):
                closing = re.findall(r"(?:to|only) ([\d.]+) mm", remark.sentence)
                assert all(float(size) >= named_least for size in closing), remark.sentence
