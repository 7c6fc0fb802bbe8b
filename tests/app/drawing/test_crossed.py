"""No line crosses a text: on every example and starting layout, sheet, way up, and scale."""

import io
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import ezdxf
import pytest
from ezdxf.entities.arc import Arc

from app.drawing.boxes import primitives, text_box
from app.drawing.chosen import wanted
from app.drawing.crossed import crossed, interrupted
from app.drawing.dxf import as_dxf
from app.drawing.fitting import fitted
from app.drawing.ink import segments
from app.drawing.model import (
    AngularDimension,
    Drawing,
    Element,
    Layer,
    Line,
    LinearDimension,
    Text,
)
from app.drawing.paper import SIZES, scale_name, scales
from app.drawing.poses import posed
from app.drawing.sheet import compose
from solver.layouts import LAYOUTS, Layout
from solver.project import Project, Sheet, Variant
from tests.app.drawing.faults import ink_in, overlaps
from tests.app.drawing.sheets import DAY, sheet_of, solved
from tests.example_files import EXAMPLES, named

HEAVY = {Layer.OUTLINE, Layer.HOLES, Layer.SYMBOLS}
LEAST_SCALE = 0.1


def faults(pages: tuple[Drawing, ...]) -> list[object]:
    return [
        *(fault for page in pages for fault in overlaps(page)),
        *(fault for page in pages for fault in crossed(page.elements)),
    ]


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("landscape", [True, False], ids=["lying", "upright"])
def test_examples(path: Path, size: str, landscape: bool) -> None:
    units = "mm" if size in ("A4", "A3") else "inch"
    assert faults(sheet_of(path, size=size, units=units, landscape=landscape)) == []


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.key)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("landscape", [True, False], ids=["lying", "upright"])
def test_starting_layouts(layout: Layout, size: str, landscape: bool) -> None:
    project = Project("lever", (Variant("first", layout.build()),))
    # What the sizes are called, the sheet knows; mypy cannot see it here.
    sheet = Sheet(size=size, landscape=landscape)  # type: ignore[arg-type]
    assert faults(compose(replace(project, sheet=sheet), today=DAY)) == []


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize(
    ("size", "landscape"), [("A4", False), ("A3", True)], ids=["A4 upright", "A3 lying"]
)
def test_smaller_scales(path: Path, size: str, landscape: bool) -> None:
    largest = sheet_of(path, size=size, landscape=landscape)[0].scale
    fitting = [scale for scale in scales() if LEAST_SCALE <= scale < largest]
    assert fitting
    for scale in fitting:
        pages = sheet_of(path, size=size, landscape=landscape, scale=scale_name(scale))
        assert pages[0].scale == scale
        assert faults(pages) == []


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize(
    ("size", "landscape"), [("A4", False), ("A3", True)], ids=["A4 upright", "A3 lying"]
)
def test_few_lines_have_to_give_way_and_no_visible_edge(
    path: Path, size: str, landscape: bool
) -> None:
    project, analysis = solved(path)
    # As above: the names of sizes.
    sheet = replace(project.sheet, size=size, landscape=landscape)  # type: ignore[arg-type]
    poses = posed(analysis)
    view = fitted(poses, sheet, wanted(poses, sheet, project.display)).view
    given_way = crossed(view.elements)
    assert len(given_way) <= 2
    assert not HEAVY & {one.layer for one in given_way}


def test_a_line_through_a_text_is_found_and_interrupted() -> None:
    text = Text("150", (50.0, 50.0))
    through = Line(Layer.PHANTOM, (40.0, 51.0), (80.0, 51.0))
    [found] = crossed([text, through])
    assert (found.text, found.layer) == ("150", Layer.PHANTOM)
    first, left, right = interrupted([text, through])
    assert first == text
    assert isinstance(left, Line)
    assert isinstance(right, Line)
    assert left.end[0] < 50.0 < text_box(text).corners()[1][0] < right.start[0]
    assert crossed([text, left, right]) == []


def test_a_line_under_a_text_only_touches_it() -> None:
    text = Text("grip", (50.0, 50.0))
    below = text_box(text).corners()[0][1]
    assert crossed([text, Line(Layer.DIMENSIONS, (50.0, below), (60.0, below))]) == []


def test_own_dimension_lines_do_not_cross_their_text() -> None:
    row = LinearDimension("a", (20.0, 100.0), (80.0, 100.0), (0.0, 110.0), 60.0, "60", 0.0)
    turned = replace(row, end=(60.0, 130.0), angle=None, through=(30.0, 120.0))
    arc = AngularDimension("b", (50.0, 50.0), 20.0, 100.0, 30.0, "80°")
    assert crossed([row]) == crossed([turned]) == crossed([arc]) == []


CROSSED: tuple[Element, ...] = (
    LinearDimension("a", (20.0, 100.0), (80.0, 100.0), (0.0, 110.0), 60.0, "60", 0.0),
    AngularDimension("b", (50.0, 80.0), 20.0, 160.0, 35.0, "140°"),
    Text("through the line", (30.0, 109.0)),
    Text("on the arc", (60.0, 110.0 - 0.5), turn=-35.0),
)


def test_dimensions_are_interrupted_at_the_texts_of_others() -> None:
    assert len(crossed(CROSSED)) >= 2
    assert crossed(interrupted(CROSSED)) == []


def test_an_exchange_file_has_the_same_gaps() -> None:
    page = Drawing((210.0, 297.0), tuple(interrupted(CROSSED)), scale=0.5, origin=(10.0, 20.0))
    document = ezdxf.read(io.StringIO(as_dxf(page).decode()))  # type: ignore[attr-defined]
    strokes: list[Line] = []
    for dimension in document.modelspace().query("DIMENSION"):
        block = document.blocks.get(dimension.dxf.geometry)
        for entity in block.query("LINE ARC"):
            if isinstance(entity, Arc):
                places = list(entity.flattening(0.01))
            else:
                places = [entity.dxf.start, entity.dxf.end]
            on_paper = [(10.0 + 0.5 * one.x, 20.0 + 0.5 * one.y) for one in places]
            strokes += [Line(Layer.DIMENSIONS, a, b) for a, b in pairwise(on_paper)]
    assert len(strokes) > 8
    for element in page.elements:
        for part in primitives(element):
            if isinstance(part, Text) and isinstance(element, Text):
                assert ink_in(text_box(part).grown(-0.05), segments(strokes)) == 0.0
