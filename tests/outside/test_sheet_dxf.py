"""DXF sheets read again with the library for DXF: audited, measured, drawn."""

import io
import math
from pathlib import Path
from typing import Literal

import ezdxf.filemanagement
import pytest
from ezdxf.addons.drawing import layout
from ezdxf.addons.drawing.frontend import Frontend
from ezdxf.addons.drawing.properties import RenderContext
from ezdxf.addons.drawing.svg import SVGBackend
from ezdxf.document import Drawing as Document
from ezdxf.entities.dimension import Dimension
from ezdxf.entities.line import Line as DxfLine
from ezdxf.entities.mtext import MText
from ezdxf.entities.text import Text as DxfText

from app.drawing.dxf import as_dxf
from app.drawing.model import (
    AngularDimension,
    Circle,
    Drawing,
    Layer,
    LinearDimension,
    RadialDimension,
    Text,
)
from solver.rebase import rebase
from tests.app.drawing.sheets import sheet_of, solved
from tests.example_files import EXAMPLES, named


def read(page: Drawing) -> Document:
    return ezdxf.filemanagement.read(io.StringIO(as_dxf(page).decode()))


def dimensions(document: Document) -> list[Dimension]:
    return [entity for entity in document.modelspace() if isinstance(entity, Dimension)]


def parts(dimension: Dimension) -> list[object]:
    return list(dimension.get_geometry_block() or ())


@pytest.mark.parametrize("units", ["mm", "both"])
@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_dimensions_measure_the_model(path: Path, units: str) -> None:
    page = sheet_of(path, units=units)[0]
    document = read(page)
    auditor = document.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    measured = [entity.get_measurement() for entity in dimensions(document)]
    assert measured == [pytest.approx(one.value, abs=1e-6) for one in page.dimensions()]


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_holes_lie_in_model_millimetres_about_the_datum(path: Path) -> None:
    project, analysis = solved(path)
    page = sheet_of(path)[0]
    design = rebase(project.design, analysis.design.stops.rest_a)
    zero = design.point(design.lever_pivot())
    circles = read(page).modelspace().query(f'CIRCLE[layer=="{Layer.HOLES.title}"]')
    centres = [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in circles]
    for pivot in design.pivots:
        point = design.point(pivot.point)
        wanted = (point.x - zero.x, point.y - zero.y, pivot.pin_diameter / 2.0)
        assert any(centre == pytest.approx(wanted, abs=1e-6) for centre in centres), pivot


def test_the_file_is_in_millimetres_and_its_layers_are_those_of_the_drawing() -> None:
    document = read(sheet_of(EXAMPLES[0])[0])
    assert document.units == ezdxf.units.MM
    for layer in Layer:
        entry = document.layers.get(layer.title)
        assert entry.dxf.lineweight == round(100 * layer.width)
        assert (entry.dxf.linetype == "CONTINUOUS") == (layer.pattern == "continuous")


def measured(*elements: LinearDimension | AngularDimension | RadialDimension) -> list[float]:
    document = read(Drawing((210.0, 297.0), elements, scale=0.5, origin=(10.0, 20.0)))
    return [entity.get_measurement() for entity in dimensions(document)]


@pytest.mark.parametrize(
    ("start", "end"), [(0.0, 53.13), (10.0, 300.0), (-170.0, 170.0), (90.0, 92.0), (170.0, 190.0)]
)
def test_angles_take_the_sector_that_is_meant(start: float, end: float) -> None:
    one = AngularDimension("a", (100.0, 100.0), start, end, 40.0, "angle")
    assert measured(one) == [pytest.approx(end - start, abs=1e-6)]


@pytest.mark.parametrize(("kind", "value"), [("radius", 8.0), ("diameter", 16.0)])
def test_radii_and_diameters_are_counted_once(
    kind: Literal["radius", "diameter"], value: float
) -> None:
    # A radius of 4 mm on paper at 1:2.
    one = RadialDimension(
        "r", kind, (100.0, 100.0), 4.0, 45.0, value, "here", (120.0, 120.0), scale=0.5
    )
    assert measured(one) == [pytest.approx(value)]


def test_a_view_of_another_scale_than_its_page_says_its_true_size() -> None:
    # 30 mm on paper at 2:1 are 15 mm, although the page's main view is 1:2.
    one = LinearDimension("a", (50.0, 50.0), (80.0, 50.0), (0.0, 60.0), 15.0, "15", 0.0, scale=2.0)
    (entity,) = dimensions(read(Drawing((210.0, 297.0), (one,), scale=0.5)))
    (text,) = (part for part in parts(entity) if isinstance(part, MText))
    assert entity.dxf.text in ("", "<>")  # the program's own measure, by the entity's factor
    assert text.plain_text() == "15"


@pytest.mark.parametrize("angle", [None, 0.0, 90.0])
def test_arrows_lie_between_the_ends_and_texts_are_not_on_their_heads(
    angle: float | None,
) -> None:
    for end in ((60.0, 20.0), (20.0, 60.0), (-60.0, 30.0), (-30.0, -60.0)):
        start = (100.0, 100.0)
        stop = (start[0] + end[0], start[1] + end[1])
        one = LinearDimension("a", start, stop, (160.0, 170.0), 1.0, "text", angle)
        (entity,) = dimensions(read(Drawing((210.0, 297.0), (one,))))
        (text,) = (part for part in parts(entity) if isinstance(part, MText))
        assert -90.0 < math.remainder(text.get_rotation(), 360.0) <= 90.0
        (line,) = (
            part for part in parts(entity) if isinstance(part, DxfLine) and _along(part, entity)
        )
        # The line ends at the roots of its arrow heads, so these lie between the ends.
        assert line.dxf.start.distance(line.dxf.end) < entity.get_measurement()


def _along(line: DxfLine, dimension: Dimension) -> bool:
    way = (line.dxf.end - line.dxf.start).normalize()
    turn = math.radians(dimension.dxf.angle)
    return bool(abs(way.x * math.sin(turn) - way.y * math.cos(turn)) < 1e-6)


CODES = ["50 %%d off", "a^Ib", "\\U+0041", "{\\H3x;big}", "\U0001f34e שלום"]


@pytest.mark.parametrize("text", CODES)
def test_texts_hold_no_codes(text: str) -> None:
    document = read(Drawing((210.0, 297.0), (Text(text, (20.0, 20.0)),)))
    assert not document.audit().errors
    (entity,) = (one for one in document.modelspace() if isinstance(one, DxfText))
    shown = entity.plain_text()
    assert "°" not in shown
    assert "A" not in shown
    assert len(shown) >= len(text) - 1


@pytest.mark.parametrize("path", EXAMPLES[:2], ids=named)
def test_the_library_draws_it(path: Path) -> None:
    document = read(sheet_of(path)[0])
    backend = SVGBackend()
    Frontend(RenderContext(document), backend).draw_layout(document.modelspace())
    drawn = backend.get_string(layout.Page(420.0, 297.0, layout.Units.mm))
    assert drawn.count("<path") > 100


def test_circles_that_are_filled_are_filled() -> None:
    page = Drawing((210.0, 297.0), (Circle(Layer.HOLES, (50.0, 50.0), 1.0, filled=True),))
    assert len(read(page).modelspace().query("HATCH")) == 1
