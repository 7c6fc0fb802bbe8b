import os
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pypdfium2
import pytest
from ezdxf.filemanagement import readfile
from PySide6.QtGui import QImage, QPainter
from PySide6.QtPrintSupport import QPrinter

from app.drawing.export import FORMATS, Format, write
from app.drawing.model import (
    Arc,
    Circle,
    Drawing,
    Layer,
    Line,
    LinearDimension,
    Polyline,
    RadialDimension,
    Table,
    Text,
)
from app.drawing.painting import paint
from app.drawing.pdf import as_pdf
from app.drawing.png import as_image
from app.drawing.printer import print_pages
from app.drawing.svg import as_svg
from solver.errors import FileProblem
from tests.app.drawing.sheets import sheet_of
from tests.conftest import Expected
from tests.example_files import EXAMPLES, named

BEGINNINGS = {"pdf": b"%PDF", "png": b"\x89PNG", "svg": b"<?xml", "dxf": b"  0\nSECTION"}
PAGE = Drawing(
    (210.0, 297.0),
    (
        Line(Layer.OUTLINE, (20.0, 20.0), (120.0, 20.0)),
        Polyline(Layer.PHANTOM, ((20.0, 30.0), (60.0, 30.0), (60.0, 50.0)), closed=True),
        Polyline(Layer.OUTLINE, ((70.0, 30.0), (80.0, 30.0), (80.0, 40.0)), True, True),
        Circle(Layer.HOLES, (100.0, 100.0), 10.0),
        Circle(Layer.HOLES, (150.0, 100.0), 2.0, filled=True),
        Arc(Layer.CENTRES, (100.0, 150.0), 20.0, 30.0, 150.0),
        Text("apple & pear <1 ⌀8.4 \U0001f34e", (20.0, 250.0), turn=20.0, bold=True),
        Table((20.0, 280.0), (30.0, 30.0), (("Hole", "x"), ("pivot", "0"))),
        LinearDimension("a", (20.0, 20.0), (120.0, 20.0), (0.0, 10.0), 100.0, "100", 0.0),
        RadialDimension("r", "radius", (100.0, 100.0), 10.0, 45.0, 10.0, "R10", (115.0, 115.0)),
    ),
    title="page",
)


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_every_example_in_every_format(path: Path, kind: Format, tmp_path: Path) -> None:
    pages = sheet_of(path)
    written = write(pages, tmp_path / f"sheet.{kind}", kind)
    assert len(written) == (1 if kind == "pdf" else len(pages))
    assert sorted(tmp_path.iterdir()) == sorted(written)
    for one in written:
        assert one.read_bytes().startswith(BEGINNINGS[kind])


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize(
    "title", ["\U0001f34e\U0001f468\u200d\U0001f33e", "\u202eשלום", "a\x00b", "../../x"]
)
def test_no_title_breaks_a_file(title: str, kind: Format, tmp_path: Path) -> None:
    page = Drawing(PAGE.size, (*PAGE.elements, Text(title, (20.0, 200.0))), title=title)
    (written,) = write((page,), tmp_path / f"sheet.{kind}", kind)
    assert list(tmp_path.iterdir()) == [written]
    if kind == "svg":
        ElementTree.parse(written)
    elif kind == "pdf":
        pypdfium2.PdfDocument(written).close()
    elif kind == "dxf":
        assert not readfile(written).audit().errors
    else:
        assert not QImage(str(written)).isNull()


def test_later_pages_are_numbered(tmp_path: Path) -> None:
    written = write((PAGE, PAGE, PAGE), tmp_path / "lever.svg", "svg")
    assert [one.name for one in written] == ["lever.svg", "lever-2.svg", "lever-3.svg"]


@pytest.mark.parametrize("kind", FORMATS)
def test_a_folder_that_is_not_there_gets_its_sentence(kind: Format, tmp_path: Path) -> None:
    with pytest.raises(FileProblem, match="was not saved: there is no such file or folder"):
        write((PAGE,), tmp_path / "no" / f"sheet.{kind}", kind)


@pytest.mark.skipif(os.name == "nt", reason="a folder there stays writable")
@pytest.mark.parametrize("kind", FORMATS)
def test_a_target_that_is_a_folder_stays_as_it_is(kind: Format, tmp_path: Path) -> None:
    target = tmp_path / f"sheet.{kind}"
    target.mkdir()
    (target / "keep").write_text("me")
    with pytest.raises(FileProblem, match="was not saved"):
        write((PAGE,), target, kind)
    assert (target / "keep").read_text() == "me"
    assert list(tmp_path.iterdir()) == [target]


def test_equal_pages_give_equal_files() -> None:
    assert as_pdf((PAGE, PAGE)) == as_pdf((PAGE, PAGE))
    assert as_svg(PAGE) == as_svg(PAGE)


def test_an_svg_file_is_exactly_as_large_as_its_view_box() -> None:
    root = ElementTree.fromstring(as_svg(replace(PAGE, size=(331.355, 118.014))))
    assert root.get("viewBox") == "0 0 331.355 118.014"
    assert (root.get("width"), root.get("height")) == ("331.355mm", "118.014mm")


def test_dashes_in_an_svg_file_are_as_long_as_on_paper() -> None:
    root = ElementTree.fromstring(as_svg(PAGE))
    written = {
        (one.get("stroke-width"), tuple(map(float, one.get("stroke-dasharray", "").split(","))))
        for one in root.iter()
        if one.get("stroke-dasharray")
    }
    # ISO 128-2: 24 and 12 line widths long, 3 between, a dot 1.
    long_dash_dot = (24 * 0.18, 3 * 0.18, 0.18, 3 * 0.18)
    double_dot = (24 * 0.25, 3 * 0.25, 0.25, 3 * 0.25, 0.25, 3 * 0.25)
    assert {width for width, _ in written} == {"0.18", "0.25"}
    for width, dashes in written:
        assert dashes == pytest.approx(long_dash_dot if width == "0.18" else double_dot, rel=1e-4)


def test_painting_leaves_the_painter_as_it_was(qapp: object) -> None:
    image = QImage(210, 297, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    painter.scale(1.0, 1.0)
    before = (painter.worldTransform(), painter.pen(), painter.brush(), painter.font())
    paint(painter, PAGE)
    after = (painter.worldTransform(), painter.pen(), painter.brush(), painter.font())
    painter.end()
    assert before == after


def ink(image: QImage, left: float, bottom: float, right: float, top: float) -> int:
    """Dark dots of a 200 dpi picture of the page, in a rectangle of the paper (mm)."""
    dots, height = 200.0 / 25.4, PAGE.size[1]
    return sum(
        image.pixelColor(x, y).lightness() < 128
        for x in range(round(left * dots), round(right * dots))
        for y in range(round((height - top) * dots), round((height - bottom) * dots))
    )


def test_what_is_painted_lies_where_it_belongs(qapp: object) -> None:
    image = as_image(PAGE)
    assert ink(image, 148.0, 98.0, 152.0, 102.0) > 500  # the filled dot
    assert ink(image, 95.0, 95.0, 105.0, 105.0) == 0  # inside of the open circle
    assert ink(image, 89.0, 99.0, 91.0, 101.0) > 10  # its edge
    assert ink(image, 98.0, 169.0, 102.0, 171.0) > 10  # the top of the arc
    assert ink(image, 95.0, 128.0, 105.0, 132.0) == 0  # where a whole circle would be


def test_a_text_keeps_to_its_width(qapp: object) -> None:
    word = Text("WWWWWWWWWW", (20.0, 100.0), 5.0)
    page = Drawing(PAGE.size, (word,))
    image = as_image(page)
    from app.drawing.metrics import text_width

    end = 20.0 + text_width(word.text, word.height)
    assert ink(image, end - 4.0, 99.0, end, 106.0) > 50
    assert ink(image, end + 0.2, 95.0, end + 60.0, 110.0) == 0


def test_printing_is_at_true_size(qapp: object, tmp_path: Path) -> None:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    print_pages(printer, (PAGE, PAGE))
    document = pypdfium2.PdfDocument(tmp_path / "printed.pdf")
    widths = [page.get_width() / 72.0 * 25.4 for page in document]
    document.close()
    assert widths == [pytest.approx(210.0, abs=0.2)] * 2


def test_a_printer_that_takes_nothing_is_told_of(qt_said: Expected, tmp_path: Path) -> None:
    qt_said.expect("QPainter::begin|QPdfEngine|begin")
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "no" / "printed.pdf"))
    with pytest.raises(FileProblem, match="The printer takes nothing"):
        print_pages(printer, (PAGE,))
