"""DXF files of single plates: read back, audited, measured; names that cannot do harm."""

import io
from pathlib import Path

import pytest
from ezdxf import path as dxf_path
from ezdxf.document import Drawing
from ezdxf.filemanagement import read as read_dxf
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.part_dxf import part_dxf
from app.file_names import file_names, plain_name
from solver import files
from solver.holes import holes
from solver.model import FRAME
from solver.outlines import section_of
from tests.example_files import EXAMPLES, named
from tests.solver.cut_plates import cut_plate

CLAMP = next(path for path in EXAMPLES if "clamp" in path.name)


def read(data: bytes) -> Drawing:
    document = read_dxf(io.StringIO(data.decode("utf-8")))
    assert not document.audit().errors
    return document


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_every_plate_reads_back_as_the_part_that_it_is(path: Path) -> None:
    import shapely

    project = files.load(path)
    for plate in project.design.plates:
        document = read(part_dxf(project, plate.link))
        assert document.units == 4  # mm
        space = document.modelspace()
        (outline,) = space.query('LWPOLYLINE[layer=="Outline"]')
        assert outline.closed  # type: ignore[attr-defined]
        rings = [
            [(p.x, p.y) for p in dxf_path.make_path(line).flattening(0.001)]
            for line in space.query("LWPOLYLINE")
        ]
        found = shapely.Polygon(rings[0], rings[1:])
        for circle in space.query("CIRCLE"):
            centre, radius = circle.dxf.center, circle.dxf.radius
            found = found.difference(shapely.Point(centre.x, centre.y).buffer(radius, 64))
        section = section_of(found)
        cut = section_of(cut_plate(project.design, plate.link, project.sheet.holes))
        assert section.area == pytest.approx(cut.area, rel=1e-4)
        assert section.polar == pytest.approx(cut.polar, rel=1e-3)
        left, low, _, _ = found.bounds
        assert (left, low) == pytest.approx((0.0, 0.0), abs=1e-6)


def test_holes_are_circles_of_their_size_at_their_distances() -> None:
    project = files.load(CLAMP)
    space = read(part_dxf(project, "rod")).modelspace()
    one, other = space.query('CIRCLE[layer=="Holes"]')
    a, b = holes(project.design, "rod", project.sheet.holes)
    assert [2.0 * one.dxf.radius, 2.0 * other.dxf.radius] == [a.diameter, b.diameter]
    apart = ((a.x - b.x) ** 2 + (a.y - b.y) ** 2) ** 0.5
    assert (other.dxf.center - one.dxf.center).magnitude == pytest.approx(apart)
    assert one.dxf.center.y == pytest.approx(other.dxf.center.y)


def test_slots_have_round_ends() -> None:
    project = files.load(CLAMP)
    (slot,) = read(part_dxf(project, FRAME)).modelspace().query('LWPOLYLINE[layer=="Slots"]')
    bulges = [point[4] for point in slot.get_points()]  # type: ignore[attr-defined]
    assert bulges == [0.0, 1.0, 0.0, 1.0]
    spots = [(p.x, p.y) for p in dxf_path.make_path(slot).flattening(0.001)]
    across = max(y for _, y in spots) - min(y for _, y in spots)
    along = max(x for x, _ in spots) - min(x for x, _ in spots)
    assert across == pytest.approx(6.6, abs=0.01)
    assert along == pytest.approx(67.0 + 6.6, abs=0.01)


@given(st.text(max_size=400))
def test_any_text_makes_a_plain_name(text: str) -> None:
    name = plain_name(text)
    assert name
    assert len(name.encode()) <= 90
    assert all(letter.isalnum() or letter == "-" for letter in name)
    assert not name.startswith("-")


def test_names_that_read_alike_are_kept_apart() -> None:
    assert file_names("", ["rod", "ROD", "rod!", "🙂", "//"]) == [
        "rod",
        "ROD-2",
        "rod-3",
        "part",
        "part-2",
    ]
