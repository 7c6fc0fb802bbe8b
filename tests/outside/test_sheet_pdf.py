"""PDF sheets measured with a PDF library: by what it says of paths, and by their picture."""

from pathlib import Path

import numpy as np
import pypdfium2
import pypdfium2.raw as raw
import pytest
from numpy.typing import NDArray

from app.drawing.boxes import text_box
from app.drawing.model import Circle, Drawing, Layer, Line
from app.drawing.pdf import as_pdf
from tests.app.drawing.faults import texts
from tests.app.drawing.sheets import rows_under, sheet_of
from tests.example_files import EXAMPLES, named

MM = 25.4 / 72.0
DOTS = 600.0


def middles(page: pypdfium2.PdfPage) -> list[tuple[float, float]]:
    """The middle (mm, from the lower left corner) of every path on a page."""
    found = []
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        left, bottom, right, top = item.get_bounds()
        found.append(((left + right) / 2.0 * MM, (bottom + top) / 2.0 * MM))
    return found


def test_the_sheet_has_the_size_of_iso_216() -> None:
    document = pypdfium2.PdfDocument(as_pdf(sheet_of(EXAMPLES[0], size="A3")))
    width, height = document[0].get_size()
    document.close()
    # Qt rounds the page to whole points, 0.35 mm.
    assert width * MM == pytest.approx(420.0, abs=0.18)
    assert height * MM == pytest.approx(297.0, abs=0.18)


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_holes_lie_apart_as_the_table_says(path: Path) -> None:
    pages = sheet_of(path)
    document = pypdfium2.PdfDocument(as_pdf(pages))
    found = np.asarray(middles(document[0]))
    document.close()
    # The page is cut to whole points at its top or bottom: distances count, not places.
    scale, (x0, y0) = pages[0].scale, pages[0].origin
    shift = found[np.argmin(np.hypot(*(found - (x0, y0)).T))] - (x0, y0)
    assert np.hypot(*shift) < 0.2
    for row in rows_under(pages, "Drill ⌀"):
        if row["Pin ⌀"] == "–":
            continue
        x, y = (float(row[axis].replace("−", "-")) for axis in ("x", "y"))
        wanted = np.array((x0 + scale * x, y0 + scale * y)) + shift
        assert np.min(np.hypot(*(found - wanted).T)) < 0.05, row


def test_texts_stay_texts() -> None:
    pages = sheet_of(EXAMPLES[0])
    document = pypdfium2.PdfDocument(as_pdf(pages))
    page = document[0].get_textpage()
    whole = page.get_text_range()
    for text in texts(pages[0]):
        if text.text.isascii():
            # The reader runs columns side by side into each other and loses one of two equal
            # digits of a turned text: what it does not find in the page it finds in its place,
            # but for a space where another column came between.
            across, up = zip(*text_box(text).grown(0.5).corners(), strict=True)
            room = (min(across), min(up), max(across), max(up))
            there = page.get_text_bounded(*(place * 72.0 / 25.4 for place in room))
            assert text.text in whole or "".join(text.text.split()) in "".join(there.split())
    document.close()


def picture(page: Drawing) -> NDArray[np.float64]:
    """How dark the page is, 0 to 1, as the library draws it; rows from the top."""
    document = pypdfium2.PdfDocument(as_pdf((page,)))
    bitmap = document[0].render(scale=DOTS / 72.0, grayscale=True)
    grey = np.array(bitmap.to_numpy(), dtype=np.float64)
    document.close()
    return 1.0 - grey.reshape(grey.shape[0], grey.shape[1]) / 255.0


def centroid(
    dark: NDArray[np.float64], near: tuple[float, float], height: float
) -> NDArray[np.float64]:
    """The middle (mm) of what is drawn within 5 mm of a place."""
    dots = DOTS / 25.4
    column, row = round(near[0] * dots), round((height - near[1]) * dots)
    reach = round(5.0 * dots)
    window = dark[row - reach : row + reach, column - reach : column + reach]
    rows, columns = np.indices(window.shape)
    x = (columns * window).sum() / window.sum() + column - reach
    y = (rows * window).sum() / window.sum() + row - reach
    return np.array((x / dots, height - y / dots))


def test_a_hundred_millimetres_are_a_hundred_on_the_picture() -> None:
    places = ((40.0, 40.0), (140.0, 40.0), (40.0, 140.0))
    dots = tuple(Circle(Layer.HOLES, place, 1.5, filled=True) for place in places)
    page = Drawing((210.0, 297.0), dots)
    dark = picture(page)
    first, across, up = (centroid(dark, place, 297.0) for place in places)
    assert across - first == pytest.approx((100.0, 0.0), abs=0.05)
    assert up - first == pytest.approx((0.0, 100.0), abs=0.05)


def test_lines_are_as_wide_as_iso_128_says() -> None:
    layers = (Layer.OUTLINE, Layer.THIN, Layer.BORDER)
    lines = tuple(
        Line(layer, (20.0, 50.0 + 10.0 * index), (190.0, 50.0 + 10.0 * index))
        for index, layer in enumerate(layers)
    )
    dark = picture(Drawing((210.0, 297.0), lines))
    dots = DOTS / 25.4
    for index, layer in enumerate(layers):
        row = round((297.0 - 50.0 - 10.0 * index) * dots)
        column = dark[row - 40 : row + 40, round(100.0 * dots)]
        assert column.sum() / dots == pytest.approx(layer.width, abs=0.03)
