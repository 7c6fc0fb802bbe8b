"""Every paper of every example in every format, read back by whoever else can read it."""

import csv
import io
import xml.etree.ElementTree as ElementTree
from dataclasses import fields, replace
from datetime import date
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import ezdxf
import pypdfium2
import pytest
from ezdxf.document import Drawing as Document
from PySide6.QtGui import QImage

from app.drawing.boxes import text_box
from app.drawing.ink import segments
from app.drawing.model import Line, Polyline, Text
from app.drawing.sheet import same_view
from app.workshop.papers import PAPERS, Key, Papers, file_name, kind_for
from app.workshop.pictures import effort_plot
from solver import files
from solver.errors import DesignProblem, FileProblem
from solver.model import Plate
from solver.project import DimensionChoice, OwnDimension, Project, Sheet, Units, Variant
from tests.app.drawing.faults import ink_in, overlaps, texts
from tests.app.projects_for_tests import impossible, project
from tests.example_files import EXAMPLES, named

TODAY = date(2026, 11, 25)
HOSTILE = (
    "../../x",
    "🍎🍐 grade 🍏",
    "\u202egnisrever \u05e7\u05dc\u05e4\u05d4\u202c",
    "long " * 60,
    "con",
    'a/b\\c:d*e?f"g<h>i|j\0k\nl',
    "<script>alert(1)</script> & </svg>",
    "",
)


@cache
def papers(path: Path) -> Papers:
    return Papers(files.load(path), today=TODAY)


def titled(title: str) -> Papers:
    made = project()
    return Papers(replace(made, title=title, variants=(Variant(title, made.design),)), today=TODAY)


@pytest.mark.parametrize("key", PAPERS)
@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_no_text_of_any_page_lies_on_another_or_off_the_sheet(path: Path, key: Key) -> None:
    pages = papers(path).pages(key)
    assert pages
    assert [fault for page in pages for fault in overlaps(page)] == []


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("units", ["metric", "inch"])
def test_curves_have_their_names_within_the_plot_and_no_line_through_them(
    path: Path, units: Units
) -> None:
    made = Papers(files.load(path).in_units(units), today=TODAY)
    plot = effort_plot(made.analysis, made.project.paper_displays[0], (88.0, 54.0))
    said = [part for part in plot.elements if isinstance(part, Text)]
    ink = segments(part for part in plot.elements if isinstance(part, Line | Polyline))
    for name in ("to A", "to B", "dead centre"):
        (text,) = [part for part in said if part.text == name]
        assert ink_in(text_box(text), ink) == 0.0
        assert 13.0 < text.at[0] < 86.0
        assert 12.0 < text.at[1] < 48.0


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_every_example_is_written_in_every_format(path: Path, tmp_path: Path) -> None:
    made = papers(path)
    for key, paper in PAPERS.items():
        for kind in paper.kinds:
            if kind == "png" and path is not EXAMPLES[0]:
                continue  # the same picture as the other painters make, and the slowest
            written = made.write(key, kind, tmp_path / file_name(path.stem, key, kind))
            assert written
            for file in written:
                assert file.parent == tmp_path
                assert file.suffix == f".{kind}"
                CHECKS[kind](file)
    assert all(file.name.startswith(path.stem) for file in tmp_path.iterdir())


def is_pdf(file: Path) -> None:
    document = pypdfium2.PdfDocument(file)
    assert len(document) >= 1
    document.close()


def is_svg(file: Path) -> None:
    root = ElementTree.parse(file).getroot()
    assert root.attrib["width"].endswith("mm")
    assert len(list(root.iter())) > 3


def is_dxf(file: Path) -> None:
    document = ezdxf.filemanagement.readfile(file)
    assert isinstance(document, Document)
    assert document.audit().errors == []
    assert len(document.modelspace()) > 0


def is_png(file: Path) -> None:
    assert QImage(str(file)).width() > 100


def is_csv(file: Path) -> None:
    heads, *rows = csv.reader(io.StringIO(file.read_text(encoding="utf-8")))
    assert heads[:3] == ["Item", "Part", "Count"]
    assert len(rows) > 5


class Page(HTMLParser):
    """Collects the tags, addresses and words of a web page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.fetched: list[str] = []
        self.words = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name in ("src", "href", "xlink:href") and value and value[:1] != "#":
                self.fetched.append(value)

    def handle_data(self, data: str) -> None:
        self.words += data


def is_html(file: Path) -> Page:
    page = Page()
    page.feed(file.read_text(encoding="utf-8"))
    assert page.tags.count("svg") == 3
    assert "script" not in page.tags
    assert page.fetched == []
    return page


CHECKS = {
    "pdf": is_pdf,
    "svg": is_svg,
    "dxf": is_dxf,
    "png": is_png,
    "csv": is_csv,
    "html": is_html,
}


def test_the_report_says_what_was_found_and_what_it_leaves_out(tmp_path: Path) -> None:
    made = papers(EXAMPLES[0])
    words = is_html(made.write("report", "html", tmp_path / "report.html")[0]).words
    on_paper = " ".join(text.text for page in made.pages("report") for text in texts(page))
    analysis = made.analysis
    assert analysis.verdict in words
    for limit in analysis.limits:
        assert limit.sentence in words
        assert limit.sentence in on_paper
    for reading in analysis.readings.values():
        # What is read at either rest stands in two columns of one row.
        assert reading.label.removesuffix(", rest A").removesuffix(", rest B") in words
    for said in ("eye protection", "ISO 13854", "Test what you build", "Friction is dry"):
        assert said in words
        assert said in on_paper


def with_spring(made: Project, **changes: object) -> Project:
    (spring,) = made.design.springs
    changed = replace(spring, **changes)  # type: ignore[arg-type]  # fields of the spring
    return made.with_design(replace(made.design, springs=(changed,)))


def test_the_report_says_what_a_spring_looks_like(tmp_path: Path) -> None:
    made = files.load(EXAMPLES[0])
    words = is_html(papers(EXAMPLES[0]).write("report", "html", tmp_path / "r.html")[0]).words
    assert (
        "wire diameter 1.6 mm · outside diameter 15.6 mm · coils 11.5, 9.5 of them working · from "
        "spring anchor to lever foot · free length 72.0 mm · solid length 18.4 mm with 137.2 N"
    ) in words
    assert "not given" not in words
    bare = with_spring(made, wire=None, coils=None, order_note="row 2").in_units("inch")
    page = is_html(Papers(bare, today=TODAY).write("report", "html", tmp_path / "b.html")[0])
    assert (
        "outside diameter 0.614 in · wire and coils not given · order number row 2 · from"
    ) in page.words


def test_the_parts_list_says_what_to_buy_in_its_own_units(tmp_path: Path) -> None:
    made = files.load(EXAMPLES[0])
    inch = made.in_units("inch")
    for project_, size in ((made, "1.6 × 15.6 mm × 11.5"), (inch, "0.0630 × 0.614 in × 11.5")):
        laid = Papers(project_, today=TODAY)
        on_paper = " ".join(text.text for page in laid.pages("parts") for text in texts(page))
        written = laid.write("parts", "csv", tmp_path / "p.csv")[0].read_text(encoding="utf-8")
        assert f"compression spring {size} coils" in written
        assert f"compression spring {size}"[:24] in on_paper
        assert ("N/mm" in written, "lbf/in" in on_paper) == (project_ is made, project_ is inch)


@pytest.mark.parametrize("note", HOSTILE, ids=range(len(HOSTILE)))
@pytest.mark.parametrize("key", PAPERS)
def test_no_order_number_breaks_a_paper(key: Key, note: str) -> None:
    laid = Papers(with_spring(files.load(EXAMPLES[0]), order_note=note), today=TODAY)
    assert [fault for page in laid.pages(key) for fault in overlaps(page)] == []


def test_a_limit_that_fails_is_told(tmp_path: Path) -> None:
    from solver.model import Limit

    made = project()
    strict = made.with_design(replace(made.design, limits=(Limit("throw", at_most=1.0),)))
    page = is_html(Papers(strict, today=TODAY).write("report", "html", tmp_path / "r.html")[0])
    assert "FAILS" in page.words


@pytest.mark.parametrize("title", HOSTILE, ids=range(len(HOSTILE)))
def test_no_title_breaks_a_paper_or_leads_out_of_the_folder(title: str, tmp_path: Path) -> None:
    made, inside = titled(title), tmp_path / "inside"
    inside.mkdir()
    for key, paper in PAPERS.items():
        assert [fault for page in made.pages(key) for fault in overlaps(page)] == []
        for kind in paper.kinds:
            if kind in ("pdf", "png"):
                continue  # painted as SVG is; nothing in them can be broken by a text
            name = file_name(title, key, kind)
            assert Path(name).name == name
            for file in made.write(key, kind, inside / name):
                assert file.parent == inside
                CHECKS[kind](file)
    assert list(tmp_path.iterdir()) == [inside]
    report = inside / file_name(title, "report", "html")
    assert ("alert(1)" in title) == ("alert(1)" in is_html(report).words)


def test_a_target_that_cannot_be_written_keeps_the_old_file(tmp_path: Path) -> None:
    made = papers(EXAMPLES[0])
    folder = tmp_path / "report.pdf"
    folder.mkdir()
    (folder / "kept").write_text("old")
    with pytest.raises(FileProblem, match=r"report\.pdf"):
        made.write("report", "pdf", folder)
    assert (folder / "kept").read_text() == "old"
    with pytest.raises(FileProblem, match="no such"):
        made.write("parts", "csv", tmp_path / "nowhere" / "parts.csv")


def test_each_plate_gets_a_file_named_after_the_file_asked_for(tmp_path: Path) -> None:
    made = papers(next(path for path in EXAMPLES if "clamp" in path.name))
    for kind in ("dxf", "svg"):
        written = made.write("outlines", kind, tmp_path / f"for the shop.{kind}")
        assert [path.name for path in written] == [
            f"for-the-shop-{plate}.{kind}" for plate in ("frame", "lever", "rod")
        ]
        assert all(path.parent == tmp_path for path in written)


def test_the_ending_or_the_wish_chooses_the_format(tmp_path: Path) -> None:
    outlines = PAPERS["outlines"]
    assert kind_for(outlines, None, None) == "dxf"
    assert kind_for(outlines, "svg", None) == "svg"
    assert kind_for(outlines, None, tmp_path / "plates.SVG") == "svg"
    for wish, into in (("html", None), ("pdf", Path("x.svg"))):
        with pytest.raises(FileProblem):
            kind_for(outlines, wish, into)


def test_a_design_that_cannot_be_solved_makes_no_paper() -> None:
    made = project()
    broken = Papers(made.with_design(impossible(made.design)))
    with pytest.raises(DesignProblem):
        broken.pages("sheet")


def test_a_row_of_levers_is_counted_and_looked_at() -> None:
    made = with_plates(project())
    row = replace(made, sheet=replace(made.sheet, levers=4, pitch=5.0))
    single, four = Papers(made, today=TODAY), Papers(row, today=TODAY)
    assert not any(remark.kind == "row" for remark in single.remarks)
    assert any(remark.kind == "row" and remark.serious for remark in four.remarks)
    words = " ".join(text.text for page in four.pages("parts") for text in texts(page))
    assert "4 levers in a row" in words


def with_plates(made: Project) -> Project:
    plates = tuple(Plate(link.name, layer=n) for n, link in enumerate(made.design.links))
    return made.with_design(replace(made.design, plates=plates))


EDITS: dict[str, object] = {
    "size": "A4",
    "landscape": False,
    "scale": "1:5",
    "units": "inch",
    "tolerance_class": "fine",
    "holes": "coarse",
    "datum": "grip",
    "owner": "Quince Hill",
    "number": "QH-17",
    "revision": "C",
    "date": "3 March 2026",
    "creator": "A. Miller",
    "approver": "B. Cooper",
    "levers": 4,
    "pitch": 60.0,
    "dimensions": (DimensionChoice("throw", shown=False),),
    "own_dimensions": (OwnDimension("grip", "pivot"),),
    "parts": False,
}
SEEN = {"size", "landscape", "scale", "units", "datum", "own_dimensions"}
"""What of these the view of the sheet depends on."""


def test_the_papers_after_an_edit_are_as_if_made_anew() -> None:
    assert EDITS.keys() == {field.name for field in fields(Sheet)}
    made = files.load(EXAMPLES[0])
    before = Papers(made, today=TODAY)
    before.pages("sheet")
    for name, value in EDITS.items():
        # The fields and what they may be, the sheet knows; mypy cannot see it here.
        sheet = replace(made.sheet, **{name: value})  # type: ignore[arg-type]
        edited = replace(made, title="Other gate", sheet=sheet)
        after = Papers(edited, today=TODAY, earlier=before)
        assert ("view" in vars(after)) == (name not in SEEN), name
        assert ("clearance" in vars(after)) == (name != "units")
        assert after.pages("sheet") == Papers(edited, today=TODAY).pages("sheet")


def test_the_papers_of_another_design_take_nothing_over() -> None:
    made = files.load(EXAMPLES[0])
    before = Papers(made, today=TODAY)
    before.pages("sheet")
    stops = replace(made.design.stops, rest_a=made.design.stops.rest_a + 1.0)
    other = made.with_design(replace(made.design, stops=stops))
    after = Papers(other, today=TODAY, earlier=before)
    assert not {"analysis", "clearance", "view"} & vars(after).keys()
    turned = replace(made, display=replace(made.display, angle_from="x"))
    assert "view" not in vars(Papers(turned, today=TODAY, earlier=before))
    assert same_view(made, replace(made, title="Other gate"))
    assert not same_view(made, turned)
