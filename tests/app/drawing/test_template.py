"""The drilling template: everything on some page, nothing twice out of place, seams that meet."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from app.drawing.boxes import overlaps, texts
from app.drawing.model import Circle, Drawing, Layer, Line, Polyline
from app.drawing.paper import SIZES, Area
from app.drawing.template import template
from app.drawing.tiles import CHECK, HEAD, MARGIN, OVERLAP, STRIP, tiling
from solver import files
from solver.errors import DesignProblem
from solver.holes import holes
from solver.model import FRAME
from solver.project import Project
from tests.example_files import EXAMPLES, named

FLAP = next(path for path in EXAMPLES if "diverter" in path.name)
HOSTILE = "🙂‮" + "../../x " * 40 + "עברית"


def project_of(path: Path = FLAP, **sheet: object) -> Project:
    project = files.load(path)
    return replace(project, sheet=replace(project.sheet, **sheet))  # type: ignore[arg-type]


def every_link(project: Project) -> list[str]:
    return [link.name for link in project.design.links]


def circles(page: Drawing) -> dict[tuple[float, float], float]:
    """Centre in the model and diameter of every hole on a page."""
    x, y = page.origin
    return {
        (round(part.centre[0] - x, 6), round(part.centre[1] - y, 6)): 2.0 * part.radius
        for part in page.elements
        if isinstance(part, Circle) and part.layer is Layer.HOLES
    }


def window_of(page: Drawing) -> Area:
    start = MARGIN + STRIP
    return Area(start, start, page.size[0] - MARGIN, page.size[1] - MARGIN - HEAD)


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("units", ["mm", "inch", "both"])
def test_texts_keep_clear_of_each_other(path: Path, size: str, units: str) -> None:
    project = project_of(path, size=size, units=units)
    pages = template(project, every_link(project))
    assert [fault for page in pages for fault in overlaps(page)] == []


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_frames_holes_are_on_the_pages_at_true_size_and_named(path: Path) -> None:
    project = project_of(path, size="A4")
    pages = template(project)
    found: dict[tuple[float, float], float] = {}
    for page in pages:
        assert page.scale == 1.0
        found |= circles(page)
    wanted = {
        (round(hole.x, 6), round(hole.y, 6)): hole.diameter
        for hole in holes(project.design, FRAME, project.sheet.holes)
    }
    assert found == pytest.approx(wanted)
    said = "\n".join(text.text for page in pages for text in texts(page))
    for hole in holes(project.design, FRAME, project.sheet.holes):
        assert hole.point in said


def test_a_link_keeps_its_distances_when_it_is_laid_along_the_page() -> None:
    project = project_of()
    (page,) = template(project, ["rod"])
    (a, _), (b, _) = circles(page).items()
    ends = [project.design.point(name) for name in ("lever foot", "flap arm")]
    apart = ((ends[0].x - ends[1].x) ** 2 + (ends[0].y - ends[1].y) ** 2) ** 0.5
    assert abs(a[0] - b[0]) == pytest.approx(apart, abs=1e-5)
    assert a[1] == pytest.approx(b[1], abs=1e-5)


def test_every_page_has_its_label_both_rulers_and_the_line_to_measure_them() -> None:
    pages = template(project_of(size="A4", landscape=False))
    assert [page.name for page in pages] == ["A1", "A2"]
    for page in pages:
        said = [text.text for text in texts(page)]
        assert sum(CHECK in text for text in said) == 1
        assert "Print at 100 %, then measure the ruler." in CHECK
        assert said.count("100 mm") == said.count("4 in") == 2
        assert any(f"Page {page.name} of A1 to A2" in text for text in said)


def test_both_rulers_are_as_long_as_they_say() -> None:
    (page, *_) = template(project_of())
    long = [
        line for line in page.elements if isinstance(line, Line) and line.layer is Layer.SYMBOLS
    ]
    spans = [(abs(line.end[0] - line.start[0]), abs(line.end[1] - line.start[1])) for line in long]
    assert np.array(sorted(spans)) == pytest.approx(np.array([(0.0, 101.6), (101.6, 0.0)]))
    left, low = min(line.start[0] for line in long), min(line.start[1] for line in long)
    ticks = [line for line in page.elements if isinstance(line, Line) and line.layer is Layer.THIN]
    assert any(
        line.start[0] == line.end[0] == pytest.approx(window_of(page).left + 100.0)
        and line.start[1] == pytest.approx(low)
        for line in ticks
    )
    assert any(
        line.start[1] == line.end[1] == pytest.approx(window_of(page).bottom + 100.0)
        and line.start[0] == pytest.approx(left)
        for line in ticks
    )


def test_seams_and_marks_cover_each_other() -> None:
    one, other = template(project_of(size="A4", landscape=False))

    def marks(page: Drawing) -> set[tuple[float, float]]:
        x, y = page.origin
        return {
            (round(part.centre[0] - x, 6), round(part.centre[1] - y, 6))
            for part in page.elements
            if isinstance(part, Circle) and part.layer is Layer.THIN
        }

    def seam(page: Drawing) -> list[float]:
        return [
            round(part.start[0] - page.origin[0], 6)
            for part in page.elements
            if isinstance(part, Line) and part.layer is Layer.HIDDEN
        ]

    assert len(marks(one)) == 2
    assert marks(one) == marks(other)
    assert seam(one) == seam(other)
    apart = other.origin[0] - one.origin[0]
    assert -apart == pytest.approx(window_of(one).width - OVERLAP)


def test_nothing_of_the_model_leaves_the_window() -> None:
    for page in template(project_of(size="A4"), every_link(project_of())):
        window = window_of(page)
        for part in page.elements:
            if isinstance(part, Polyline):
                for x, y in part.points:
                    assert window.left - 1e-6 <= x <= window.right + 1e-6
                    assert window.bottom - 1e-6 <= y <= window.top + 1e-6


def test_as_few_pages_as_it_takes_whichever_way_they_lie() -> None:
    lying = template(project_of(size="A3", landscape=True))
    upright = template(project_of(size="A3", landscape=False))
    assert len(lying) == len(upright) == 1
    assert lying[0].size == (420.0, 297.0)
    assert upright[0].size == (297.0, 420.0)
    wide = project_of(next(path for path in EXAMPLES if "twin" in path.name), size="A4")
    assert len(template(wide)) == 2


def test_pages_are_labelled_by_rows_and_columns() -> None:
    tiles = tiling(Area(0.0, 0.0, 3000.0, 7000.0), [(210.0, 297.0)])
    labels = {tiles.label(r, c) for r in range(tiles.rows) for c in range(tiles.columns)}
    assert len(labels) == tiles.rows * tiles.columns
    assert {"A1", "B2", "AA1"} <= labels
    x, y = tiles.origin(0, 0)
    assert x <= 0.0
    assert y + tiles.window.height >= 7000.0


def test_the_series_of_holes_is_the_sheets() -> None:
    fine, coarse = (
        circles(template(project_of(holes=series), ["rod"])[0]) for series in ("fine", "coarse")
    )
    # The rod turns on the pin at the lever and holds the one at the flap.
    assert set(fine.values()) == {5.0, 5.3}
    assert set(coarse.values()) == {5.0, 5.8}


def test_a_hostile_title_stays_on_its_line() -> None:
    project = replace(project_of(size="A4"), title=HOSTILE)
    for page in template(project):
        assert overlaps(page) == []


def test_what_is_not_there_or_not_sound_is_refused() -> None:
    project = project_of()
    with pytest.raises(KeyError):
        template(project, ["no such link"])
    broken = project.with_design(replace(project.design, grip="gone"))
    with pytest.raises(DesignProblem):
        template(broken)
