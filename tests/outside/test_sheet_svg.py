"""SVG sheets read with an XML parser: their size, and where things lie."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from app.drawing.model import Circle, Drawing, Layer, Line
from app.drawing.svg import as_svg
from tests.app.drawing.faults import texts
from tests.app.drawing.sheets import sheet_of
from tests.example_files import EXAMPLES, named

SVG = "{http://www.w3.org/2000/svg}"


def read(page: Drawing) -> ET.Element:
    return ET.fromstring(as_svg(page))


SIZES = {
    "A4": (297.0, 210.0),
    "A3": (420.0, 297.0),
    "Letter": (279.4, 215.9),
    "Tabloid": (431.8, 279.4),
}


@pytest.mark.parametrize("size", SIZES)
def test_the_size_is_that_of_the_paper(size: str) -> None:
    width, height = SIZES[size]
    root = read(sheet_of(EXAMPLES[0], size=size)[0])
    assert root.get("version") == "1.1"
    for key, value in (("width", width), ("height", height)):
        said = root.get(key) or ""
        assert said.endswith("mm")
        assert float(said.removesuffix("mm")) == pytest.approx(value)
    box = [float(number) for number in (root.get("viewBox") or "").split()]
    assert box == [pytest.approx(number) for number in (0.0, 0.0, width, height)]


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_holes_lie_where_the_drawing_has_them(path: Path) -> None:
    page = sheet_of(path)[0]
    root = read(page)
    found = [
        (float(c.get("cx") or 0), page.size[1] - float(c.get("cy") or 0), float(c.get("r") or 0))
        for c in root.iter(f"{SVG}circle")
    ]
    wanted = [(*e.centre, e.radius) for e in page.elements if isinstance(e, Circle)]
    assert len(wanted) > 3
    for circle in wanted:
        assert any(circle == pytest.approx(one, abs=0.001) for one in found), circle


def test_a_line_keeps_its_place_and_width() -> None:
    page = Drawing((210.0, 297.0), (Line(Layer.OUTLINE, (20.0, 30.0), (120.0, 30.0)),))
    group = next(g for g in read(page).iter(f"{SVG}g") if g.find(f"{SVG}polyline") is not None)
    assert group.get("stroke-width") == "0.5"
    line = group.find(f"{SVG}polyline")
    assert line is not None
    assert (line.get("points") or "").split() == ["20,267", "120,267"]


def test_texts_stay_texts() -> None:
    page = sheet_of(EXAMPLES[0])[0]
    said = "\n".join("".join(e.itertext()) for e in read(page).iter(f"{SVG}text"))
    for text in texts(page):
        assert text.text.split()[0] in said
