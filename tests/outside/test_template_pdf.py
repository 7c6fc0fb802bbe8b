"""The template's PDF measured twice: its paths by a PDF library, its ink on a raster.

The other side is pdfium, which knows nothing of our drawing. A page is accepted within 0.05 mm,
what a scribed line on a workpiece can be kept to.
"""

import ctypes
import math
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest
from numpy.typing import NDArray

from app.drawing.template import template
from solver import files
from solver.holes import holes
from solver.model import FRAME
from solver.project import Project
from tests.example_files import EXAMPLES

ROOT = Path(__file__).resolve().parents[2]
MM = 25.4 / 72.0
WITHIN = 0.05
DPI = 600
"""Of the raster: 0.042 mm a dot; ink is located by its middle, to less than half a dot."""


@cache
def project() -> Project:
    """No hole of its frame is as wide as the circles of registration marks, 5 mm."""
    found = files.load(next(path for path in EXAMPLES if "diverter" in path.name))
    springs = tuple(replace(spring, end_pin_diameter=4.0) for spring in found.design.springs)  # type: ignore[arg-type]
    found = found.with_design(replace(found.design, springs=springs))
    return replace(found, sheet=replace(found.sheet, size="A4", landscape=False))


MAKE = """
import sys
from pathlib import Path
from app.drawing.pdf import as_pdf
from tests.outside.test_template_pdf import project, template

Path(sys.argv[1]).write_bytes(as_pdf(template(project())))
"""


@pytest.fixture(scope="module")
def pdf(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Written by a process of its own: the tests out here have no application object."""
    path = tmp_path_factory.mktemp("template") / "template.pdf"
    subprocess.run([sys.executable, "-c", MAKE, str(path)], check=True, cwd=ROOT)
    return path.read_bytes()


@dataclass(frozen=True)
class Shape:
    """One path on a page: its corners in mm, and whether it is made of curves."""

    places: NDArray[np.float64]
    curved: bool

    @property
    def middle(self) -> NDArray[np.float64]:
        middle: NDArray[np.float64] = (self.places.min(axis=0) + self.places.max(axis=0)) / 2.0
        return middle

    @property
    def size(self) -> tuple[float, float]:
        wide, high = np.ptp(self.places, axis=0)
        return float(wide), float(high)


def shapes(data: bytes, page: int) -> Iterator[Shape]:
    document = pdfium.PdfDocument(data)
    for thing in document[page].get_objects():
        if thing.type != raw.FPDF_PAGEOBJ_PATH:
            continue
        matrix = thing.get_matrix()
        places, curved = [], False
        for index in range(raw.FPDFPath_CountSegments(thing.raw)):
            segment = raw.FPDFPath_GetPathSegment(thing.raw, index)
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(segment, x, y)
            curved = curved or raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_BEZIERTO
            places.append(matrix.on_point(x.value, y.value))
        yield Shape(np.array(places) * MM, curved)


def straight(data: bytes, page: int) -> list[Shape]:
    return [shape for shape in shapes(data, page) if not shape.curved]


@pytest.mark.parametrize("page", [0, 1])
def test_the_rulers_paths_are_100_mm_and_4_inches(pdf: bytes, page: int) -> None:
    found = straight(pdf, page)
    lying = [shape for shape in found if abs(shape.size[0] - 101.6) < 1.0 and shape.size[1] < 0.1]
    upright = [shape for shape in found if abs(shape.size[1] - 101.6) < 1.0 and shape.size[0] < 0.1]
    (across,), (up,) = lying, upright
    assert across.size[0] == pytest.approx(101.6, abs=WITHIN)
    assert up.size[1] == pytest.approx(101.6, abs=WITHIN)
    ends = across.places[:, 0]
    ticks = [
        shape.middle[0] - ends.min()
        for shape in found
        if shape.size[0] < 0.01
        and shape.size[1] == pytest.approx(4.0, abs=0.05)
        and shape.places[:, 1].min() == pytest.approx(across.middle[1], abs=0.05)
    ]
    assert sorted(ticks) == pytest.approx([0.0, 50.0, 100.0], abs=WITHIN)


def test_the_holes_paths_have_the_designs_distances_and_sizes(pdf: bytes) -> None:
    wanted = {hole.point: hole for hole in holes(project().design, FRAME, "medium")}
    for page, names in (
        (0, ["lever pivot", "stop A", "stop B", "fixing 1"]),
        (1, ["flap pivot", "spring anchor", "fixing 2", "fixing 3"]),
    ):
        circles = [
            shape
            for shape in shapes(pdf, page)
            if shape.curved and min(shape.size) > 3.0 and abs(shape.size[0] - 5.0) > 0.1
        ]
        assert len(circles) == len(names)
        by_height = sorted(circles, key=lambda shape: (round(shape.middle[1]), shape.middle[0]))
        ours = sorted((wanted[name] for name in names), key=lambda hole: (round(hole.y), hole.x))
        for (one, other), (a, b) in zip(
            pairwise(by_height),
            pairwise(ours),
            strict=True,
        ):
            apart = other.middle - one.middle
            assert apart == pytest.approx((b.x - a.x, b.y - a.y), abs=WITHIN)
        for shape, hole in zip(by_height, ours, strict=True):
            assert shape.size == pytest.approx((hole.diameter, hole.diameter), abs=WITHIN)


def ink(data: bytes, page: int) -> NDArray[np.bool_]:
    """Dark dots, row 0 at the top."""
    picture = pdfium.PdfDocument(data)[page].render(scale=DPI / 72.0, grayscale=True).to_numpy()
    dark: NDArray[np.bool_] = picture.reshape(picture.shape[:2]) < 128
    return dark


def middles(line: NDArray[np.bool_]) -> NDArray[np.float64]:
    """The middles (mm) of the runs of ink along a line of dots."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], line, [False])).astype(int)))
    found: NDArray[np.float64] = (edges[::2] + edges[1::2] - 1.0) / 2.0 * 25.4 / DPI
    return found


def test_the_ink_of_the_rulers_is_100_mm_and_4_inches_apart(pdf: bytes) -> None:
    dark = ink(pdf, 0)
    height = dark.shape[0] * 25.4 / DPI
    # The ruler's line is 17 mm above the sheet's lower edge, its ticks for mm above it: the row
    # 3.5 mm up meets the ticks of 0, 50 and 100 mm only; 3.5 mm down those of whole inches.
    above = middles(dark[round((height - 20.5) / 25.4 * DPI), : round(150.0 / 25.4 * DPI)])
    below = middles(dark[round((height - 13.5) / 25.4 * DPI), : round(150.0 / 25.4 * DPI)])
    assert above[:3] - above[0] == pytest.approx([0.0, 50.0, 100.0], abs=WITHIN)
    assert below[:5] - below[0] == pytest.approx([0.0, 25.4, 50.8, 76.2, 101.6], abs=WITHIN)
    # The upright one is 18 mm from the left edge, mm on its left.
    left = middles(dark[::-1, round(14.5 / 25.4 * DPI)])
    assert left[:3] - left[0] == pytest.approx([0.0, 50.0, 100.0], abs=WITHIN)


def test_the_ink_of_two_holes_is_as_far_apart_as_the_design_says(pdf: bytes) -> None:
    dark = ink(pdf, 0)
    (page, _) = template(project())
    stops = [h for h in holes(project().design, FRAME, "medium") if h.fit == "stop"]
    row = stops[0].y + page.origin[1] + stops[0].diameter / 2.0 - 1.0
    line = dark[round((dark.shape[0] * 25.4 / DPI - row) / 25.4 * DPI)]
    runs = middles(line)
    chord = math.sqrt(3.0**2 - 2.0**2)
    centres = []
    for stop in stops:
        x = stop.x + page.origin[0]
        near = [run for run in runs if abs(abs(run - x) - chord) < 0.5]
        assert len(near) == 2
        centres.append(sum(near) / 2.0)
    assert centres[1] - centres[0] == pytest.approx(stops[1].x - stops[0].x, abs=WITHIN)
